"""From minutes after the road shuts to clock times as the crew reads them."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from truebed.plan.result import ClosurePlan


def moment(closure: ClosurePlan, after_min: int, zone: ZoneInfo | None = None) -> datetime:
    """The moment so many minutes after the road shuts, in the zone or, without one, at the shutting's own offset.

    Valid       any closure; minutes are elapsed minutes, also over a change of the clocks
    Source      algebra
    Proved by   tests/drawings/test_clock.py
    """
    own = closure.shut.tzinfo if zone is None else zone
    start = closure.shut.timestamp() + 60.0 * after_min
    return datetime.fromtimestamp(start, tz=own)


def clock(closure: ClosurePlan, after_min: int, zone: ZoneInfo | None = None) -> str:
    """The same as 'hh:mm'.

    Valid       any closure
    Source      house (writing)
    Proved by   tests/drawings/test_clock.py
    """
    return moment(closure, after_min, zone).strftime("%H:%M")


def clocks_change(closure: ClosurePlan, zone: ZoneInfo | None) -> str:
    """A sentence where the clocks change between shutting and opening; '' where they do not.

    Valid       any closure
    Source      house (writing)
    Proved by   tests/drawings/test_clock.py
    """
    own = zone if zone is not None else closure.shut.tzinfo
    before, after = closure.shut.astimezone(own).utcoffset(), closure.open_by.astimezone(own).utcoffset()
    if zone is None:
        after = closure.open_by.utcoffset()
    if before == after or before is None or after is None:
        return ""
    step = abs((after - before) // timedelta(minutes=1))
    way = "forward" if after > before else "back"
    return f"The clocks go {way} by {step} minutes in this closure."


def window_min(closure: ClosurePlan) -> int:
    """Minutes from shutting to the latest opening.

    Valid       any closure
    Source      algebra
    Proved by   tests/drawings/test_clock.py
    """
    return int((closure.open_by.timestamp() - closure.shut.timestamp()) // 60)


def noise_ends_min(closure: ClosurePlan) -> int:
    """Minutes from shutting to the end of noisy work.

    Valid       any closure
    Source      algebra
    Proved by   tests/drawings/test_clock.py
    """
    return int((closure.noisy_work_ends.timestamp() - closure.shut.timestamp()) // 60)

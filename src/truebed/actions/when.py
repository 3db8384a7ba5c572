"""A time as a person types it: with its offset, or without one in the works' own time zone."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from truebed.errors import TruebedError


class TimeUnreadableError(TruebedError):
    """A time that cannot be read, or that happens twice or never in the works' time zone."""


def instant(text: str, time_zone: str, what: str) -> datetime:
    """The instant that a text means. Raises TimeUnreadableError with a sentence."""
    try:
        said = datetime.fromisoformat(text.strip())
    except ValueError:
        raise TimeUnreadableError(
            f"{what}: found '{text}'; expected a time such as 2027-01-12T23:40 (in {time_zone}) or "
            "2027-01-12T23:40+00:00."
        ) from None
    if said.utcoffset() is not None:
        return said
    if "T" not in text and " " not in text.strip():
        raise TimeUnreadableError(f"{what}: found '{text}', a day without a time; write it as {text.strip()}T23:40.")
    zone = ZoneInfo(time_zone)
    first, second = (said.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if first.utcoffset() != second.utcoffset():
        raise TimeUnreadableError(
            f"{what}: '{text}' is twice or never on that night in {time_zone}, when clocks change; give its offset."
        )
    return first

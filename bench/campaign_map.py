"""Invented campaigns made from a seed: a town of blocks, streets with covers, lanes, due nights, embargoes, stock.

Published so that anybody can make the same map. A block is what one diversion goes round: its streets may be shut
together. Works: three sizes (0.75, 1, 1.3) by two make-ups (bituminous; concrete, 20 % more sawing and breaking).
Minutes are planning assumptions at 20 C, two of each step for walking in the street; all of it is invented.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from math import log

from bench.instances_programme import Draw
from truebed.programme.campaign_types import Campaign, CampaignCover, Kind, Shift, Street, Work
from truebed.programme.problem import OPEN, Job, Lag, Task

STEPS = (
    ("saw", 20, True), ("break", 25, True), ("lift", 10, False), ("clean", 10, False), ("bed", 17, False),
    ("pour", 9, False), ("backfill", 8, False), ("surface", 12, False), ("seal", 8, False), ("clear", 5, False),
)  # fmt: skip
#: (from, to, least, greatest) minutes, end to start
WAITS = (
    ("clean", "bed", 0, 30), ("bed", "pour", 0, 45), ("pour", "backfill", 15, 60),
    ("backfill", "surface", 90, None), ("surface", "seal", 50, None), ("seal", "clear", 35, None),
)  # fmt: skip
WALK_MIN = 2
SIZES = (("small", 75, 1), ("usual", 100, 2), ("large", 130, 3))
#: severity: (share in percent, working night it is due, harm per day); one in four of the first has a hard deadline
SEVERITIES = ((20, 5, 50), (20, 12, 20), (20, 25, 8), (20, 50, 3), (20, 80, 1))


def works() -> tuple[Work, ...]:
    """Six works."""
    return tuple(
        _work(f"{size}, {top}", pct, noisy_pct, kits)
        for size, pct, kits in SIZES
        for top, noisy_pct in (("bituminous", 100), ("concrete", 120))
    )


def _work(name: str, pct: int, noisy_pct: int, kits: int) -> Work:
    tasks = tuple(
        Task(name, step, step, -(-minutes * pct * (noisy_pct if noisy else 100) // 10000) + WALK_MIN, 1, (), "", noisy)
        for step, minutes, noisy in STEPS
    )
    lags = [Lag(a[0], "end", b[0], "start", 0, None, "order") for a, b in pairwise(STEPS)]
    lags += [Lag(a, "end", b, "start", least, most, "wait") for a, b, least, most in WAITS]
    lags.append(Lag("surface", "end", OPEN, "start", 60, None, "the surface takes traffic"))
    return Work(name, Job(name, 1, tasks, tuple(lags)), kits)


SHIFTS = (
    Shift("lane", 7, 20 * 60, 23 * 60, 30 * 60, 30, 25),
    Shift("stop-go", 14, 20 * 60, 23 * 60, 30 * 60, 30, 25),
    Shift("full", 30, 20 * 60, 23 * 60, 30 * 60, 30, 25),
)


def campaign_map(
    seed: int, covers: int, *, crews: int = 3, first: date = date(2028, 2, 7), streets_mean: int = 4
) -> Campaign:
    """A campaign of that many covers. The default begins before a leap day."""
    draw = Draw(seed)
    streets, placed = _town(draw, covers, first, streets_mean)
    last = first + timedelta(days=covers + 120)
    working = [day for k in range(covers + 120) if (day := first + timedelta(days=k)).weekday() < 5]
    made = tuple(_cover(draw, k, street, lane, x, y, working) for k, (street, lane, x, y) in enumerate(placed))
    kits = sum(2 for _ in made)
    return Campaign(
        name=f"map {seed}, {covers} covers",
        zone="Europe/London",
        asked_on=first - timedelta(days=28),
        first=first,
        last=last,
        weekdays=(0, 1, 2, 3, 4),
        holidays=(date(2028, 4, 14), date(2028, 4, 17), date(2028, 5, 1), date(2028, 5, 29)),
        embargoes=((first + timedelta(days=30), first + timedelta(days=31)),),
        shifts=SHIFTS,
        works=works(),
        streets=streets,
        covers=made,
        deliveries=tuple((first + timedelta(days=7 * k), 75 if k else 100) for k in range(kits // 60 + 2)),
        crews=crews,
        vans=crews,
        most_crews=3,
        depot_x_m=0.0,
        depot_y_m=0.0,
        van_m_per_min=250.0,
        load_min=2,
        closure_weight=50,
    )


def _town(
    draw: Draw, covers: int, first: date, streets_mean: int
) -> tuple[tuple[Street, ...], list[tuple[str, str, float, float]]]:
    streets: list[Street] = []
    placed: list[tuple[str, str, float, float]] = []
    block = 0
    while len(placed) < covers:
        block += 1
        x, y = float(300 * (block % 6)), float(300 * (block // 6))
        for k in range(draw.whole(1, 6)):
            count = min(15, max(1, round(-streets_mean * log(draw.whole(1, 1000) / 1001.0))), covers - len(placed))
            if count < 1:
                break
            name = f"S{len(streets) + 1:03d}"
            kinds: tuple[Kind, ...] = (
                ("lane", "full"), ("stop-go", "full"), ("stop-go", "full"), ("full",), ("lane", "stop-go"),
            )[draw.whole(0, 4)]  # fmt: skip
            begun = first + timedelta(days=draw.whole(0, 60))
            shut = ((begun, begun + timedelta(days=draw.whole(3, 20))),) if draw.whole(1, 4) == 1 else ()
            streets.append(Street(name, f"D{block:02d}", kinds, shut))
            for _ in range(count):
                lane = ("near", "far", "near", "far", "both")[draw.whole(0, 4)] if "full" in kinds else "near"
                placed.append((name, lane, x + draw.whole(0, 180), y + 40.0 * k))
    return tuple(streets), placed


def _cover(draw: Draw, k: int, street: str, lane: str, x_m: float, y_m: float, working: list[date]) -> CampaignCover:
    roll, size, top = draw.whole(1, 100), draw.whole(1, 4), draw.whole(1, 3)
    name = ("small", "usual", "usual", "large")[size - 1]
    work = f"{name}, {'concrete' if top == 1 else 'bituminous'}"
    hard = draw.whole(1, 4) == 1
    for share_pct, night, harm in SEVERITIES:
        if roll <= share_pct:
            return CampaignCover(
                f"C{k + 1:03d}", street, lane, work, x_m, y_m, harm, working[night - 1], hard and night == 5
            )
        roll -= share_pct
    raise AssertionError("the shares of severities do not sum to 100")

"""A tyre anywhere on the iron: what part of it the frame bears, and where it presses the bed most."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.plane import Ring
from truebed.curing.contact import Bed, Verdict, contact
from truebed.curing.mirrors import Mirrors, mirrors_of
from truebed.errors import NotDeterminedError
from truebed.rules.ruleset import RuleSet
from truebed.why import Why

Array = NDArray[np.float64]

#: Wheel models that a rule set may give: load, then the contact's name before `_tyre_along_mm`.
MODELS = (
    ("load model 2", "wheel_load_kn", "lm2"),
    ("load model 2, national contact", "wheel_load_kn", "national"),
    ("load model 1", "lm1_wheel_load_kn", "lm1"),
)
#: The search ends where no cell of places is believed to hold more than this share above the best place found.
SEARCH_SHARE = 0.02
#: Cells are not split below this.
LEAST_CELL_MM = 0.5
#: The best place is then walked uphill with steps from the first to the second.
STEP_FROM_MM, STEP_TO_MM = 16.0, 0.05
#: Less of a tyre than this is rounding, not a load.
TOUCH_SHARE = 1e-9
GRAVITY_M_PER_S2 = 9.80665
MOST_PLACES_COUNT = 6000


@dataclass(frozen=True, slots=True)
class Tyre:
    """One wheel: its load, spread evenly over a rectangle along x (the traffic) by across y."""

    name: str
    wheel_kn: float
    along_mm: float
    across_mm: float
    source: str = ""


@dataclass(frozen=True, slots=True)
class TyreLoad:
    """What the iron gets of a tyre at one place: force and where it acts; nothing where the tyre misses the iron."""

    load_n: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class TyreDemand:
    """The greatest bed pressure that one tyre makes, over all its places on the iron.

    peak_n_per_mm2   None where the frame tips at some place (verdict 'tips'; at_* is such a place)
    at_x_mm, at_y_mm  middle of the tyre there; load: what of it the iron bears, and where
    ceiling_n_per_mm2  no place is believed to press more than this (search by cells; see truebed.curing.tyre)
    places_count     places that were worked out
    """

    tyre: Tyre
    verdict: Verdict
    peak_n_per_mm2: float | None
    at_x_mm: float
    at_y_mm: float
    load: TyreLoad
    pressed_share: float
    ceiling_n_per_mm2: float
    places_count: int


def tyres_of(rules: RuleSet, *words: str) -> tuple[Tyre, ...]:
    """The wheels of a rule set, () where it has none for this place.

    Valid       words of the cover: kind, place, load class
    Source      [en-1991-2] 4.3.3 and what the rule set cites; the models contain their dynamic effect
    Raises      NotDeterminedError where a wheel has a load and one side of its contact only, or no number
    Proved by   tests/curing/test_tyre.py
    """
    found = []
    for name, load_name, contact_name in MODELS:
        keys = load_name, f"{contact_name}_tyre_along_mm", f"{contact_name}_tyre_across_mm"
        values = [rules.find(key, *words) for key in keys]
        if values[0] is None or (values[1] is None and values[2] is None):
            continue
        sizes = [rules.number(key, *words) for key in keys]
        cited = "; ".join(value.cite() for value in values[:2] if value is not None)
        found.append(Tyre(name, sizes[0], sizes[1], sizes[2], cited))
    return tuple(found)


def ground_pressure_n_per_mm2(tyre: Tyre) -> float:
    """A tyre's load over its contact.

    Valid       a tyre that stands wholly on what it presses
    Source      algebra
    Proved by   tests/curing/test_tyre.py
    """
    return tyre.wheel_kn * 1000.0 / (tyre.along_mm * tyre.across_mm)


def load_on_iron(iron: Ring, tyre: Tyre, x_mm: float, y_mm: float) -> TyreLoad:
    """The part of a tyre that the iron bears: its share by area, at the middle of that area.

    The rest stands on the road beside. A rigid lid passes its load to the frame at its seats with the same resultant,
    whatever seats it has, as long as it does not tip on them (truebed.curing.lid_seats).

    iron        the frame's and the lid's outline in the road, anticlockwise
    Valid       a convex outline; the road beside as high as the iron
    Source      algebra
    Proved by   tests/curing/test_tyre.py
    """
    return _load(np.asarray(iron, dtype=float), tyre, x_mm, y_mm)


def _load(ring: Array, tyre: Tyre, x_mm: float, y_mm: float) -> TyreLoad:
    from truebed.curing.contact_kernel import patch_on_iron

    out, a, b = np.zeros(3), tyre.along_mm / 2.0, tyre.across_mm / 2.0
    patch_on_iron(ring, np.array([x_mm - a, x_mm + a, y_mm - b, y_mm + b]), out)
    if out[0] <= TOUCH_SHARE * tyre.along_mm * tyre.across_mm:
        return TyreLoad(0.0, x_mm, y_mm)
    return TyreLoad(ground_pressure_n_per_mm2(tyre) * float(out[0]), float(out[1]), float(out[2]))


def with_own_weight(load: TyreLoad, iron_kg: float) -> TyreLoad:
    """A tyre's load and the iron's own weight at the frame's centre as one force.

    Valid       iron_kg >= 0
    Source      algebra; gravity 9.80665 m/s2 by definition [si-2019]
    Proved by   tests/curing/test_tyre.py
    """
    own_n = iron_kg * GRAVITY_M_PER_S2
    total_n = load.load_n + own_n
    if total_n <= 0.0:
        return load
    return TyreLoad(total_n, load.load_n * load.x_mm / total_n, load.load_n * load.y_mm / total_n)


@dataclass
class _Places:
    """The pressure at each place of a tyre, each place worked out once."""

    bed: Bed
    iron: Array
    tyre: Tyre
    iron_kg: float
    known: dict[tuple[float, float], float] = field(default_factory=dict)
    frame: Array = field(init=False)
    numbers: Array = field(init=False)

    def __post_init__(self) -> None:
        tyre, bed = self.tyre, self.bed
        own_n, least_mm2 = self.iron_kg * GRAVITY_M_PER_S2, TOUCH_SHARE * tyre.along_mm * tyre.across_mm
        halves = tyre.along_mm / 2.0, tyre.across_mm / 2.0
        self.frame = np.array([bed.x_mm, bed.y_mm, bed.size_mm])
        self.numbers = np.array([ground_pressure_n_per_mm2(tyre), *halves, own_n, least_mm2])

    def peak(self, x_mm: float, y_mm: float) -> float:
        """Greatest pressure with the tyre there [N/mm2]."""
        from truebed.curing.tyre_kernel import pressure_at_place

        at, bed = (x_mm, y_mm), self.bed
        known = self.known.get(at)
        if known is None:
            known = pressure_at_place(bed.edges, bed.hull, self.frame, self.iron, self.numbers, x_mm, y_mm)
            if math.isnan(known):
                raise ValueError("no balance of the frame under its load was found")
            self.known[at] = known
        return known

    def best(self) -> tuple[float, float, float]:
        """The greatest pressure and its place; the first place in order among equals."""
        most = max(self.known.values())
        close = most if math.isinf(most) else most * (1.0 - 1e-9)
        at = min(place for place, value in self.known.items() if value >= close)
        return most, *at

    def climb(self) -> None:
        """From the best place uphill by ever smaller steps along eight ways."""
        most, x_mm, y_mm = self.best()
        step_mm = STEP_FROM_MM
        while step_mm >= STEP_TO_MM and math.isfinite(most):
            ways = [(x_mm + i * step_mm, y_mm + j * step_mm) for i in (-1, 0, 1) for j in (-1, 0, 1)]
            found = max(ways, key=lambda way: self.peak(*way))
            if self.peak(*found) > most:
                most, (x_mm, y_mm) = self.peak(*found), found
            else:
                step_mm /= 2.0


Cell = tuple[float, float, float, float]


def _ceiling(places: _Places, cell: Cell) -> float:
    """What a cell of places is believed not to pass: its greatest value at corners and middle and their spread more."""
    low_x, high_x, low_y, high_y = cell
    at = [(low_x, low_y), (high_x, low_y), (low_x, high_y), (high_x, high_y)]
    values = [places.peak(*place) for place in (*at, _middle(cell))]
    return 2.0 * max(values) - min(values) if math.isfinite(max(values)) else math.inf


def _middle(cell: Cell) -> tuple[float, float]:
    return (cell[0] + cell[1]) / 2.0, (cell[2] + cell[3]) / 2.0


def _quarters(cell: Cell) -> list[Cell]:
    low_x, high_x, low_y, high_y = cell
    mid_x, mid_y = (low_x + high_x) / 2.0, (low_y + high_y) / 2.0
    return [(a, b, c, d) for a, b in ((low_x, mid_x), (mid_x, high_x)) for c, d in ((low_y, mid_y), (mid_y, high_y))]


def _first_cells(iron: Array, tyre: Tyre, mirrors: Mirrors) -> list[Cell]:
    """Cells of at most half the tyre, over all places where it meets the iron; of places that are each other's mirror
    images, one side."""
    half = np.array([tyre.along_mm, tyre.across_mm]) / 2.0
    low, high = iron.min(axis=0) - half, iron.max(axis=0) + half
    low = np.where([mirrors.front_to_back, mirrors.left_to_right or mirrors.half_turn_only()], 0.0, low)
    count = np.ceil((high - low) / half).astype(int)
    x, y = (np.linspace(low[k], high[k], count[k] + 1).tolist() for k in (0, 1))
    return [(x[i], x[i + 1], y[j], y[j + 1]) for i in range(count[0]) for j in range(count[1])]


def tyre_demand(bed: Bed, iron: Ring, tyre: Tyre, iron_kg: float = 0.0) -> TyreDemand:
    """The greatest bed pressure over all places of one tyre, by cells that are split where they could hold more.

    iron_kg     mass of frame and lid, at the frame's centre: it holds a frame whose iron reaches beyond its seat
    Valid       one tyre at a time on the frame (the next wheel of an axle stands beside it); a convex outline
    Source      house (a cell's ceiling is its greatest sampled value and the spread of its samples more: believed, not
                proved, and held against places tried one by one); pressure: algebra
    Raises      ValueError where a balance is not found
    Proved by   tests/curing/test_tyre.py, tests/oracles/test_contact_places.py
    """
    places = _Places(bed, np.asarray(iron, dtype=float), tyre, iron_kg)
    first = _first_cells(places.iron, tyre, mirrors_of(bed, places.iron))
    queue = [(-_ceiling(places, cell), cell) for cell in first]
    heapq.heapify(queue)
    rest, best = 0.0, places.best()[0]
    while queue and math.isfinite(best) and len(places.known) < MOST_PLACES_COUNT:
        ceiling, cell = -queue[0][0], queue[0][1]
        if ceiling <= best * (1.0 + SEARCH_SHARE):
            break
        heapq.heappop(queue)
        if max(cell[1] - cell[0], cell[3] - cell[2]) < LEAST_CELL_MM:
            rest = max(rest, ceiling)
            continue
        for part in _quarters(cell):
            heapq.heappush(queue, (-_ceiling(places, part), part))
        best = max(best, *(places.peak(*_middle(part)) for part in _quarters(cell)))
    places.climb()
    best = places.best()[0]
    return _demand(places, max(rest, best, -queue[0][0] if queue else 0.0))


def _demand(places: _Places, ceiling_n_per_mm2: float) -> TyreDemand:
    peak, x_mm, y_mm = places.best()
    load = _load(places.iron, places.tyre, x_mm, y_mm)
    whole = with_own_weight(load, places.iron_kg)
    found = contact(places.bed, whole.load_n, whole.x_mm, whole.y_mm)
    value = peak if math.isfinite(peak) else None
    return TyreDemand(
        places.tyre, found.verdict, value, x_mm, y_mm, load, found.pressed_share, ceiling_n_per_mm2, len(places.known)
    )


def worst_tyre(demands: Sequence[TyreDemand]) -> TyreDemand:
    """The demand that governs: one that tips before any other, else the greatest pressure.

    Valid       one demand or more
    Source      house
    Raises      NotDeterminedError where there is no tyre
    Proved by   tests/curing/test_tyre.py
    """
    if not demands:
        raise NotDeterminedError("the rule set gives no wheel with its contact here: what the wheel asks is not known")
    return max(demands, key=lambda d: math.inf if d.peak_n_per_mm2 is None else d.peak_n_per_mm2)


def tyre_why(demand: TyreDemand) -> Why:
    """How the greatest pressure of one tyre was found.

    Valid       a demand of tyre_demand
    Source      house
    Proved by   tests/curing/test_tyre.py
    """
    tyre, load = demand.tyre, demand.load
    inputs = (
        Why(
            "one wheel", tyre.wheel_kn, "kn", f"{tyre.name}: contains its dynamic effect, no second factor", tyre.source
        ),
        Why("contact", f"{tyre.along_mm:g} x {tyre.across_mm:g} mm", "", "along x across the traffic", tyre.source),
        Why("part on the iron", load.load_n / 1000.0, "kn", "by area; the rest stands on the road beside", "algebra"),
    )
    at = f"tyre's middle {demand.at_x_mm:.0f} mm along, {demand.at_y_mm:.0f} mm to the left of the frame's centre"
    what = "what the wheel asks of the bed"
    if demand.peak_n_per_mm2 is None:
        relation = f"{at}: the load lies outside the hull of the seating"
        return Why(what, "the frame tips", "", relation, "algebra", inputs)
    relation = f"{at}: rigid frame, bed without tension, {demand.pressed_share:.0%} of it pressed"
    return Why(what, demand.peak_n_per_mm2, "n_per_mm2", relation, "algebra", inputs)

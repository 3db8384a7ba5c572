"""How many litres a role gains or loses with each level, slope and twist of its bounding surfaces; and its error."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.curved import Section
from truebed.chamber.outlines import Outlines
from truebed.chamber.roles import (
    Bound,
    Term,
    joint_depth_mm,
    section_of,
    surfaces_of,
    terms_of,
    wants_strip,
)
from truebed.chamber.solids import MM3_PER_LITRE, Levels
from truebed.chamber.surface import Surface, less, raised

Array = NDArray[np.float64]

#: What may be wrong, in order. Levels in mm, slopes as ratios, twist and saddle per mm, the fold's place in mm.
PARAMETERS: tuple[tuple[Bound, str], ...] = (
    ("rim", "level"), ("rim", "slope x"), ("rim", "slope y"),
    ("road", "level"), ("road", "slope x"), ("road", "slope y"), ("road", "twist"), ("road", "saddle"),
    ("road", "fold"), ("road", "fold place"),
    ("top", "level"), ("top", "slope x"), ("top", "slope y"),
    ("floor", "level"), ("floor", "slope x"), ("floor", "slope y"),
)  # fmt: skip
FIRST: dict[Bound, int] = {"rim": 0, "road": 3, "top": 10, "floor": 13}
COUNT: dict[Bound, int] = {"rim": 3, "road": 7, "top": 3, "floor": 3}


def _shares(bound: Bound, road: Surface | None, side_ratio: float) -> Array:
    """How h, gx, gy, kxy, ks of a facet change with its surface's parameters: five rows, one column a parameter."""
    shares = np.zeros((5, COUNT[bound]))
    shares[:3, :3] = np.eye(3)
    if bound == "road":
        shares[3, 3] = shares[4, 4] = 1.0
        if road is not None and road.fold_ratio != 0.0:
            shares[0, 5] = -side_ratio * road.fold_mm
            shares[2 if road.fold_along else 1, 5] = side_ratio
            shares[0, 6] = -side_ratio * road.fold_ratio
    return shares


def _rates(section: Section, term: Term, road: Surface | None) -> Array:
    """Change of one solid's mm3 with every parameter: the wet part's area and moments."""
    from truebed.chamber.integral_kernel import WET, WET_SADDLE

    rates = np.zeros(len(PARAMETERS))
    found = section.integrals(term.region, less(term.upper, term.lower))
    for i, (_, answer) in enumerate(found):
        moments = answer[WET : WET_SADDLE + 1]
        for bound, facet, count, sign in (
            (term.upper_of, i // len(term.lower), len(term.upper), 1.0),
            (term.lower_of, i % len(term.lower), len(term.lower), -1.0),
        ):
            side = 2.0 * facet - 1.0 if count == 2 else 0.0
            start = FIRST[bound]
            rates[start : start + COUNT[bound]] += sign * (moments @ _shares(bound, road, side))
    return rates


def litre_rates(outlines: Outlines, levels: Levels) -> dict[str, Array]:
    """For each role, its change in litres per unit of each of PARAMETERS, exact for planes.

    A role struck to depth (running surface) changes only where it runs out. Under a twisted thickness that changes sign
    the moments are good to about 1e-6 of themselves.

    Valid       as role_solids; where surfaces cross, for changes small against what is wet
    Source      algebra: d/dh of the integral of max(0, u) is the area where u > 0, d/dgx its first moment
    Proved by   tests/chamber/test_sensitivity.py
    """
    section, surfaces = section_of(outlines, levels), surfaces_of(levels)
    road = levels.road_surface
    rates = {
        name: sum((_rates(section, t, road) for t in terms), np.zeros(len(PARAMETERS)))
        for name, terms in terms_of(levels, surfaces).items()
    }
    seal = np.zeros(len(PARAMETERS))
    if wants_strip(levels):
        whole = Term("joint", surfaces.road, surfaces.fill_top, "road", "rim")
        below = replace(whole, upper=raised(surfaces.road, -joint_depth_mm(levels)))
        seal = _rates(section, whole, road) - _rates(section, below, road)
    surface = rates["to road"] - rates["surround"] - seal if levels.surface_depth_mm > 0.0 else np.zeros(len(seal))
    named = {
        "bed": rates["bed"], "under_flange_fill": rates["fill"], "surround_fill": rates["surround"],
        "running_surface": surface, "edge_seal": seal,
    }  # fmt: skip
    return {role: mm3 / MM3_PER_LITRE for role, mm3 in named.items()}


def level_covariance(rim: Array, road: Array, top: Array, floor: Array | None) -> Array:
    """The covariance of PARAMETERS from those of the surfaces, independent of each other.

    road        of level, slopes, twist, saddle, fold, fold place: as many of the first as are given, the rest exact
    floor       None: dug down from the chamber top and wrong with it

    Valid       symmetric matrices, 3 rows for planes, 1 to 7 for the road
    Source      algebra
    Proved by   tests/chamber/test_sensitivity.py
    """
    whole = np.zeros((len(PARAMETERS), len(PARAMETERS)))
    blocks: dict[Bound, Array] = {"rim": rim, "road": road, "top": top}
    for bound, block in blocks.items():
        start = FIRST[bound]
        whole[start : start + len(block), start : start + len(block)] = block
    first, under = FIRST["top"], FIRST["floor"]
    if floor is not None:
        whole[under:, under:] = floor
        return whole
    whole[under:, under:] = top
    whole[first:under, under:] = whole[under:, first:under] = top
    return whole


def litre_sds(rates: dict[str, Array], covariance: Array) -> dict[str, float]:
    """One standard deviation of each role's litres from the errors of level.

    Valid       errors small against what is wet (to first order)
    Source      algebra (propagation of covariance)
    Proved by   tests/chamber/test_sensitivity.py
    """
    return {role: math.sqrt(max(float(rate @ covariance @ rate), 0.0)) for role, rate in rates.items()}


def shared_sd_l(rates: dict[str, Array], covariance: Array, roles: tuple[str, ...]) -> float:
    """One standard deviation of the litres of several roles together, what they share of one error counted so.

    Valid       as litre_sds
    Source      algebra
    Proved by   tests/chamber/test_sensitivity.py
    """
    return litre_sds({"all": sum((rates[r] for r in roles), np.zeros(len(PARAMETERS)))}, covariance)["all"]

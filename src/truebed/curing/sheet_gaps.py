"""What a sheet cannot tell, and what in it is odd without being wrong: sentences for a person."""

from __future__ import annotations

from itertools import combinations

from truebed.sheets.sheet import Sheet, TimeAt


def strength_gaps(sheet: Sheet) -> tuple[str, ...]:
    """What the sheet's strengths cannot give.

    Source      house
    Proved by   tests/curing/test_calibrate_gaps.py
    """
    points = sheet.strength
    if not points:
        return ("The sheet gives no strengths: no curve, no strength at any age.",)
    temps_c = sorted({point.temp_c for point in points})
    gaps: list[str] = []
    if len(points) == 1:
        only = points[0]
        gaps.append(
            f"One strength point ({only.strength_n_per_mm2:g} N/mm² at {only.age_min:g} min, {only.temp_c:g} °C) gives "
            "no curve: add a second age at least."
        )
    if len(temps_c) == 1:
        gaps.append(
            f"Strengths at {temps_c[0]:g} °C only cannot give the activation energy of strength: the stated default "
            "stands in, with a wider range. Ask the maker for strengths at a colder temperature."
        )
    if len(points) > 1 and all(sum(p.temp_c == temp_c for p in points) < 3 for temp_c in temps_c):
        gaps.append("Fewer than three ages at any one temperature: the curve's shape rests on what is usual.")
    first = min(points, key=lambda point: point.strength_n_per_mm2)
    last = max(points, key=lambda point: point.strength_n_per_mm2)
    gaps.append(f"Nothing is promised past the last datum, {last.strength_n_per_mm2:g} N/mm².")
    gaps.append(
        f"Below {first.strength_n_per_mm2:g} N/mm² the curve rests on the set times and on the strength usual at set."
    )
    return tuple(gaps) + _untested(sheet, temps_c)


def _untested(sheet: Sheet, temps_c: list[float]) -> tuple[str, ...]:
    limits = sheet.limits
    gaps = []
    if limits.temp_least_c < temps_c[0]:
        gaps.append(
            f"From {limits.temp_least_c:g} to {temps_c[0]:g} °C the sheet allows use but gives no strength: times "
            "there are extrapolated, and said to be."
        )
    if limits.temp_most_c > temps_c[-1]:
        gaps.append(
            f"From {temps_c[-1]:g} to {limits.temp_most_c:g} °C the sheet allows use but gives no strength: times "
            "there are extrapolated, and said to be."
        )
    return tuple(gaps)


def other_gaps(sheet: Sheet) -> tuple[str, ...]:
    """What the rest of the sheet leaves open.

    Source      house
    Proved by   tests/curing/test_calibrate_gaps.py
    """
    gaps: list[str] = []
    named: tuple[tuple[str, tuple[TimeAt, ...]], ...] = (
        ("working life", sheet.life),
        ("set", sheet.set_),
        ("readiness", sheet.ready),
    )
    for name, times in named:
        if len(times) == 1:
            gaps.append(
                f"Times of {name} at {times[0].temp_c:g} °C only: at others the stated default energy stands in."
            )
    if sheet.strength and sheet.traffic_strength_n_per_mm2 is None:
        gaps.append("No traffic strength: without one in the rule set the opening is not determined.")
    if sheet.kind == "cement" and sheet.heat is None:
        gaps.append("No heat of reaction: the stated default stands in.")
    if sheet.kind == "cement" and (sheet.thermal is None or sheet.thermal.conduct_w_per_m_k is None):
        gaps.append("No thermal conductivity: the stated default stands in.")
    if sheet.base_state is None:
        gaps.append("Whether the base may be dry, damp or wet is not said in a form that can be checked.")
    if sheet.kind == "resin" and not sheet.dose:
        gaps.append("No dose table: hardener cannot be weighed out for a temperature.")
    if sheet.dose and sheet.kit.resin_kg is None:
        gaps.append("The mass that its dose is counted on is not given (kit.resin_kg): no grams of hardener.")
    if sheet.kind == "sealant" and sheet.movement is None:
        gaps.append("No class of movement: how wide its joint must be is not determined.")
    if sheet.shelf is None:
        gaps.append("No shelf life: an old kit cannot be told.")
    return tuple(gaps)


def oddities(sheet: Sheet) -> tuple[str, ...]:
    """Strengths that fall as temperature grows, at one age.

    Valid       at late ages hot cured mortar may truly end weaker; one activation energy cannot show it
    Source      common practice, no source (cross-over of strengths)
    Proved by   tests/curing/test_calibrate_gaps.py
    """
    return tuple(
        f"At {cold.age_min:g} min the strength falls with temperature: {cold.strength_n_per_mm2:g} N/mm² at "
        f"{cold.temp_c:g} °C ({cold.place}), {warm.strength_n_per_mm2:g} at {warm.temp_c:g} °C ({warm.place}). A curve "
        "with one activation energy cannot show that; check the sheet."
        for cold, warm in combinations(sheet.strength, 2)
        if cold.age_min == warm.age_min
        and cold.temp_c < warm.temp_c
        and cold.strength_n_per_mm2 > warm.strength_n_per_mm2
    )

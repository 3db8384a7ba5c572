"""`truebed now`."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from truebed.actions.now import CoverNow
    from truebed.curing.pour_now import PourNow

DECIDES = "This says what is known. Truebed advises; a competent person decides whether the road opens."


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("cover")
@click.argument("pour", required=False)
@click.option("--at", default=None, help="The time asked about, if not now: 2027-01-12T23:40.")
@click.option("--placed", default=None, help="When the pour was placed, if the journal does not say it.")
@click.option("--target", "target_n_per_mm2", type=float, default=None,
              help="Strength to wait for, N/mm²; else the rule set's, else the sheet's.")  # fmt: skip
@click.option("--thick", "thick_mm", type=float, default=None,
              help="Thickness of the layer, mm: its heat ahead is then reckoned with the forecast.")  # fmt: skip
@click.option("--form", "place", default=None, metavar="PLACE",
              help="Print the paper form for a probe at this place instead (middle, slowest face, other face); no "
              "reading is needed.")  # fmt: skip
@click.option("--json", "as_data", is_flag=True, help="As JSON, for other programs.")
def now(
    works: Path,
    cover: str,
    pour: str | None,
    at: str | None,
    placed: str | None,
    target_n_per_mm2: float | None,
    thick_mm: float | None,
    place: str | None,
    as_data: bool,
) -> None:
    """How strong a cover's bearing pours are believed to be, and how many minutes are left.

    From the journal: when the pour was placed, what its probe read since (`truebed record probe`), strength tests.
    Every bearing pour where POUR is not named. Minutes with a 90 % range, by a Kalman filter on temperature and rate.
    """
    from truebed.actions import now as action

    if place is not None:
        from truebed.papers.now_words import form_text

        for form in action.form_for(works, cover, pour, place, target_n_per_mm2):
            for line in form_text(form):
                click.echo(line)
        return
    found = action.cover_now(works, cover, pour, action.Asking(at, placed, target_n_per_mm2, thick_mm))
    if as_data:
        click.echo(action.as_json(found))
        return
    for line in now_lines(found):
        click.echo(line)
    click.echo(DECIDES)


def now_lines(found: CoverNow) -> list[str]:
    """The whole answer in words."""
    lines = [f"{found.cover} at {found.asked_at:%Y-%m-%d %H:%M} ({found.time_zone})"]
    for one in found.pours:
        lines += ["", *pour_lines(one)]
    for pour, why in found.refused:
        told = why.removeprefix(f"{found.cover}, ").removeprefix(f"{pour}: ")
        lines += ["", f"{pour}: NOT TOLD: {told}"]
    lines += ["", *_cover_lines(found)]
    return lines


def pour_lines(pour: PourNow) -> list[str]:
    """One pour in words."""
    readings = f"{pour.readings_count} reading{'s' if pour.readings_count != 1 else ''}"
    lines = [
        f"{pour.pour}: {pour.sheet}, placed {_clock(pour.placed_at, pour.asked_at)} ({pour.placed_how})",
        f"   waits for {pour.target_n_per_mm2:g} N/mm² ({pour.target_source})",
        f"   probe at the {pour.place}: {readings}, last {pour.last_temp_c:g} °C at "
        f"{_clock(pour.last_reading_at, pour.asked_at)}, {pour.since_last_min:.0f} min ago; readings at most "
        f"{pour.longest_gap_min:.0f} min apart",
        f"   off what was expected there by {pour.off_k:+.1f} K, that changing by {pour.change_in_hour_k:+.1f} K an "
        "hour (Kalman filter on both)",
        f"   strength believed at the last reading: {pour.strength_n_per_mm2:.1f} N/mm² middle, "
        f"{pour.strength_low_n_per_mm2:.1f} at least (5 %); as old as {pour.age_min:.0f} min at 20 °C",
        f"   probability that {pour.target_n_per_mm2:g} N/mm² was reached then: {_share(pour.reached_probability)}",
        *_left_lines(pour),
        f"   site test: {pour.judged_why}",
    ]
    return [*lines, *(f"   note: {note}" for note in pour.notes)]


def _left_lines(pour: PourNow) -> list[str]:
    if pour.ready_late_at is None or pour.ready_middle_at is None or pour.left_min is None:
        return ["   minutes left: no time is believable; believably ready (95 %): not determined"]
    late = _clock(_up(pour.ready_late_at), pour.asked_at)
    late_min = "endless" if pour.left_late_min is None else f"{math.ceil(pour.left_late_min)}"
    passed = " (already past)" if pour.left_late_min == 0.0 else ""
    return [
        f"   minutes left: {pour.left_min:.0f}, 90 % range {pour.left_early_min:.0f} to {late_min}",
        f"   believably ready (95 %): {late}{passed}",
    ]


def _cover_lines(found: CoverNow) -> list[str]:
    lines = []
    clocks = [pour.ready_late_at for pour in found.pours]
    if found.refused:
        lines.append("these bearing pours: when all are ready cannot be told, one is not told")
    elif any(clock is None for clock in clocks):
        lines.append("these pours: when all are ready cannot be told")
    else:
        last = _up(max(clock for clock in clocks if clock is not None))
        line = f"these pours: all believably ready (95 %) {_clock(last, found.asked_at)}"
        if found.open_by is not None:
            spare_min = (found.open_by - last).total_seconds() / 60.0
            side = "before" if spare_min >= 0.0 else "AFTER"
            line += (
                f", {max(spare_min, -spare_min):.0f} min {side} the road must be open ({_clock(found.open_by, last)})"
            )
        lines.append(line)
    if not all(pour.may_be_judged for pour in found.pours):
        lines.append("the opening cannot be judged yet: see 'site test' above")
    if found.also:
        lines.append(f"also waited for before the road opens, by their own times: {'; '.join(found.also)}")
    return lines


def _clock(at: datetime, beside: datetime) -> str:
    """The time on the wall; with its day where that is another than the one beside it."""
    return f"{at:%H:%M}" if at.date() == beside.date() else f"{at:%a %d %b %H:%M}"


def _up(at: datetime) -> datetime:
    """The next whole minute: a late side is never told early."""
    whole = at.replace(second=0, microsecond=0)
    return whole if whole == at else whole + timedelta(minutes=1)


def _share(probability: float) -> str:
    """A share in per cent that is never rounded up to certainty."""
    if probability >= 0.995:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{100.0 * probability:.0f} %"

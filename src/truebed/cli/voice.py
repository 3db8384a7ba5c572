"""How the commands speak: faults, progress, summaries. Colours are off when not at a terminal (click sees to it)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from truebed.errors import FaultsError
from truebed.findings import Severity

if TYPE_CHECKING:  # the plan room brings numerical libraries, for which `--help` does not wait
    from truebed.plan.result import ClosurePlan, Plan

EXIT_FAULTS = 2
EXIT_REFUSED = 3
MOST_FAULTS_SHOWN = 200


def tell(sentence: str) -> None:
    """One line of progress, on the error stream so that results can be piped."""
    click.secho(f"  .. {sentence}", err=True, dim=True)


def say_faults(wrong: FaultsError) -> None:
    """Every fault, one a line, and how many there are."""
    for fault in wrong.faults[:MOST_FAULTS_SHOWN]:
        click.echo(fault.sentence(), err=True)
    more = len(wrong.faults) - MOST_FAULTS_SHOWN
    if more > 0:
        click.echo(f"... and {more} more", err=True)
    count = len(wrong.faults)
    click.secho(f"{count} fault{'s' if count != 1 else ''}; nothing was planned or written.", err=True, fg="red")


def closure_lines(closure: ClosurePlan) -> list[str]:
    """A closure in a few lines: done, opening, hand way, left out, not designed."""
    from truebed.plan.closure_findings import clock_text

    schedule = closure.solution.schedule

    def at(minute: int) -> str:
        return clock_text(closure, minute)

    window = f"{closure.shut:%a %d %b %H:%M} to {closure.open_by:%H:%M}"
    lines = [f"{closure.closure}  {', '.join(closure.streets)}  {window}"]
    if schedule.done:
        solution = closure.solution
        covers = "proven most" if solution.weight_proven else f"best found, bound {solution.weight_bound}"
        opening = "proven earliest" if solution.open_proven else f"not before {at(solution.open_bound_min)} proven"
        spare = closure.problem.window_min - schedule.open_min
        lines.append(f"   tonight: {', '.join(schedule.done)} ({covers} by severity)")
        lines.append(f"   road opens {at(schedule.open_min)} ({opening}), {spare} min in hand")
    else:
        lines.append("   tonight: nothing can be done")
    hand = f"opens {at(closure.hand.open_min)}" if closure.hand.done else "nothing fits"
    lines.append(f"   one after another: {len(closure.hand.done)} covers, {hand}")
    lines += [f"   not tonight: {out.cover}: {out.reason}" for out in closure.left_out]
    lines += [f"   not designed: {n.cover}: {n.reason} {n.mend}" for n in closure.not_designed]
    return lines


def plan_lines(plan: Plan) -> list[str]:
    """A plan in words for the terminal."""
    lines = [line for closure in plan.closures for line in closure_lines(closure)]
    lines += [f"   {f.sentence()}" for f in plan.findings if f.code == "RC-001"]
    breaking = [f for f in plan.findings if f.severity is Severity.BREAKS]
    close = sum(1 for f in plan.findings if f.severity is Severity.CLOSE)
    lines.append(f"{len(breaking)} findings break a limit, {close} are close to one:")
    lines += [f"   {f.sentence()}" for f in breaking]
    return lines

"""`truebed replan`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--plan", "place", type=click.Path(path_type=Path), required=True, help="The plan's results folder.")
@click.option("--at", default=None, help="The time asked about, if not now: 2027-01-12T23:40.")
@click.option("--closure", default=None, help="Which closure, if not the one running then.")
@click.option("--delay", multiple=True, metavar="COVER.STEP=MIN", help="A step takes so many minutes longer.")
@click.option("--broken", multiple=True, metavar="TOOL", help="One tool of that kind is lost for the night.")
@click.option("--rain", multiple=True, metavar="FROM-TO", help="No material is placed between: 23:30-00:15.")
@click.option("--as-planned", is_flag=True, help="Take steps the journal does not name as run to the plan so far.")
@click.option("--no-plates", is_flag=True, help="No opened cover may be left with a temporary reinstatement.")
@click.option("--handover", is_flag=True, help="Only the page to hand over in thirty seconds.")
@click.option("--json", "as_data", is_flag=True, help="As JSON, for other programs.")
def replan(
    works: Path,
    place: Path,
    at: str | None,
    closure: str | None,
    delay: tuple[str, ...],
    broken: tuple[str, ...],
    rain: tuple[str, ...],
    as_planned: bool,
    no_plates: bool,
    handover: bool,
    as_data: bool,
) -> None:
    """The night has changed: what to do with the rest of it.

    From the plan and the recorded steps: every cover begun is finished, made safe, or opens late and is kept closed
    until then; covers not begun are chosen again or left. Nothing is written.
    """
    from truebed.actions.replan import Night, replan_night

    night = Night(at, closure, delay, broken, rain, as_planned, may_be_plated=not no_plates)
    found = replan_night(works, place, night)
    if as_data:
        click.echo(found.as_json())
        return
    if as_planned:
        click.echo("steps that the journal does not name are taken to have run to the plan until now")
    for line in found.handover() if handover else found.lines():
        click.echo(line)

"""`truebed diagnose`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--cover", "name", default=None, help="Only the cover of that name.")
@click.option("--json", "as_data", is_flag=True, help="As JSON, for other programs.")
def diagnose(works: Path, name: str | None, as_data: bool) -> None:
    """Which repair each cover needs, before anybody digs.

    Judges cover to frame, frame to road and frame to chamber apart, from condition.csv, soundings.csv and the readings
    on the frame; gives the reason, what would change the answer, and what to test next. A competent person decides.
    """
    from truebed.actions import diagnose as action

    found = action.diagnose_works(works, name)
    if as_data:
        click.echo(action.as_json(found))
        return
    for one in found:
        for line in one.lines():
            click.echo(line)
    held = [one.cover.cover for one in found if one.diagnosis.held_back]
    click.echo(f"{len(found)} covers; frame not to be lifted as it stands: {', '.join(held) if held else 'none'}")
    click.echo("Truebed advises; a competent person decides.")

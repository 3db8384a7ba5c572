"""`truebed check`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
def check(works: Path) -> None:
    """Check a works folder: every fault with file, row, column and how to mend it, and what could not be planned.

    WORKS is the folder that holds works.toml, covers.csv, readings.csv and the rest (docs/works-folder.md).
    """
    from truebed.actions.load import load_works
    from truebed.actions.outlook import outlook

    loaded = load_works(works)
    given = loaded.works
    click.echo(
        f"{given.heading.name}: no faults. {len(given.covers)} covers, {len(given.readings)} readings, "
        f"{len(given.closures)} closures, {len(loaded.shelf.sheets)} sheets, {len(loaded.shelf.methods)} methods, "
        f"rule set {loaded.shelf.rules.key}."
    )
    for echo in given.echoes:
        click.echo(f"   {echo.file} row {echo.row}, {echo.column}: read '{echo.was}' as {echo.now}")
    for sentence in outlook(loaded):
        click.secho(f"   cannot be planned as it is: {sentence}", fg="yellow")
    for cover, top in loaded.measured.items():
        click.echo(f"   {cover}: chamber top measured by {top.author} at {top.at}, used in place of the estimate")

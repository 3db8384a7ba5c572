"""`truebed sweep`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, help="The table (CSV); written whole or not at all."
)
@click.option("--dry-run", is_flag=True, help="Work everything out and say what would be written; write nothing.")
def sweep(works: Path, out: Path, dry_run: bool) -> None:
    """The ground of every cover of a works, in batches, as one table.

    A row a cover: road, rim levels, departure, bed, cut-out, litres, waste. Covers that a batch cannot take (odd
    shapes, several castings, obstacles, shared errors of readings) are told so; `truebed plan` takes them one by one.
    No diagnosis, no programme, no kits.
    """
    from truebed.actions.sweep import sweep_folder
    from truebed.cli.voice import tell
    from truebed.plan.network_sweep import NOT_TAKEN_WORDS, PARTLY, REFUSED, WORKED

    done = sweep_folder(works, out, tell, dry_run=dry_run)
    for status in (WORKED, PARTLY, REFUSED, NOT_TAKEN_WORDS):
        count = done.swept.count(status)
        if count:
            click.echo(f"{count} {status}")
    for cover in done.swept.covers[:MOST_TOLD]:
        if cover.why:
            click.echo(f"   {cover.case.cover.cover}: {cover.status}: {cover.why}")
    click.echo(f"{'would write' if dry_run else 'written'}: {out}  {done.size / 1000:.0f} kB")
    click.echo("Truebed advises; a competent person decides.")


#: Of a network only the first covers are told on the screen; the table has all.
MOST_TOLD = 200

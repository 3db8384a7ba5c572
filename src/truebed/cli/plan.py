"""`truebed plan`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, help="Where the results go; written whole or not at all."
)
@click.option("--dry-run", is_flag=True, help="Plan and say what would be written; write nothing.")
def plan(works: Path, out: Path, dry_run: bool) -> None:
    """The main job: plan a works folder into a site pack.

    Gives OUT/plan.json, findings.csv, load-list.xlsx, programme.ics, a site pack (PDF) for each closure, and the
    drawings of each cover (SVG, DXF). An earlier plan at OUT is replaced; anything else there is left alone.
    """
    from truebed.actions.plan import plan_works
    from truebed.cli.voice import plan_lines, tell

    made = plan_works(works, out, tell, dry_run=dry_run)
    for line in plan_lines(made.plan):
        click.echo(line)
    click.echo(f"{'would write' if dry_run else 'written'}, {len(made.files)} files in {out}:")
    for name, size in made.files:
        click.echo(f"   {name}  {size / 1000:.0f} kB")

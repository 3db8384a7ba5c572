"""`truebed demo`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.option("--out", type=click.Path(path_type=Path), default=Path("demo"), show_default=True, help="Where it goes.")
def demo(out: Path) -> None:
    """The main job on an invented town: writes OUT/works, then plans it into OUT/plan.

    Town, people and materials are invented; no figure in them is any product's.
    """
    from truebed.actions.demo import run_demo
    from truebed.cli.voice import plan_lines, tell

    made = run_demo(out, tell)
    for line in plan_lines(made.plan):
        click.echo(line)
    click.echo(f"the works folder lies in {out / 'works'}; the results in {made.out}:")
    for name, size in made.files:
        click.echo(f"   {name}  {size / 1000:.0f} kB")

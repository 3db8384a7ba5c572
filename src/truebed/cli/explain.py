"""`truebed explain`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("figure", required=False, default="")
@click.option(
    "--plan", "place", type=click.Path(path_type=Path), default=Path("out/demo/plan"), show_default=True,
    help="The results folder, or its plan.json.",
)  # fmt: skip
@click.option("--list", "names", is_flag=True, help="Name every figure (or those that begin with FIGURE).")
def explain(figure: str, place: Path, names: bool) -> None:
    """Why a figure is what it is: inputs, relation, source, governing limit.

    FIGURE is a name such as C01.level.front-left, C01.bed.least, C01.kits.bed or N1.open.
    """
    from truebed.actions import explain as action
    from truebed.findings import short_number

    if names or not figure:
        for key, one in action.read_plan(place).figures:
            if key.lower().startswith(figure.lower()):
                value = "not determined" if one.value is None else f"{short_number(one.value)} {one.unit}"
                click.echo(f"{key}  {value}")
        return
    for line in action.explain(place, figure):
        click.echo(line)

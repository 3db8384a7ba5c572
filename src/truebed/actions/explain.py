"""Why a figure of a plan is what it is."""

from __future__ import annotations

from pathlib import Path

from truebed.errors import TruebedError
from truebed.papers.plan_json import plan_from_json
from truebed.plan.explain import explain_lines, find_figure, near_names
from truebed.plan.result import Plan


class NoSuchPlanError(TruebedError):
    """There is no plan at that place."""


class NoSuchFigureError(TruebedError):
    """The plan has no figure of that name; carries names that are near."""

    def __init__(self, name: str, near: tuple[str, ...]) -> None:
        self.near = near
        hint = f" Near it: {', '.join(near)}." if near else " `truebed explain --list` names them all."
        super().__init__(f"The plan has no figure '{name}'.{hint}")


def read_plan(place: Path) -> Plan:
    """The plan in a results folder or plan.json. Raises NoSuchPlanError."""
    path = place / "plan.json" if place.is_dir() else place
    if not path.is_file():
        raise NoSuchPlanError(f"There is no plan at {place}: run `truebed plan WORKS --out {place}` first.")
    try:
        return plan_from_json(path.read_bytes())
    except ValueError as broken:
        raise NoSuchPlanError(f"{path} is not a plan of this version of Truebed; plan the works again.") from broken


def explain(place: Path, name: str) -> tuple[str, ...]:
    """The why-tree of a figure as lines. Raises NoSuchPlanError, NoSuchFigureError."""
    plan = read_plan(place)
    figure = find_figure(plan, name)
    if figure is None:
        raise NoSuchFigureError(name, near_names(plan, name))
    return explain_lines(name, figure)

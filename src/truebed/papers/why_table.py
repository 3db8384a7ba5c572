"""Why-trees as one table: a node that stands under many figures is written once and named by its place."""

from __future__ import annotations

from typing import Any


def tabled(tree: dict[str, Any]) -> dict[str, Any]:
    """The plan's JSON with every why moved into the list `whys`; figures and inputs name it by its place there.

    Valid       the JSON of a plan, figures last but its notes
    Source      house (file format)
    Proved by   tests/papers/test_plan_json.py
    """
    places: dict[str, int] = {}
    table: list[dict[str, Any]] = []

    def place(node: dict[str, Any]) -> int:
        row = {**node, "inputs": [place(child) for child in node["inputs"]]}
        key = repr(row)
        if key not in places:
            places[key] = len(table)
            table.append(row)
        return places[key]

    figures = [[name, {**figure, "why": place(figure["why"])}] for name, figure in tree["figures"]]
    return {**tree, "figures": figures, "whys": table}


def untabled(tree: dict[str, Any]) -> dict[str, Any]:
    """The plan's JSON with every why back in its figure.

    Valid       what `tabled` gave
    Source      house (file format)
    Raises      ValueError where a why is named that is not there, or that comes after its user
    Proved by   tests/papers/test_plan_json.py
    """
    whole: list[dict[str, Any]] = []
    for row in tree.get("whys", []):
        whole.append({**row, "inputs": [_at(whole, place) for place in row["inputs"]]})
    figures = [[name, {**figure, "why": _at(whole, figure["why"])}] for name, figure in tree["figures"]]
    return {key: value for key, value in {**tree, "figures": figures}.items() if key != "whys"}


def _at(whole: list[dict[str, Any]], place: object) -> dict[str, Any]:
    if not isinstance(place, int) or not 0 <= place < len(whole):
        raise ValueError(f"plan.json names a why ({place}) that is not there")
    return whole[place]

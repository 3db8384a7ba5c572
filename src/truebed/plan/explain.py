"""The why-tree of a figure as lines of text."""

from __future__ import annotations

from truebed.plan.result import Plan
from truebed.why import Figure, Why


def find_figure(plan: Plan, name: str) -> Figure | None:
    """The figure of that id, None where there is none.

    Valid       any plan
    Source      house (look-up)
    Proved by   tests/plan/test_explain.py
    """
    return dict(plan.figures).get(name)


def near_names(plan: Plan, name: str, most: int = 6) -> tuple[str, ...]:
    """Ids that begin with the name, else those that look like it.

    Valid       any plan
    Source      house (look-up)
    Proved by   tests/plan/test_explain.py
    """
    from difflib import get_close_matches

    ids = [key for key, _ in plan.figures]
    begins = [key for key in ids if key.lower().startswith(name.lower())]
    return tuple(begins[:most]) if begins else tuple(get_close_matches(name, ids, most, 0.5))


def value_text(value: float | str, unit: str) -> str:
    """A value with its unit, for reading.

    Valid       any value
    Source      house (wording)
    Proved by   tests/plan/test_explain.py
    """
    number = value if isinstance(value, str) else f"{value:.2f}".rstrip("0").rstrip(".")
    text = "0" if number in ("-0", "") else number
    return f"{text} {unit}".strip()


def node_lines(why: Why, depth: int) -> list[str]:
    """One node as lines, indented by its depth.

    Valid       any node
    Source      house (wording)
    Proved by   tests/plan/test_explain.py
    """
    pad = "   " * depth
    source = f"  ({why.source})" if why.source else ""
    lines = [f"{pad}{why.what} = {value_text(why.value, why.unit)}", f"{pad}   {why.relation}{source}"]
    if why.governed_by:
        margin = "" if why.margin is None else f", margin {value_text(why.margin, why.unit)}"
        lines.append(f"{pad}   governed by: {why.governed_by}{margin}")
    return lines


def explain_lines(name: str, figure: Figure) -> tuple[str, ...]:
    """The figure, its interval, and its why-tree.

    A node that stands in the tree already is named and not opened again.

    Valid       any figure
    Source      the figure's own why
    Proved by   tests/plan/test_explain.py
    """
    value = "not determined" if figure.value is None else value_text(figure.value, figure.unit)
    spread = "" if figure.plus_minus is None else f" ± {value_text(figure.plus_minus, figure.unit)} (90 %)"
    lines = [f"{name}: {value}{spread}"]
    seen: set[Why] = set()

    def open_node(why: Why, depth: int) -> None:
        if why in seen:
            lines.append(f"{'   ' * depth}{why.what} = {value_text(why.value, why.unit)}  (as above)")
            return
        lines.extend(node_lines(why, depth))
        if why.inputs:
            seen.add(why)
        for child in why.inputs:
            open_node(child, depth + 1)

    open_node(figure.why, 1)
    return tuple(lines)

"""The way through a method's least times: no circle, and no opening before every bearing pour is ready."""

from __future__ import annotations

from truebed.errors import Fault
from truebed.rules.toml_file import TomlFile
from truebed.sheets.method_shape import OPEN, MethodFile, StepTable

#: An edge of a step as it stands in a link: 'saw.end'.
Edges = dict[str, tuple[str, ...]]


def opening_faults(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """A circle of least times, and pours on which the road could open unproved.

    A wheel comes on every role that bears and on the running surface: each of their pours needs a clock ('strength' or
    'ready') that runs to 'open' from the end of the last step that mixes or places it. Those are the pour's steps whose
    duration grows with its kits or batches, or all of its steps where none does.

    Valid       a chain whose links name steps
    Source      house (waits of one least time after another)
    Proved by   tests/sheets/test_opening_checks.py
    """
    after = _after(method)
    circle = _circle(after)
    if circle:
        found = f"a circle of least times: {' -> '.join(circle)}"
        return (file.fault(("link",), found, "a chain that goes forward", "Take out or turn one of the links."),)
    faults: list[Fault] = []
    for pour in _wheeled_pours(method):
        clocked = _clocked_edges(method, pour)
        for step in _placing_steps(method, pour):
            if not any(_leads(after, f"{step.key}.end", edge) for edge in clocked):
                mend = f'Add a link to "open" from the end of its last step, with a least_clock of pour "{pour}".'
                found = f"no clock of pour '{pour}' to the road's opening after step '{step.key}'"
                faults.append(file.fault(("link",), found, "a 'strength' or 'ready' clock", mend))
    return tuple(faults)


def _wheeled_pours(method: MethodFile) -> tuple[str, ...]:
    roles = (role for role in method.role if role.bears or role.role == "running_surface")
    return tuple(dict.fromkeys(role.pour for role in roles))


def _placing_steps(method: MethodFile, pour: str) -> tuple[StepTable, ...]:
    """The steps that mix or place the pour; one that only works on it (strikes it off) takes no kits."""
    steps = tuple(step for step in method.step if step.pour == pour)
    taking = tuple(s for s in steps if f"{pour}_kits" in s.duration or f"{pour}_batches" in s.duration)
    return taking or steps


def _clocked_edges(method: MethodFile, pour: str) -> tuple[str, ...]:
    """The step ends from which a clock of that pour runs to the opening."""
    return tuple(
        link.from_
        for link in method.link
        if link.to == OPEN
        and link.from_.endswith(".end")
        and link.least_clock is not None
        and link.least_clock.pour == pour
        and link.least_clock.kind in ("strength", "ready")
    )


def _after(method: MethodFile) -> Edges:
    """Each edge with those that cannot come before it: a step's own end, and the far ends of least times."""
    after: dict[str, list[str]] = {f"{step.key}.start": [f"{step.key}.end"] for step in method.step}
    for link in method.link:
        if link.to != OPEN and (link.least_min is not None or link.least_clock is not None):
            after.setdefault(link.from_, []).append(link.to)
    return {edge: tuple(following) for edge, following in after.items()}


def _leads(after: Edges, start: str, goal: str) -> bool:
    """Whether the goal cannot come before the start."""
    waiting, seen = [start], {start}
    while waiting:
        edge = waiting.pop()
        if edge == goal:
            return True
        fresh = [following for following in after.get(edge, ()) if following not in seen]
        seen |= set(fresh)
        waiting += fresh
    return False


def _circle(after: Edges) -> tuple[str, ...]:
    """The edges of one circle, first again at the end; () where there is none."""
    for edge in after:
        way = _way_back(after, edge)
        if way:
            return way
    return ()


def _way_back(after: Edges, start: str) -> tuple[str, ...]:
    """The shortest way from an edge to itself."""
    came_from: dict[str, str] = {}
    front = [start]
    while front:
        ahead: list[str] = []
        for edge in front:
            for following in after.get(edge, ()):
                if following == start:
                    way = [edge]
                    while way[-1] != start:
                        way.append(came_from[way[-1]])
                    return (*reversed(way), start)
                if following not in came_from:
                    came_from[following] = edge
                    ahead.append(following)
        front = ahead
    return ()

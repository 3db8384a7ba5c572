"""The way through a method's least times: no circle, and no opening before every bearing pour is ready."""

from __future__ import annotations

from truebed.errors import Fault
from truebed.rules.toml_file import TomlFile
from truebed.sheets.method_shape import OPEN, LinkTable, MethodFile, StepTable

#: An edge of a step as it stands in a link: 'saw.end'.
Edges = dict[str, tuple[str, ...]]


def opening_faults(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """A circle of least times, and pours on which the road could open, or the surface be laid, unproved.

    A wheel comes on every role that bears and on the running surface. Each bearing pour needs a 'strength' clock to
    the opening strength that runs to 'open'; a running surface that does not bear may have a 'ready' clock in its
    place. The fill under a running surface of another pour needs a clock that runs to 'open' or to the surface. Each
    runs from the end of the last step that mixes or places the pour: those are the pour's steps whose duration grows
    with its kits or batches, or all of its steps where none does.

    Valid       a chain whose links name steps
    Source      house (waits of one least time after another)
    Proved by   tests/sheets/test_opening_checks.py
    """
    after = _after(method)
    circle = _circle(after)
    if circle:
        found = f"a circle of least times: {' -> '.join(circle)}"
        return (file.fault(("link",), found, "a chain that goes forward", "Take out or turn one of the links."),)
    bearing = tuple(dict.fromkeys(role.pour for role in method.role if role.bears))
    top, under = _top_and_under(method)
    faults: list[Fault] = []
    for pour in bearing:
        edges = tuple(link.from_ for link in _clocks(method, pour) if link.to == OPEN and _to_opening_strength(link))
        expected = "a 'strength' clock without a strength of its own"
        faults += _unclocked(file, method, after, pour, edges, "the road's opening", expected)
    if top and top not in bearing:
        kinds = ("strength", "ready")
        edges = tuple(link.from_ for link in _clocks(method, top) if link.to == OPEN and _kind(link) in kinds)
        faults += _unclocked(file, method, after, top, edges, "the road's opening", "a 'strength' or 'ready' clock")
    if under and under not in (*bearing, top):
        laid = tuple(f"{step.key}.start" for step in _placing_steps(method, top))
        edges = tuple(
            link.from_
            for link in _clocks(method, under)
            if link.to == OPEN or any(_leads(after, link.to, start) for start in laid)
        )
        expected = "a 'ready', 'strength' or 'set' clock"
        faults += _unclocked(file, method, after, under, edges, "the running surface or the road's opening", expected)
    return tuple(faults)


def _top_and_under(method: MethodFile) -> tuple[str, str]:
    """The pour that wheels run on beside the frame, and the fill under it; '' for none or where they are one pour."""
    pours = {role.role: role.pour for role in method.role}
    fill = pours.get("surround_fill", pours.get("under_flange_fill", ""))
    top = pours.get("running_surface", fill)
    return top, "" if top == fill else fill


def _unclocked(
    file: TomlFile, method: MethodFile, after: Edges, pour: str, clocked: tuple[str, ...], goal: str, expected: str
) -> tuple[Fault, ...]:
    """The pour's placing steps after which none of the clocked edges comes."""
    mend = f'Add a link from the end of its last step to "open", with a least_clock of pour "{pour}".'
    return tuple(
        file.fault(("link",), f"no clock of pour '{pour}' to {goal} after step '{step.key}'", expected, mend)
        for step in _placing_steps(method, pour)
        if not any(_leads(after, f"{step.key}.end", edge) for edge in clocked)
    )


def _placing_steps(method: MethodFile, pour: str) -> tuple[StepTable, ...]:
    """The steps that mix or place the pour; one that only works on it (strikes it off) takes no kits."""
    steps = tuple(step for step in method.step if step.pour == pour)
    taking = tuple(s for s in steps if f"{pour}_kits" in s.duration or f"{pour}_batches" in s.duration)
    return taking or steps


def _clocks(method: MethodFile, pour: str) -> tuple[LinkTable, ...]:
    """The links that wait by a clock of that pour from the end of a step."""
    return tuple(
        link
        for link in method.link
        if link.from_.endswith(".end") and link.least_clock is not None and link.least_clock.pour == pour
    )


def _kind(link: LinkTable) -> str:
    return "" if link.least_clock is None else link.least_clock.kind


def _to_opening_strength(link: LinkTable) -> bool:
    """A strength of the link's own could be lower than what opens the road."""
    clock = link.least_clock
    return clock is not None and clock.kind == "strength" and clock.strength_n_per_mm2 is None


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

"""What must hold in a method's step chain: steps, links, clocks, and the way to the road's opening."""

from __future__ import annotations

from collections.abc import Mapping

from truebed.errors import Fault
from truebed.rules.shape import nearest
from truebed.rules.toml_file import KeyPath, TomlFile
from truebed.sheets.method_shape import OPEN, ClockTable, LinkTable, MethodFile, split_edge
from truebed.sheets.sheet import Sheet

FIXED_DRIVERS = ("saw_m", "dig_l", "frame_kg", "joint_m", "count")


def chain_faults(file: TomlFile, method: MethodFile, sheets: Mapping[str, Sheet]) -> tuple[Fault, ...]:
    """Every fault of the steps, of single links and of their clocks.

    sheets      the sound sheets; a clock of a pour whose sheet is not among them is not judged
    Source      house
    Proved by   tests/sheets/test_chain_checks.py
    """
    faults: list[Fault] = [*_steps(file, method)]
    for index, link in enumerate(method.link):
        faults += _ends(file, method, index, link)
        faults += _lags(file, index, link)
        for name, clock in (("least_clock", link.least_clock), ("greatest_clock", link.greatest_clock)):
            if clock is not None:
                faults += _clock(file, method, sheets, ("link", index, name), clock)
    return tuple(faults)


def drivers(pours: tuple[str, ...]) -> tuple[str, ...]:
    """The names that a duration may have besides base_min.

    Source      house
    Proved by   tests/sheets/test_chain_checks.py
    """
    return (*FIXED_DRIVERS, *(f"{pour}_{what}" for pour in pours for what in ("kits", "batches")))


def _pours(method: MethodFile) -> tuple[str, ...]:
    return tuple(dict.fromkeys(role.pour for role in method.role))


def _steps(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """Steps named once, with known drivers and pours; every pour placed by one of them."""
    faults: list[Fault] = []
    pours = _pours(method)
    seen: set[str] = set()
    for index, step in enumerate(method.step):
        at: KeyPath = ("step", index)
        if step.key in seen:
            faults.append(file.fault((*at, "key"), f"a second '{step.key}'", "each step once", "Give it another key."))
        if step.key == OPEN:
            mend = "Give the step another key: 'open' is the road's opening."
            faults.append(file.fault((*at, "key"), "'open'", "a key of its own", mend))
        seen.add(step.key)
        if step.pour and step.pour not in pours:
            faults.append(file.fault((*at, "pour"), f"'{step.pour}'", "a pour of a role", nearest(step.pour, pours)))
        faults += _duration(file, at, step.duration, drivers(pours))
    placed = {step.pour for step in method.step}
    for pour in pours:
        if pour not in placed:
            mend = f'Write pour = "{pour}" in the step that places it.'
            faults.append(file.fault(("step",), f"no step for pour '{pour}'", "a step that places it", mend))
    return tuple(faults)


def _duration(file: TomlFile, at: KeyPath, duration: Mapping[str, float], known: tuple[str, ...]) -> tuple[Fault, ...]:
    faults: list[Fault] = []
    where = (*at, "duration")
    if "base_min" not in duration:
        faults.append(file.fault(where, "no base_min", "base_min", "Add base_min, 0 if there is none."))
    for driver in duration:
        if driver != "base_min" and driver not in known:
            mend = nearest(driver, ("base_min", *known))
            faults.append(file.fault((*where, driver), f"unknown driver '{driver}'", "a known driver", mend))
    if duration and not any(duration.values()):
        faults.append(file.fault(where, "no time at all", "a step that takes time", "Give the minutes."))
    return tuple(faults)


def _ends(file: TomlFile, method: MethodFile, index: int, link: LinkTable) -> tuple[Fault, ...]:
    """Both ends name steps; a link does not join an edge to itself."""
    faults: list[Fault] = []
    steps = tuple(step.key for step in method.step)
    for name, text in (("from", link.from_), ("to", link.to)):
        step = split_edge(text)[0]
        if step not in steps and not (name == "to" and text == OPEN):
            faults.append(file.fault(("link", index, name), f"'{text}'", "an edge of a step", nearest(step, steps)))
    if link.from_ == link.to:
        faults.append(file.fault(("link", index, "to"), f"'{link.to}' twice", "another edge", "Mend one end."))
    return tuple(faults)


def _lags(file: TomlFile, index: int, link: LinkTable) -> tuple[Fault, ...]:
    """At least one lag, one of each sort, the right way round, and only least ones to the opening."""
    faults: list[Fault] = []
    at: KeyPath = ("link", index)
    least = [lag for lag in (link.least_min, link.least_clock) if lag is not None]
    greatest = [lag for lag in (link.greatest_min, link.greatest_clock) if lag is not None]
    if not least and not greatest:
        mend = "Add least_min, least_clock, greatest_min or greatest_clock."
        faults.append(file.fault(at, "a link without a time", "at least one", mend))
    for name, lags in (("least", least), ("greatest", greatest)):
        if len(lags) > 1:
            found = f"{name}_min and {name}_clock"
            faults.append(file.fault((*at, f"{name}_clock"), found, "one of the two", "Write two links."))
    if link.least_min is not None and link.greatest_min is not None and link.least_min > link.greatest_min:
        found = f"at least {link.least_min:g} and at most {link.greatest_min:g} min"
        faults.append(file.fault((*at, "least_min"), found, "least <= greatest", "Swap them, or mend one."))
    if link.to == OPEN and greatest:
        expected = "only a least time to the road's opening"
        faults.append(file.fault((*at, "to"), "a greatest time to 'open'", expected, "Take it out."))
    return tuple(faults)


def _clock(
    file: TomlFile, method: MethodFile, sheets: Mapping[str, Sheet], at: KeyPath, clock: ClockTable
) -> tuple[Fault, ...]:
    """A clock of a known pour, of a kind that fits its use, that the pour's sheet can answer."""
    pours = _pours(method)
    if clock.pour not in pours:
        return (file.fault((*at, "pour"), f"'{clock.pour}'", "a pour of a role", nearest(clock.pour, pours)),)
    faults: list[Fault] = []
    allowed = ("life", "set") if at[-1] == "greatest_clock" else ("set", "ready", "strength")
    if clock.kind not in allowed:
        sort = "a deadline runs by" if at[-1] == "greatest_clock" else "a wait runs by"
        expected = f"{sort} {', '.join(allowed)}"
        faults.append(file.fault((*at, "kind"), f"'{clock.kind}'", expected, "Take another kind."))
    if clock.strength_n_per_mm2 is not None and clock.kind != "strength":
        found = f"a strength under kind '{clock.kind}'"
        faults.append(file.fault((*at, "strength_n_per_mm2"), found, "kind 'strength'", "Mend the kind."))
    sheet = sheets.get(next(role.sheet for role in method.role if role.pour == clock.pour))
    missing = "" if sheet is None else _unanswered(sheet, clock)
    if sheet is not None and missing:
        found = f"'{clock.kind}' of '{sheet.key}'"
        mend = f"Add them to {sheet.file or sheet.key}, or take another kind."
        faults.append(file.fault((*at, "kind"), found, f"a sheet with {missing}", mend))
    return tuple(faults)


def _unanswered(sheet: Sheet, clock: ClockTable) -> str:
    """What the sheet would have to give for the clock; '' where it can be read."""
    if clock.kind == "life":
        return "" if sheet.life else "[[life]] points"
    if clock.kind == "set":
        return "" if sheet.set_ else "[[set]] points"
    if clock.kind == "ready" and not sheet.ready:
        return "" if sheet.strength and sheet.traffic_strength_n_per_mm2 is not None else "[[ready]] points"
    if clock.kind == "strength" and not sheet.strength:
        return "[[strength]] points"
    most = clock.strength_n_per_mm2
    if most is not None and max(point.strength_n_per_mm2 for point in sheet.strength) < most:
        return f"a strength of {most:g} N/mm² or more"
    return ""

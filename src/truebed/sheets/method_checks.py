"""What must hold between a method's roles, layers and sheets."""

from __future__ import annotations

from collections.abc import Mapping

from truebed.errors import Fault
from truebed.rules.shape import nearest
from truebed.rules.toml_file import TomlFile
from truebed.sheets.method_shape import MethodFile, RoleTable
from truebed.sheets.sheet import Sheet


def role_faults(
    file: TomlFile, method: MethodFile, sheets: Mapping[str, Sheet], faulty: frozenset[str]
) -> tuple[Fault, ...]:
    """Every fault of the roles and layers.

    faulty      keys of sheets that exist but have faults of their own, told elsewhere
    Source      house
    Proved by   tests/sheets/test_load_method.py
    """
    return (
        *_key(file, method),
        *_sheets(file, method, sheets, faulty),
        *_repeated(file, method),
        *_pours(file, method),
        *_needed(file, method),
        *_layers(file, method),
    )


def _key(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    if method.key == file.stem:
        return ()
    mend = f'Write key = "{file.stem}", or rename the file.'
    return (file.fault(("key",), f"'{method.key}'", f"the file's own name '{file.stem}'", mend),)


def _sheets(
    file: TomlFile, method: MethodFile, sheets: Mapping[str, Sheet], faulty: frozenset[str]
) -> tuple[Fault, ...]:
    """Roles whose sheet is not there, or cannot play them."""
    faults: list[Fault] = []
    for index, role in enumerate(method.role):
        sheet = sheets.get(role.sheet)
        if sheet is None and role.sheet not in faulty:
            mend = f"{nearest(role.sheet, tuple(sorted(sheets)))} Or add sheets/{role.sheet}.toml."
            faults.append(file.fault(("role", index, "sheet"), f"'{role.sheet}'", "the key of a data sheet", mend))
        if sheet is not None and sheet.kind == "sealant" and role.role != "edge_seal":
            found = f"the sealant '{role.sheet}' as {role.role}"
            mend = "Give the role another sheet."
            faults.append(file.fault(("role", index, "sheet"), found, "a cement or a resin", mend))
    return tuple(faults)


def _repeated(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    faults: list[Fault] = []
    seen: set[str] = set()
    for index, role in enumerate(method.role):
        if role.role in seen:
            found = f"a second '{role.role}'"
            faults.append(file.fault(("role", index, "role"), found, "each role once", "Keep one of them."))
        seen.add(role.role)
    return tuple(faults)


def _pours(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """Roles of one pour are one material."""
    faults: list[Fault] = []
    first: dict[str, RoleTable] = {}
    for index, role in enumerate(method.role):
        before = first.setdefault(role.pour, role)
        if before.sheet != role.sheet:
            found = f"pour '{role.pour}' of '{role.sheet}' and of '{before.sheet}'"
            mend = "Give the roles one sheet, or two pours."
            faults.append(file.fault(("role", index, "sheet"), found, "one sheet a pour", mend))
    return tuple(faults)


def _needed(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """A bed, and something that bears the wheel."""
    faults: list[Fault] = []
    if not any(role.role == "bed" for role in method.role):
        mend = "Add the role that the frame sits on."
        faults.append(file.fault(("role",), "no bed", "a role 'bed'", mend))
    if not any(role.bears for role in method.role):
        mend = "Write bears = true where the role carries wheel load."
        faults.append(file.fault(("role",), "no role that bears", "at least one role with bears = true", mend))
    for index, role in enumerate(method.role):
        if role.bears and role.role == "edge_seal":
            found = "an edge seal that bears"
            faults.append(file.fault(("role", index, "bears"), found, "false", "A seal carries no wheel."))
    return tuple(faults)


def _layers(file: TomlFile, method: MethodFile) -> tuple[Fault, ...]:
    """The surface's depth is 0 just where no running surface lies apart from the fill; a seal needs a joint."""
    faults: list[Fault] = []
    depth_mm = method.layers.surface_depth_mm
    pours = {role.role: role.pour for role in method.role}
    surface = pours.get("running_surface")
    fill = pours.get("surround_fill", pours.get("under_flange_fill"))
    merged = surface is None or surface == fill
    at = ("layers", "surface_depth_mm")
    if merged and depth_mm > 0.0:
        expected = "0: no running surface lies apart from the fill"
        faults.append(file.fault(at, f"{depth_mm:g} mm", expected, "Write 0, or give the surface its own pour."))
    if not merged and depth_mm == 0.0:
        expected = "the depth of the running surface"
        faults.append(file.fault(at, "0", expected, "Give the depth, or let the surface share the fill's pour."))
    if "edge_seal" in pours:
        named = (("joint_width_mm", method.layers.joint_width_mm), ("joint_depth_mm", method.layers.joint_depth_mm))
        for name, value_mm in named:
            if value_mm == 0.0:
                faults.append(file.fault(("layers", name), "0", "more than 0: the edge is sealed", "Give the joint."))
    return tuple(faults)

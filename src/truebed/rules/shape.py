"""The edge where a file's tables become typed: pydantic says what is wrong, Truebed says it in sentences."""

from __future__ import annotations

import math
from dataclasses import replace
from difflib import get_close_matches
from typing import Annotated, Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from truebed.errors import Fault
from truebed.rules.toml_file import KeyPath, TomlFile, dotted

_WORD = "[A-Za-z0-9][A-Za-z0-9_-]*"
FILLED, KEY = r"\S", f"^{_WORD}$"
STEP_EDGE, STEP_EDGE_OR_OPEN = rf"^{_WORD}\.(start|end)$", rf"^({_WORD}\.(start|end)|open)$"
#: What a text must look like, in words, by its pattern.
PATTERNS = {
    FILLED: "a text that is not blank",
    KEY: "a key: letters, digits, '-' and '_', no blanks",
    STEP_EDGE: "'step.start' or 'step.end'",
    STEP_EDGE_OR_OPEN: "'step.start', 'step.end' or 'open'",
}

Text = Annotated[str, StringConstraints(pattern=FILLED, max_length=400)]
Key = Annotated[str, StringConstraints(pattern=KEY, max_length=80)]
Positive = Annotated[float, Field(gt=0.0, lt=1e9)]
NotNegative = Annotated[float, Field(ge=0.0, lt=1e9)]
Celsius = Annotated[float, Field(ge=-60.0, le=90.0)]


class Table(BaseModel):
    """A TOML table: strict types, no key that is not known, no NaN or infinity."""

    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False, frozen=True)


TableT = TypeVar("TableT", bound=Table)


def shaped(model: type[TableT], file: TomlFile) -> tuple[TableT | None, tuple[Fault, ...]]:
    """The file's tables as that model, or every fault of shape at once.

    Source      house
    Proved by   tests/sheets/test_load_sheets.py
    """
    try:
        return model.model_validate(file.tables), ()
    except ValidationError as error:
        faults = [_fault(model, file, row) for row in error.errors(include_url=False)]
        return None, _joined(faults)


def nearest(word: str, known: tuple[str, ...]) -> str:
    """A sentence that offers the nearest known word, or lists them all.

    Source      house
    Proved by   tests/sheets/test_load_sheets.py
    """
    close = get_close_matches(word, known, n=1, cutoff=0.6)
    if close:
        return f"Did you mean '{close[0]}'?"
    return f"Known: {', '.join(known)}." if known else "There are none."


def _fault(model: type[Table], file: TomlFile, row: Any) -> Fault:
    """One of pydantic's errors as a fault with its line."""
    kind, context = str(row["type"]), row.get("ctx", {})
    path: KeyPath = _real_path(file, tuple(row["loc"]))
    if kind == "missing":
        whole = dotted(path[:-1]) or "the file"
        return file.fault(path, "nothing", f"the key '{path[-1]}'", f"Add '{path[-1]}' to {whole}.")
    if kind == "extra_forbidden":
        known = _known_keys(model, path[:-1])
        return file.fault(path, f"unknown key '{path[-1]}'", "a known key", nearest(str(path[-1]), known))
    expected = _expected(kind, context, str(row["msg"]))
    if kind == "literal_error":
        options = tuple(part.strip(" '") for part in str(context["expected"]).replace(" or ", ",").split(","))
        return file.fault(path, _shown(row["input"]), f"one of {expected}", nearest(str(row["input"]), options))
    return file.fault(path, _shown(row["input"]), expected, "Give the value as expected.")


def _joined(faults: list[Fault]) -> tuple[Fault, ...]:
    """One fault a place: where a value may be of two kinds, both are said in one sentence."""
    joined: dict[tuple[int, str], Fault] = {}
    for fault in faults:
        place = (fault.row, fault.column)
        before = joined.get(place)
        joined[place] = replace(before, expected=f"{before.expected} or {fault.expected}") if before else fault
    return tuple(joined.values())


def _real_path(file: TomlFile, path: KeyPath) -> KeyPath:
    """The path without the branch names that pydantic adds for a number-or-text value."""
    here: Any = file.tables
    real: KeyPath = ()
    for part in path:
        if not isinstance(here, dict | list):
            break
        real = (*real, part)
        here = _inside(here, part)
    return real


def _inside(here: Any, part: str | int) -> Any:
    """What stands under that key or number; None where nothing does."""
    if isinstance(here, dict):
        return here.get(part)
    return here[part] if isinstance(part, int) else None


def _known_keys(model: type[Table], path: KeyPath) -> tuple[str, ...]:
    """The keys that the table at that path may have."""
    here: type[Table] = model
    for part in path:
        if isinstance(part, int):
            continue
        for name, field in here.model_fields.items():
            if part in (name, field.alias):
                inner = _table_in(field.annotation)
                here = here if inner is None else inner
    return tuple(field.alias or name for name, field in here.model_fields.items())


def _table_in(annotation: Any) -> type[Table] | None:
    """The table type inside list[...], ... | None and the like."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    for inner in get_args(annotation):
        found = _table_in(inner)
        if found is not None:
            return found
    return None


def _expected(kind: str, context: dict[str, Any], message: str) -> str:
    """What should have stood there, in words."""
    plain = {
        "float_type": "a number",
        "finite_number": "a finite number",
        "string_type": "a text in quotes",
        "list_type": "a list",
        "model_type": "a table",
        "dict_type": "a table",
        "bool_type": "true or false",
        "int_type": "a whole number",
    }
    if kind in plain:
        return plain[kind]
    if kind == "string_pattern_mismatch":
        return PATTERNS[str(context["pattern"])]
    limits = {
        "greater_than": ("gt", "more than"),
        "greater_than_equal": ("ge", "at least"),
        "less_than": ("lt", "less than"),
        "less_than_equal": ("le", "at most"),
    }
    if kind in limits:
        name, words = limits[kind]
        return f"{words} {context[name]:g}"
    if kind == "literal_error":
        return str(context["expected"])
    return message


def _shown(value: object) -> str:
    """A value as the user wrote it, short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value}" if isinstance(value, int) or math.isfinite(value) else f"{value} (not a finite number)"
    if isinstance(value, str):
        return f"'{value[:60]}'"
    return "a table" if isinstance(value, dict) else "a list" if isinstance(value, list) else f"{value}"[:60]

"""Events as bytes and back: one canonical JSON object (RFC 8785) a line, unknown fields kept as they are."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from types import UnionType
from typing import Any, Literal, cast, get_args, get_origin, get_type_hints

import rfc8785

from truebed.records.events import (
    KINDS,
    Correction,
    Event,
    EventData,
    Fields,
    UnknownData,
    Unsound,
    has_offset,
    unsound,
)

#: Whole numbers beyond this lose digits in JSON (RFC 8785, 3.2.2.3).
WHOLE_MOST = 2**53 - 1
ENVELOPE = ("id", "kind", "at", "author", "cover", "data", "prev", "hash")


class UnsoundRecordError(Exception):
    """A line that is no sound record; carries everything that was found."""

    def __init__(self, found: tuple[Unsound, ...]) -> None:
        self.found = found
        super().__init__("; ".join(f"{one.column}: {one.found}, expected {one.expected}" for one in found))


def canonical(value: Any) -> bytes:
    """A JSON value in its one canonical form.

    Valid       values JSON can hold
    Source      [rfc-8785]
    Raises      UnsoundRecordError for numbers or texts JSON cannot hold
    Proved by   tests/records/test_codec.py
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeError, RecursionError) as error:
        raise UnsoundRecordError((Unsound("", str(error), "numbers and texts that JSON can hold"),)) from error


def as_object(event: Event, *, with_hash: bool = True) -> dict[str, Any]:
    """The event as a JSON object; its own hash left out where that is what is hashed.

    Valid       any event
    Source      house (docs/journal.md)
    Proved by   tests/records/test_codec.py
    """
    whole = {name: getattr(event, name) for name in ENVELOPE} | {"data": data_object(event.data)} | dict(event.extra)
    if not with_hash:
        del whole["hash"]
    return whole


def data_object(data: EventData) -> dict[str, Any]:
    """An event's data as a JSON object.

    Valid       any event data
    Source      house (docs/journal.md)
    Proved by   tests/records/test_codec.py
    """
    return cast("dict[str, Any]", _plain(data))


def encode_line(event: Event) -> bytes:
    """The event's line, with its line end.

    Valid       a sealed event
    Source      [rfc-8785]
    Raises      UnsoundRecordError for values JSON cannot hold
    Proved by   tests/records/test_codec.py
    """
    return canonical(as_object(event)) + b"\n"


def parse_line(line: bytes) -> dict[str, Any]:
    """A line's JSON object, refused unless it is written in the one canonical form.

    line        without its line end
    Valid       any bytes
    Source      [rfc-8785]
    Raises      UnsoundRecordError
    Proved by   tests/records/test_codec.py
    """
    try:
        whole = json.loads(line.decode("utf-8"), parse_int=_whole)
    except (ValueError, OverflowError, RecursionError) as error:
        raise UnsoundRecordError((Unsound("", "text that is no record", "one JSON object"),)) from error
    if not isinstance(whole, dict):
        raise UnsoundRecordError((Unsound("", "a value that is no record", "one JSON object"),))
    if canonical(whole) != line:
        raise UnsoundRecordError(
            (Unsound("", "a record written another way than Truebed writes it", "canonical JSON (RFC 8785)"),)
        )
    return whole


def decode_object(whole: dict[str, Any]) -> Event:
    """The event in a line's JSON object.

    Valid       an object of parse_line
    Source      house (docs/journal.md)
    Raises      UnsoundRecordError with everything that is wrong
    Proved by   tests/records/test_codec.py
    """
    found = [
        Unsound(name, _said(whole, name), "a text")
        for name in ENVELOPE
        if name != "data" and not isinstance(whole.get(name), str)
    ]
    if not isinstance(whole.get("data"), dict):
        found.append(Unsound("data", _said(whole, "data"), "an object"))
    if found:
        raise UnsoundRecordError(tuple(found))
    found = [Unsound(name, "nothing", "a text") for name in ("id", "kind", "author") if not whole[name]]
    if not has_offset(whole["at"]):
        found.append(Unsound("at", f"'{whole['at']}'", "a time with its offset, such as 2027-06-08T22:10:00+01:00"))
    data = decode_data(whole["kind"], whole["data"])
    found += unsound(data)
    if found:
        raise UnsoundRecordError(tuple(found))
    extra = tuple((name, value) for name, value in whole.items() if name not in ENVELOPE)
    return Event(
        whole["id"],
        whole["kind"],
        whole["at"],
        whole["author"],
        whole["cover"],
        data,
        whole["prev"],
        whole["hash"],
        extra,
    )


def decode_data(kind: str, value: dict[str, Any]) -> EventData:
    """An event's data from its JSON object; a kind this edition does not know is kept whole.

    Valid       any kind
    Source      house (docs/journal.md)
    Raises      UnsoundRecordError with everything that is wrong
    Proved by   tests/records/test_codec.py
    """
    if kind not in KINDS:
        return UnknownData(tuple(value.items()))
    found: list[Unsound] = []
    data = _build(KINDS[kind], value, "data", found)
    if found:
        raise UnsoundRecordError(tuple(found))
    return cast("EventData", data)


def corrected(data: EventData, correction: Correction, kind: str) -> EventData:
    """The data with a correction's values in place of its own.

    Valid       fields of that kind of event
    Source      house (docs/journal.md)
    Raises      UnsoundRecordError where the corrected data would be unsound or the field is none of the event's
    Proved by   tests/records/test_replay.py
    """
    now = data_object(data)
    known = {*now, *(field.name for field in fields(data) if field.name != "extra")}
    strange = tuple(
        Unsound(f"data.fields.{name}", f"'{name}'", f"one of {', '.join(sorted(known))}")
        for name, _ in correction.fields
        if name not in known
    )
    if strange:
        raise UnsoundRecordError(strange)
    result = decode_data(kind, now | dict(correction.fields))
    found = unsound(result)
    if found:
        raise UnsoundRecordError(found)
    return result


def _whole(text: str) -> int | float:
    number = int(text)
    return number if -WHOLE_MOST <= number <= WHOLE_MOST else float(number)


def _said(whole: dict[str, Any], name: str) -> str:
    if name not in whole:
        return "nothing"
    text = json.dumps(whole[name], ensure_ascii=False, default=str)
    return text if len(text) <= 60 else text[:57] + "..."


def _plain(value: Any) -> Any:
    """A dataclass as a JSON object, its unknown fields beside the known ones; tuples as lists.

    What was not said (None) is not written: a record of an earlier edition keeps its bytes.
    """
    if is_dataclass(value) and not isinstance(value, type):
        own = {field.name: getattr(value, field.name) for field in fields(value) if field.name != "extra"}
        own = {name: item for name, item in own.items() if item is not None}
        if isinstance(value, Correction):
            own["fields"] = dict(value.fields)
        return {name: _plain(item) for name, item in own.items()} | dict(getattr(value, "extra", ()))
    return [_plain(item) for item in value] if isinstance(value, tuple) else value


def _build(data_type: type[Any], value: dict[str, Any], place: str, found: list[Unsound]) -> Any:
    """A dataclass from a JSON object; what does not fit is added to `found`."""
    hints = get_type_hints(data_type)
    own = [field.name for field in fields(data_type) if field.name != "extra"]
    may_lack = {field.name for field in fields(data_type) if field.default is None}
    built: dict[str, Any] = {}
    for name in own:
        column = f"{place}.{name}"
        if name in value:
            built[name] = _fit(_said_type(hints[name]), value[name], column, found)
        elif name not in may_lack:
            found.append(Unsound(column, "nothing", _wanted(hints[name])))
    if found:
        return None
    return data_type(**built, extra=tuple((name, item) for name, item in value.items() if name not in own))


def _said_type(hint: Any) -> Any:
    """The type of a value that is there: None is said by leaving the name out, never by null."""
    if get_origin(hint) is not UnionType or hint == Fields:
        return hint
    said = [one for one in get_args(hint) if one is not type(None)]
    return said[0] if len(said) == 1 else hint


def _fit(hint: Any, value: Any, column: str, found: list[Unsound]) -> Any:
    if hint == Fields and isinstance(value, dict):
        return tuple(value.items())
    if get_origin(hint) is tuple and hint != Fields and isinstance(value, list):
        return tuple(_fit(get_args(hint)[0], item, f"{column}[{i}]", found) for i, item in enumerate(value))
    if get_origin(hint) is Literal and value in get_args(hint):
        return value
    if hint is str and isinstance(value, str):
        return value
    if hint is int and isinstance(value, int) and not isinstance(value, bool):
        return value
    if hint is float and isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    if is_dataclass(hint) and isinstance(hint, type) and isinstance(value, dict):
        return _build(hint, value, column, found)
    found.append(Unsound(column, _said({"value": value}, "value"), _wanted(hint)))
    return None


def _wanted(hint: Any) -> str:
    if get_origin(hint) is Literal:
        return " or ".join(f"'{choice}'" for choice in get_args(hint))
    words = {str: "a text", int: "a whole number", float: "a number"}
    if hint in words:
        return words[hint]
    return "an object" if hint == Fields or is_dataclass(hint) else "a list"

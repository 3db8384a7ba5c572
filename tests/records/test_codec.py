"""Bytes to events and back: the same bytes, unknown fields and unknown kinds included."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from records.night import EVERY_KIND, event, kit
from truebed.records.codec import (
    UnsoundRecordError,
    as_object,
    canonical,
    data_object,
    decode_data,
    decode_object,
    encode_line,
    parse_line,
)
from truebed.records.events import KIND_OF, EventData, ProbeRead, StepStarted, UnknownData

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("abcxyz_é€", max_size=5), inner, max_size=3),
    max_leaves=8,
)  # fmt: skip


@pytest.mark.parametrize("data", EVERY_KIND, ids=lambda data: KIND_OF[type(data)])
def test_every_kind_comes_back_as_it_went(data: EventData) -> None:
    one = replace(event(1, data), hash="00")
    line = encode_line(one)
    assert line.endswith(b"\n")
    assert line.count(b"\n") == 1
    assert decode_object(parse_line(line[:-1])) == one


@given(st.sampled_from(EVERY_KIND), st.dictionaries(st.text("qwé_", min_size=1, max_size=4), JSON, max_size=3))
def test_unknown_fields_are_written_back_byte_for_byte(data: EventData, strange: dict[str, Any]) -> None:
    whole = as_object(event(1, data))
    whole = whole | strange | {"data": whole["data"] | strange}
    line = rfc8785.dumps(whole)
    assert encode_line(decode_object(parse_line(line))) == line + b"\n"


def test_unknown_fields_inside_a_point_are_written_back() -> None:
    whole = as_object(event(1, EVERY_KIND[3]))
    whole["data"]["points"][2]["face"] = {"north": [1, 2.5, None]}
    line = rfc8785.dumps(whole)
    assert encode_line(decode_object(parse_line(line))) == line + b"\n"


@given(st.dictionaries(st.text("abc_", max_size=4), JSON, max_size=4))
def test_a_kind_not_known_yet_is_kept_whole(data: dict[str, Any]) -> None:
    whole = as_object(event(1, StepStarted("saw"))) | {"kind": "frame weighed", "data": data}
    line = rfc8785.dumps(whole)
    read = decode_object(parse_line(line))
    assert isinstance(read.data, UnknownData)
    assert encode_line(read) == line + b"\n"


def test_numbers_beyond_whole_numbers_keep_their_bytes() -> None:
    whole = as_object(event(1, StepStarted("saw"))) | {"weight": 1e20, "small": 1e-7, "minus": -0.5}
    line = rfc8785.dumps(whole)
    assert b"100000000000000000000" in line
    assert encode_line(decode_object(parse_line(line))) == line + b"\n"


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"[]",
        b"17",
        b"not json",
        b'{"a": 1}',
        b'{"b":1,"a":2}',
        b'{"a":1,"a":1}',
        b'{"a":1.0}',
        b'{"a":-0}',
        b'{"a":1}\r',
        b'\xef\xbb\xbf{"a":1}',
        b'{"a":NaN}',
        b'{"a":1e400}',
        b'{"a":' + b"9" * 400 + b"}",
        b'{"a":9007199254740993}',
        b'{"a":"\\ud800"}',
        b'{"\\ud800":1}',
        b'{"a":"\xff"}',
        b'{"a":' + b"[" * 100_000,
    ],
)
def test_a_line_that_is_not_canonical_json_is_refused_without_a_traceback(line: bytes) -> None:
    with pytest.raises(UnsoundRecordError):
        parse_line(line)


def test_a_value_json_cannot_hold_is_refused() -> None:
    with pytest.raises(UnsoundRecordError):
        canonical({"temp_c": float("nan")})


def test_every_wrong_field_of_an_envelope_is_named_at_once() -> None:
    whole = as_object(event(1, StepStarted("saw")))
    whole["author"] = 7
    del whole["cover"]
    with pytest.raises(UnsoundRecordError) as raised:
        decode_object(whole)
    assert {found.column for found in raised.value.found} == {"author", "cover"}


def test_a_time_without_offset_and_an_empty_author_are_named() -> None:
    whole = as_object(event(1, StepStarted("saw"))) | {"at": "2027-06-08T20:00", "author": ""}
    with pytest.raises(UnsoundRecordError) as raised:
        decode_object(whole)
    assert [found.column for found in raised.value.found] == ["author", "at"]


@pytest.mark.parametrize(
    ("field", "value"),
    [("kits", 1.5), ("kits", True), ("kits", "2"), ("liquid_l", None), ("liquid_l", "6"), ("lot", 5), ("lot", None)],
)
def test_a_value_of_the_wrong_type_is_named_and_nothing_is_guessed(field: str, value: object) -> None:
    with pytest.raises(UnsoundRecordError) as raised:
        decode_data("kit mixed", data_object(kit()) | {field: value})
    assert [found.column for found in raised.value.found] == [f"data.{field}"]


def test_a_missing_field_and_a_wrong_point_are_both_named() -> None:
    points = [{"x_mm": 0, "y_mm": 0, "level_mm": 1}, {"x_mm": 0, "y_mm": 0}, 4]
    with pytest.raises(UnsoundRecordError) as raised:
        decode_data("chamber top measured", {"points": points})
    assert [found.column for found in raised.value.found] == ["data.points[1].level_mm", "data.points[2]"]


def test_a_probe_reading_of_an_earlier_edition_still_reads_and_keeps_its_bytes() -> None:
    line = b'{"at":"2027-06-08T20:07:00.000+01:00","author":"AR","cover":"T01","data":{"temp_c":16,"where":"bed"},'
    line += b'"hash":"00","id":"e007","kind":"probe read","prev":""}'
    read = decode_object(parse_line(line))
    assert read.data == ProbeRead("bed", 16.0)
    assert encode_line(read) == line + b"\n"


def test_what_was_not_said_is_left_out_and_null_in_its_place_is_refused() -> None:
    assert set(data_object(ProbeRead("bed", 16.0, "bed"))) == {"where", "temp_c", "pour"}
    with pytest.raises(UnsoundRecordError) as raised:
        decode_data("probe read", {"where": "bed", "temp_c": 16, "pour": None, "at": 5})
    assert [(found.column, found.expected) for found in raised.value.found] == [
        ("data.pour", "a text"),
        ("data.at", "a text"),
    ]


def test_a_choice_outside_its_words_is_refused() -> None:
    with pytest.raises(UnsoundRecordError, match="'open' or 'keep shut'"):
        decode_data("opening decided", {"decision": "perhaps", "by": "crew lead", "why": "late"})


def test_the_line_is_canonical_json_with_sorted_names() -> None:
    whole = json.loads(encode_line(event(1, kit())))
    assert list(whole) == sorted(whole)
    assert list(whole["data"]) == sorted(whole["data"])

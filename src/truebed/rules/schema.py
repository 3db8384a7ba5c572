"""The shape of a rule-set file."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from truebed.rules.shape import Key, Table, Text

ReadAs = Literal[
    "seen",
    "second-hand",
    "memory-high",
    "memory-medium",
    "memory-low",
    "common-practice",
    "assumption",
    "invented",
]


class ValueTable(Table):
    """One limit with where it comes from. A value without source is refused."""

    name: Key = Field(description="what the value is; ends in its unit, e.g. fixed_feature_low_mm")
    value: float | str = Field(description="a number in `unit`, or a word")
    unit: str = Field(description="one of Truebed's units, e.g. 'mm'; '' for a word")
    applies: list[Key] = Field(default=[], description="words it applies to, all of which must fit; [] = everything")
    source: Text = Field(description="key of a known document or of a [[source]] in the same file")
    clause: str = Field(description="clause, table or page")
    edition: Text = Field(description="edition or date of the document")
    read_as: ReadAs = Field(description="how far the document was read; all but 'seen' is shown as unverified")


class SourceTable(Table):
    """A document of the user's own that values are taken from."""

    key: Key
    document: Text
    edition: Text


class RulesFile(Table):
    """A rule set (rules/<key>.toml): named values, each with its source, over those of the set it extends."""

    key: Key = Field(description="the file's name without .toml")
    name: Text = Field(description="the set's name for people")
    extends: Key | None = Field(default=None, description="key of the set whose values it takes over")
    source: list[SourceTable] = Field(default=[], description="documents of the user's own")
    value: list[ValueTable] = Field(default=[], description="the limits")

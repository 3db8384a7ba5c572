"""The shape of a method file (methods/<key>.toml), and how it becomes a method."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from truebed.rules.shape import STEP_EDGE, STEP_EDGE_OR_OPEN, Key, NotNegative, Positive, Table, Text
from truebed.sheets.method import Clock, Duration, Edge, Layers, Link, Method, Role, Step

OPEN = "open"
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Start = Annotated[str, StringConstraints(pattern=STEP_EDGE)]
Target = Annotated[str, StringConstraints(pattern=STEP_EDGE_OR_OPEN)]


class LayersTable(Table):
    """The method's own depths and allowances."""

    surface_depth_mm: NotNegative = Field(description="depth of the running surface [mm]; 0: the fill runs to the road")
    over_flange_mm: NotNegative = Field(description="fill carried above the flange [mm]")
    floor_below_mm: NotNegative = Field(description="dig below the chamber top outside the wall [mm]")
    joint_width_mm: NotNegative = Field(description="width of the movement joint [mm]")
    joint_depth_mm: NotNegative = Field(description="depth of the movement joint [mm]")
    allowance_share: Share = Field(description="added for residue and over-dig; 0.06 is 6 %")


class RoleTable(Table):
    """Which sheet plays one role."""

    role: Literal["bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal"]
    sheet: Key = Field(description="key of a data sheet")
    pour: Key = Field(description="roles with the same pour go in together as one material")
    bears: bool = Field(description="the role carries wheel load")


class StepTable(Table):
    """One step of the chain."""

    key: Key
    name: Text
    people: Annotated[int, Field(ge=1, le=50)]
    duration: dict[str, NotNegative] = Field(description="base_min, and minutes for each unit of a driver")
    tools: list[Key] = Field(default=[], description="kinds of tools, one of each is held")
    noisy: bool = False
    pour: str = Field(default="", description="the pour whose material the step mixes or places")
    hold: str = Field(default="", description="the hold point that the step ends with")
    cautions: list[Key] = Field(default=[], description="keys of cautions to show")
    skill: str = Field(default="", description="a skill that one of its people has")


class ClockTable(Table):
    """A time taken from a sheet at the night's temperature."""

    pour: Key
    kind: Literal["life", "set", "ready", "strength"]
    strength_n_per_mm2: Positive | None = Field(
        default=None, description="strength waited for [N/mm2]; without it, the opening strength"
    )


class LinkTable(Table):
    """At least, at most, or both, between two step edges."""

    from_: Start = Field(alias="from", description="'step.start' or 'step.end'")
    to: Target = Field(description="'step.start', 'step.end' or 'open'")
    why: Text
    least_min: NotNegative | None = Field(default=None, description="at least so long [minute]")
    least_clock: ClockTable | None = None
    greatest_min: NotNegative | None = Field(default=None, description="at most so long [minute]")
    greatest_clock: ClockTable | None = None


class MethodFile(Table):
    """A method (methods/<key>.toml): which material plays which role, and the step chain with its clocks."""

    key: Key = Field(description="the file's name without .toml")
    name: Text
    layers: LayersTable
    role: Annotated[list[RoleTable], Field(min_length=1)]
    step: Annotated[list[StepTable], Field(min_length=1)]
    link: list[LinkTable] = Field(default=[], description="times between step edges")


def split_edge(text: str) -> tuple[str, Edge]:
    """The step and its edge; the road's opening has only a start.

    Source      house
    Proved by   tests/sheets/test_load_method.py
    """
    step, _, edge = text.partition(".")
    return step, "end" if edge == "end" else "start"


def method_of(table: MethodFile, file: str) -> Method:
    """The method as the core knows it.

    Source      house
    Proved by   tests/sheets/test_load_method.py
    """
    layers = table.layers
    return Method(
        key=table.key,
        name=table.name,
        roles=tuple(Role(row.role, row.sheet, row.pour, row.bears) for row in table.role),
        layers=Layers(
            layers.surface_depth_mm,
            layers.over_flange_mm,
            layers.floor_below_mm,
            layers.joint_width_mm,
            layers.joint_depth_mm,
            layers.allowance_share,
        ),
        steps=tuple(_step(row) for row in table.step),
        links=tuple(_link(row) for row in table.link),
        file=file,
    )


def _step(row: StepTable) -> Step:
    per = tuple((driver, each) for driver, each in row.duration.items() if driver != "base_min")
    return Step(
        key=row.key,
        name=row.name,
        people=row.people,
        duration=Duration(row.duration["base_min"], per),
        tools=tuple(row.tools),
        noisy=row.noisy,
        pour=row.pour,
        hold=row.hold,
        cautions=tuple(row.cautions),
        skill=row.skill,
    )


def _link(row: LinkTable) -> Link:
    from_step, from_edge = split_edge(row.from_)
    to_step, to_edge = split_edge(row.to)
    return Link(
        from_step,
        from_edge,
        to_step,
        to_edge,
        row.why,
        row.least_min,
        _clock(row.least_clock),
        row.greatest_min,
        _clock(row.greatest_clock),
    )


def _clock(row: ClockTable | None) -> Clock | None:
    return None if row is None else Clock(row.pour, row.kind, row.strength_n_per_mm2)

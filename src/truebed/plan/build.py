"""given -> plan: the one pure function that the commands and the pages call."""

from __future__ import annotations

from truebed import __version__
from truebed.findings import Finding, Severity
from truebed.given.works import Works
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.closure import Progress, plan_closure
from truebed.plan.load import gear_lines, kit_lines, stock_findings
from truebed.plan.result import Plan
from truebed.plan.shelf import Shelf

NOTES = (
    "Truebed advises; a competent person decides. Local codes, the material's own data sheets and licensed practice "
    "govern.",
    "Ready times and working lives come from heat and hydration of each layer on the night's forecast, fitted to its "
    "sheet: the opening waits for the late end (95 %), placing keeps to the early end (5 %). Heat moves up and down "
    "only, with the open sides of the flange; moisture is left out. Probe the layers before opening.",
    "Durations are the methods' own figures without spread: the plan says what fits, not how likely it is.",
    "A bed pressure is that of a rigid frame on an elastic bed; where contact is lost a finding says so.",
)


def _silent(_: str) -> None:
    return None


def build_plan(
    works: Works,
    shelf: Shelf,
    measured: dict[str, MeasuredTop],
    input_sha256: str,
    tell: Progress = _silent,
    oddities: tuple[Finding, ...] = (),
) -> Plan:
    """The whole plan of a works: every closure, load list, findings, figures.

    measured      chamber tops from the record, by cover
    input_sha256  of the works folder's bytes, so that a plan names what it was made from
    oddities      what was odd about the record, told with the plan's own findings
    tell          progress sentences for a person; never part of the result

    Valid       a works without faults
    Source      see the rooms below
    Proved by   tests/whole_job/test_demo_plan.py
    """
    planned = tuple(plan_closure(works, shelf, closure, measured, tell) for closure in works.closures)
    closures = tuple(p.plan for p in planned)
    lines = tuple(line for c in closures for line in (*kit_lines(c, shelf.sheets), *gear_lines(works, c)))
    nights = {c.closure: c.open_by.date() for c in closures}
    echoes = tuple(
        Finding("IN-001", Severity.STATED, f"{e.file} row {e.row}, {e.column}", f"read '{e.was}' as {e.now}")
        for e in works.echoes
    )
    findings = (*(f for p in planned for f in p.findings), *stock_findings(works, lines, nights), *oddities, *echoes)
    figures = sorted((pair for p in planned for pair in p.figures), key=lambda pair: pair[0])
    heading = works.heading
    return Plan(
        works=heading.name,
        reference=heading.reference,
        rule_set=f"{shelf.rules.key}: {shelf.rules.name}",
        time_zone=heading.time_zone,
        demo=heading.demo,
        truebed=__version__,
        closures=closures,
        load=lines,
        findings=tuple(findings),
        figures=tuple(figures),
        notes=NOTES,
        input_sha256=input_sha256,
    )

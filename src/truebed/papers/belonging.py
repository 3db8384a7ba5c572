"""To which closure and cover a finding belongs, read from its subject ('C04, corner front-left')."""

from __future__ import annotations

from truebed.findings import Finding, Severity
from truebed.plan.result import ClosurePlan, Plan

SEVERITIES = tuple(Severity)


def covers_of(closure: ClosurePlan) -> tuple[str, ...]:
    """Every cover the closure speaks of, designed or not.

    Valid       any closure
    Source      house (look-up)
    Proved by   tests/papers/test_belonging.py
    """
    return tuple(d.cover for d in closure.designed) + tuple(n.cover for n in closure.not_designed)


def speaks_of(subject: str, name: str) -> bool:
    """Whether a subject begins with that name as a whole: 'C04, x' speaks of C04, 'C041' does not.

    Valid       any text
    Source      house (look-up)
    Proved by   tests/papers/test_belonging.py
    """
    rest = subject[len(name) :]
    return bool(name) and subject.startswith(name) and not (rest[:1].isalnum() or rest[:1] in ("-", "_"))


def cover_of(finding: Finding, plan: Plan) -> str:
    """The cover a finding speaks of; '' where it speaks of none.

    Valid       any finding of the plan
    Source      house (look-up)
    Proved by   tests/papers/test_belonging.py
    """
    names = {name for closure in plan.closures for name in covers_of(closure)}
    fitting = [name for name in names if speaks_of(finding.subject, name)]
    return max(fitting, key=len, default="")


def closures_of(finding: Finding, plan: Plan) -> tuple[str, ...]:
    """The closures a finding speaks of; () where it is of the works as a whole.

    Valid       any finding of the plan
    Source      house (look-up)
    Proved by   tests/papers/test_belonging.py
    """
    cover = cover_of(finding, plan)
    if cover:
        return tuple(c.closure for c in plan.closures if cover in covers_of(c))
    return tuple(c.closure for c in plan.closures if speaks_of(finding.subject, c.closure))


def findings_of(plan: Plan, closure: ClosurePlan) -> tuple[Finding, ...]:
    """Findings of that closure and of the works as a whole, heaviest first, else in their own order.

    Valid       a closure of the plan
    Source      house (look-up)
    Proved by   tests/papers/test_belonging.py
    """
    own = [f for f in plan.findings if closure.closure in (closures_of(f, plan) or (closure.closure,))]
    return tuple(sorted(own, key=lambda f: SEVERITIES.index(f.severity)))

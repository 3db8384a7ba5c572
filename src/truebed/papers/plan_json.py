"""The plan as JSON and back: everything that was found, every figure with its why."""

from __future__ import annotations

import json
import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from truebed.papers.why_table import tabled, untabled
from truebed.plan.result import Plan

if TYPE_CHECKING:
    from pydantic import TypeAdapter

#: Digits kept: never fewer than six that count, never coarser than a millionth.
_DIGITS = 6


@lru_cache(maxsize=1)
def plan_adapter() -> TypeAdapter[Plan]:
    """What knows the plan's types: it writes, reads and describes them.

    Valid       always
    Source      house (file format)
    Proved by   tests/papers/test_plan_json.py
    """
    from pydantic import TypeAdapter

    return TypeAdapter(Plan)


def plan_json(plan: Plan) -> bytes:
    """The plan as UTF-8 JSON in the order of its fields, floats to six digits that count, never NaN.

    Valid       a plan whose numbers are all finite
    Source      house (file format; docs/schema/plan.schema.json)
    Raises      ValueError where a number is not finite
    Proved by   tests/papers/test_plan_json.py
    """
    tree = plan_adapter().dump_python(plan, mode="json", warnings=False)
    text = json.dumps(tabled(_rounded(tree)), ensure_ascii=False, allow_nan=False, indent=1)
    return f"{text}\n".encode()


def plan_from_json(data: bytes) -> Plan:
    """The plan that JSON holds. Numbers are as rounded on writing.

    Valid       bytes that plan_json wrote
    Source      house (file format)
    Raises      ValueError where it is not a plan of this version
    Proved by   tests/papers/test_plan_json.py
    """
    tree = json.loads(data)
    if not isinstance(tree, dict) or not isinstance(tree.get("figures"), list):
        raise ValueError("not a plan: it has no works and no figures")
    try:
        whole = untabled(tree)
    except (KeyError, TypeError) as broken:
        raise ValueError(f"not a plan of this version: {broken}") from broken
    return plan_adapter().validate_json(json.dumps(whole))


def rounded(value_count: float) -> float:
    """A number with six digits that count and at least six decimals; whole floats and zeros stay what they are.

    Valid       finite numbers
    Source      house (file format)
    Raises      ValueError where the number is not finite
    Proved by   tests/papers/test_plan_json.py
    """
    if not math.isfinite(value_count):
        raise ValueError("a plan holds a number that is not finite; it is not written")
    near = round(value_count, _DIGITS) if abs(value_count) >= 1 else float(f"{value_count:.{_DIGITS}g}")
    return near + 0.0  # no -0.0


def _rounded(tree: Any) -> Any:
    if isinstance(tree, dict):
        return {key: _rounded(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_rounded(value) for value in tree]
    return rounded(tree) if isinstance(tree, float) else tree

"""The confusion table and the noise study of docs/theory/diagnosis.md, computed from the labelled cases."""

from collections import Counter
from dataclasses import replace
from functools import cache

import numpy as np

from diagnosis.cases import CASES
from diagnosis.sample import CORNERS, limits
from truebed.diagnosis.decide import decide
from truebed.diagnosis.facts import facts_of
from truebed.diagnosis.table import packaged_table

DRAWS = 200
SEED = 20270311
FIELDS = tuple(f"{what}_step_{corner}_mm" for what in ("lid", "frame") for corner in CORNERS)


def answer(survey, kind="cover"):
    return decide(facts_of(survey, limits(kind)), packaged_table())


def digs(repair):
    return packaged_table().repairs[repair].dig in ("frame", "surround")


@cache
def confusion():
    """(label, answer) -> how many cases."""
    return Counter((case.label, answer(case.survey, case.kind).repair.key) for case in CASES)


def confusion_page():
    """The table as it stands in the docs: rows are labels, columns are answers."""
    counts = confusion()
    names = list(dict.fromkeys(row.repair for row in packaged_table().rows))
    lines = ["| label \\ answer | " + " | ".join(names) + " |", "|---" * (len(names) + 1) + "|"]
    for label in names:
        cells = [str(counts[label, name]) if counts[label, name] else "" for name in names]
        lines.append(f"| **{label}** | " + " | ".join(cells) + " |")
    return "\n".join(lines)


@cache
def noise():
    """Name of each case -> (share of draws with another repair, share in which digging was turned)."""
    rng = np.random.default_rng(SEED)
    shares = {}
    for case in CASES:
        before, changed, turned = answer(case.survey, case.kind).repair.key, 0, 0
        for _ in range(DRAWS):
            errors = rng.normal(0.0, 1.0, len(FIELDS))
            read = {
                name: round(getattr(case.survey.condition, name) + error, 1)
                for name, error in zip(FIELDS, errors, strict=True)
                if getattr(case.survey.condition, name) is not None
            }
            survey = replace(case.survey, condition=replace(case.survey.condition, **read))
            after = answer(survey, case.kind).repair.key
            changed += after != before
            turned += digs(after) != digs(before)
        shares[case.name] = (changed / DRAWS, turned / DRAWS)
    return shares


def noise_means():
    """Mean share of changed answers: all cases, those clear of the limits, those near one; and of turned digging."""
    shares = noise()
    clear = [shares[c.name][0] for c in CASES if not c.read_wrong]
    near = [shares[c.name][0] for c in CASES if c.read_wrong]
    turned = [one[1] for one in shares.values()]
    everything = [one[0] for one in shares.values()]
    return tuple(float(np.mean(v)) for v in (everything, clear, near, turned))

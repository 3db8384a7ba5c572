"""Whether stated probabilities are true: made-up ironwork whose true state is known, read with the stated errors.

The true answer is the decision table on the true values, read without error; the diagnosis sees only readings with the
errors of the rule set. Priors are flat and wider than any limit; what nobody looked at is the same in both.
"""

from functools import cache

import numpy as np

from diagnosis.sample import CORNERS, limits, sheet
from truebed.diagnosis.decide import decide
from truebed.diagnosis.facts import facts_of
from truebed.diagnosis.survey import Survey
from truebed.diagnosis.table import packaged_table

TRIALS = 3000
SEED = 20270312
BINS = ((0.0, 0.7), (0.7, 0.9), (0.9, 0.97), (0.97, 1.0001))
#: A reading without error, near enough.
EXACT = 1e-6


def exact_limits():
    rules = limits()
    names = ("step_sd_mm", "rock_sd_mm", "hollow_sd_pct", "crack_sd_mm")
    return type(rules)(**{f: EXACT if f in names else getattr(rules, f) for f in type(rules).__dataclass_fields__})


def true_state(rng):
    """A frame and a lid, both rigid, and the rest; as columns of condition.csv."""
    x, y = np.array([1, 1, -1, -1]), np.array([1, -1, 1, -1])
    frame = rng.uniform(-9, 6) + rng.uniform(-1, 1) * x + rng.uniform(-1, 1) * y
    lid = rng.uniform(-5, 4) + rng.uniform(-1, 1) * x + rng.uniform(-1, 1) * y
    found = {f"frame_step_{c}_mm": v for c, v in zip(CORNERS, frame, strict=True)}
    found |= {f"lid_step_{c}_mm": v for c, v in zip(CORNERS, lid, strict=True)}
    return found | {
        "rock_mm": rng.uniform(0, 3), "hollow_taps_pct": rng.uniform(0, 40), "crack_mm": rng.uniform(0, 10),
        "courses_class": int(rng.choice([0, 1, 2, 3], p=[0.4, 0.3, 0.2, 0.1])),
        "seat_wear_class": int(rng.integers(0, 3)),
        "surround": str(rng.choice(["sound", "cracked", "potholed"])),
    }  # fmt: skip


def as_read(found, rng):
    """The same with the errors that the rule set states."""
    rules = limits()
    error = {"rock_mm": rules.rock_sd_mm, "hollow_taps_pct": rules.hollow_sd_pct, "crack_mm": rules.crack_sd_mm}
    read = dict(found)
    for name, value in found.items():
        if name.endswith("_step_mm") or "_step_" in name or name in error:
            read[name] = value + rng.normal(0.0, error.get(name, rules.step_sd_mm))
    least = {name: max(0.0, read[name]) for name in error}
    return read | least | {"hollow_taps_pct": min(100.0, least["hollow_taps_pct"])}


def answer(found, rules):
    return decide(facts_of(Survey(sheet(**found)), rules), packaged_table())


@cache
def calibration():
    """For each bin of claimed probability: how many, mean claimed, share that was right.

    The last two: share of ironwork that truly had to be lifted and was told to stay with 0.9 or more; and the other
    way round.
    """
    rng = np.random.default_rng(SEED)
    exact, table = exact_limits(), packaged_table()
    rows, missed, needless, lifted, left = [], 0, 0, 0, 0
    for _ in range(TRIALS):
        truth = true_state(rng)
        right = answer(truth, exact).repair
        said = answer(as_read(truth, rng), limits())
        rows.append((said.probability, said.repair.key == right.key))
        lifts, told = right.dig == "frame", table.repairs[said.repair.key].dig == "frame"
        lifted, left = lifted + lifts, left + (not lifts)
        missed += lifts and not told and said.probability >= 0.9
        needless += told and not lifts and said.probability >= 0.9
    found = []
    for low, high in BINS:
        inside = [(p, ok) for p, ok in rows if low <= p < high]
        found.append((len(inside), float(np.mean([p for p, _ in inside])), float(np.mean([ok for _, ok in inside]))))
    return tuple(found), missed / lifted, needless / left


def calibration_page():
    """The table as it stands in the docs."""
    bins, missed, needless = calibration()
    lines = ["| claimed | covers | mean claimed | truly right |", "|---|---|---|---|"]
    for (low, high), (count, claimed, right) in zip(BINS, bins, strict=True):
        lines.append(f"| {low:.2f} to {min(high, 1.0):.2f} | {count} | {claimed:.3f} | {right:.3f} |")
    lines.append("")
    lines.append(
        f"Told with 0.9 or more to leave a frame that had to come out: {missed:.4f} of those; the other way round: "
        f"{needless:.4f}."
    )
    return "\n".join(lines)

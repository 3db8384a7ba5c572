"""The movement joint on paper: width, depth, rod, how it moves, when to seal it, and what is not known."""

from __future__ import annotations

from truebed.drawings.levels_text import tenth_mm
from truebed.papers.resin_words import degrees_words
from truebed.papers.weather_words import advice_words
from truebed.plan.base_hours import spans_text
from truebed.plan.joint import JointPlan


def joint_rows(joint: JointPlan | None) -> list[dict[str, str]]:
    """The joint in rows of a name and a text; a row with nothing to say is left away, none without a joint.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    if joint is None:
        return []
    rows = (
        ("sealant", sealant_words(joint)),
        ("width", width_words(joint)),
        ("depth", depth_words(joint)),
        ("backer", backer_words(joint)),
        ("moves", moves_words(joint)),
        ("seal when", seal_words(joint)),
        ("taken", " ".join(joint.taken)),
        ("not known", " ".join(joint.unknown)),
    )
    return [{"name": name, "text": text} for name, text in rows if text]


def sealant_words(joint: JointPlan) -> str:
    """Which sealant, of which class.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    if not joint.sealant_class:
        return f"{joint.name}; its class of movement is not given"
    return f"{joint.name}, class {joint.sealant_class} ({joint.class_place})"


def width_words(joint: JointPlan) -> str:
    """The method's width beside the least.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    own, least = f"{tenth_mm(joint.width_mm)} mm", joint.least_width_mm
    if least is None:
        return f"{own}; least width not determined"
    by = "" if joint.asked is None else f" ({joint.asked.governed_by})"
    if joint.asked is not None and least > joint.asked.least_width_mm:
        by = " (the sheet's least width)"
    verdict = "enough" if joint.width_mm >= least else "NOT ENOUGH at the worst hour"
    return f"{own}; least {tenth_mm(least)} mm{by}: {verdict}"


def depth_words(joint: JointPlan) -> str:
    """The method's depth beside the wanted.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    text = f"{tenth_mm(joint.depth_mm)} mm; about {tenth_mm(joint.wanted_depth_mm)} mm suits that width"
    if not joint.shallowest_mm <= joint.depth_mm <= joint.deepest_mm:
        return f"{text}; NOT ALLOWED: the sheet takes {joint.shallowest_mm:g} to {joint.deepest_mm:g} mm"
    return f"{text}; NOT ALLOWED: deeper than wide" if joint.depth_mm > joint.width_mm else text


def backer_words(joint: JointPlan) -> str:
    """The rod behind the sealant.

    Valid       any joint
    Source      house (writing); common practice, no source
    Proved by   tests/papers/test_joint_words.py
    """
    if joint.backer_mm is None:
        return "no usual rod is wide enough: lay a strip that the sealant does not stick to"
    return f"rod of {joint.backer_mm:g} mm; where it has no room, a strip that the sealant does not stick to"


def moves_words(joint: JointPlan) -> str:
    """How far the joint moves, and between which temperatures.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    moves = joint.moves
    if moves is None or joint.whole_mm is None:
        return ""
    between = f"{degrees_words(moves.coldest_c)} to {degrees_words(moves.hottest_c)} \u00b0C of the piece"
    text = (
        f"{joint.whole_mm:.2f} mm from {between}, {moves.shrinkage_mm:.2f} mm of it shrinkage; "
        f"{joint.moving.length_mm:.0f} mm move ({joint.moving.said})"
    )
    if joint.asked is None or joint.asked_c is None:
        return text
    sealed = f"sealed at {degrees_words(joint.asked_c)} \u00b0C ({joint.asked_at[11:16]}, the worst hour)"
    return f"{text}; {sealed} it opens {joint.asked.opens_mm:.2f} and closes {joint.asked.closes_mm:.2f} mm"


def seal_words(joint: JointPlan) -> str:
    """When to seal: the range of temperature, and the hours of the closure inside it.

    Valid       any joint
    Source      house (writing)
    Proved by   tests/papers/test_joint_words.py
    """
    if joint.moves is None or not joint.sealant_class:
        return ""
    if joint.window is None:
        return "at no temperature: the joint is too narrow for this sealant"
    coldest, hottest = degrees_words(joint.window.coldest_c), degrees_words(joint.window.hottest_c)
    text = f"with the piece at {coldest} to {hottest} \u00b0C" + (" (any of the year)" if joint.any_time else "")
    if not joint.hours:
        return text
    free = tuple(h.at for h in joint.hours if h.may_seal is not False)
    barred = tuple(h for h in joint.hours if h.may_seal is False)
    if not barred:
        return f"{text}: every hour of the closure"
    keys = advice_words(tuple(key for h in barred if h.allowed is False for key in h.advice))
    when = f"{spans_text(free)} only" if free else "NO hour of the closure: seal in a later visit"
    return f"{text}: {when}. {keys}".rstrip()

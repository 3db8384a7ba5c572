"""The make-up of a chamber against plain enumeration of everything that could be done with the yard."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.diagnosis.makeup import MakeupQuestion, makeup, whole
from truebed.given.survey import YardUnit

HEIGHTS = st.sampled_from([6.5, 10.0, 12.7, 20.0, 25.0, 30.0, 50.8, 75.0])
WORK = st.sampled_from([0.0, 0.1, 5.0, 10.0, 12.5, 30.0])
ADDS = st.lists(st.tuples(st.sampled_from(["course", "ring"]), HEIGHTS, st.integers(0, 3), WORK), max_size=3)
FRAMES = st.lists(st.tuples(st.sampled_from([75.0, 100.0, 125.0, 150.0]), st.integers(0, 1), WORK), max_size=2)


@st.composite
def questions(draw):
    adds = [YardUnit(f"a{i}", k, h, n, work_min=w) for i, (k, h, n, w) in enumerate(draw(ADDS))]
    frames = [YardUnit(f"f{i}", "frame", h, n, work_min=w) for i, (h, n, w) in enumerate(draw(FRAMES))]
    gaps = tuple(draw(st.lists(st.integers(-600, 2500), min_size=1, max_size=4)))
    low = draw(st.integers(5, 20))
    return MakeupQuestion(
        tuple(g / 10.0 for g in gaps), 100.0, float(low), float(low + draw(st.integers(0, 60))),
        tuple(adds + frames), draw(st.integers(0, 2)), 75.0, draw(WORK),
    )  # fmt: skip


def everything(q):
    """(miss, work, pieces, |change|) of every way, in thousandths."""
    adds = [u for u in q.units if u.kind != "frame"]
    frames = [(0, 0, 0)] + [
        (whole(u.height_mm) - whole(q.frame_depth_mm), whole(u.work_min), 1)
        for u in q.units
        if u.kind == "frame" and u.count
    ]
    gaps = [whole(g) for g in q.gaps_mm]
    for counts in product(*(range(u.count + 1) for u in adds)):
        for (deeper, work, piece), off in product(frames, range(q.courses_off_most + 1)):
            change = (
                deeper
                - off * whole(q.course_off_mm)
                + sum(n * whole(u.height_mm) for n, u in zip(counts, adds, strict=True))
            )
            beds = [gap - change for gap in gaps]
            miss = max(0, whole(q.bed_least_mm) - min(beds), max(beds) - whole(q.bed_most_mm))
            total = (
                work
                + off * whole(q.off_work_min)
                + sum(n * whole(u.work_min) for n, u in zip(counts, adds, strict=True))
            )
            yield miss, total, piece + off + sum(counts), abs(change)


@settings(deadline=None, max_examples=200)
@given(questions())
def test_the_first_choice_is_the_best_of_everything_and_the_nearest_miss_misses_by_least(question):
    best = min(everything(question))
    answer = makeup(question)
    if best[0] == 0:
        first = answer.choices[0]
        assert (whole(first.work_min), first.pieces, abs(whole(first.change_mm))) == best[1:]
        assert first.bed_least_mm >= question.bed_least_mm - 1e-9
        assert first.bed_most_mm <= question.bed_most_mm + 1e-9
    else:
        assert answer.choices == ()
        assert whole(answer.miss_mm) == best[0]
        shortfall = max(
            question.bed_least_mm - answer.nearest.bed_least_mm, answer.nearest.bed_most_mm - question.bed_most_mm
        )
        assert whole(shortfall) == best[0]

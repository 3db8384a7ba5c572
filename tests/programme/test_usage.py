"""Bookings as bits give the starts that counting minute by minute gives."""

import random

from programme.sample import task
from truebed.programme.usage import Usage, never_starts

HAVE = {("people",): 3, ("tool", "saw"): 1}


def by_counting(booked, held, length, low, high, spans):
    for start in range(low, high + 1):
        if any(a - length < start < b for a, b in spans if length):
            continue
        minutes = range(start, start + length)
        fits = all(
            sum(h.get(mean, 0) for s, n, h in booked if s <= m < s + n) + count <= HAVE[mean]
            for m in minutes
            for mean, count in held.items()
        )
        if fits:
            return start
    return None


def test_the_earliest_start_is_that_of_counting_minute_by_minute():
    rng = random.Random(4)  # noqa: S311
    seen = set()
    for _ in range(300):
        usage, booked = Usage(HAVE, 60), []
        for _ in range(rng.randint(0, 8)):
            held = {("people",): rng.randint(1, 3)} | ({("tool", "saw"): 1} if rng.random() < 0.4 else {})
            start, length = rng.randint(0, 40), rng.randint(0, 9)
            usage.earliest(held, length, 0, 50)
            usage.hold(held, start, length)
            booked.append((start, length, held))
        if booked and rng.random() < 0.5:
            start, length, held = booked.pop(rng.randrange(len(booked)))
            usage.hold(held, start, length, -1)
        held = {("people",): rng.randint(1, 3)} | ({("tool", "saw"): 1} if rng.random() < 0.4 else {})
        length, low = rng.randint(0, 9), rng.randint(0, 20)
        spans = ((10, 14), (30, 31)) if rng.random() < 0.5 else ()
        one = task("C", "s", length)
        never = never_starts(type(one)("C", "s", "s", length, 1, not_during=spans))
        asked = usage.earliest(held, length, low, 45, never)
        assert asked == by_counting(booked, held, length, low, 45, spans)
        seen.add(asked)
    assert len(seen) > 10


def test_no_start_lies_in_an_empty_span():
    assert Usage(HAVE, 20).earliest({("people",): 1}, 3, 9, 8) is None

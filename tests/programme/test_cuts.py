"""Cuts are bounds: they bind where the hand count says, and never cut off a schedule that holds."""

from dataclasses import replace

from programme.sample import job, problem, task, to_open, wet_closure, wet_job
from truebed.programme.cuts import energy_cuts, identical_groups, least_open_of
from truebed.programme.list_schedule import list_schedules
from truebed.programme.means import held_with_shadows, with_shadows
from truebed.programme.possible import sort_jobs


def test_work_between_head_and_tail_gives_the_hand_counted_opening():
    # three covers, one step of 10 min each, one person, set-up 5, each ready 20 after its end: 5 + 30 + 20
    jobs = [job(f"C{k}", 1, [task(f"C{k}", "a", 10)], [to_open("a", 20)]) for k in range(3)]
    given = problem(*jobs, tm_set=5, people=1)
    nets = sort_jobs(given).nets
    assert least_open_of(energy_cuts(given, nets), nets) == 55


def test_without_cuts_the_longest_chain_is_the_bound():
    given = problem(job("C1", 1, [task("C1", "a", 10)], [to_open("a", 20)]), tm_set=5)
    assert least_open_of((), sort_jobs(given).nets) == 35


def test_no_cut_forbids_a_schedule_that_holds():
    given = wet_closure(4, window=400, noise=300)
    nets = sort_jobs(given).nets
    schedule = list_schedules(given)[0]
    assert len(schedule.done) == 4
    for cut in energy_cuts(given, nets):
        sink = schedule.open_min if cut.to_open else given.noise_ends_min
        assert sum(cut.work) <= cut.have * (sink - cut.head_min - cut.tail_min)


def test_noise_cuts_know_the_noisy_work_and_end_at_the_ban():
    given = wet_closure(2)
    nets = sort_jobs(given).nets
    saw = [cut for cut in energy_cuts(given, nets) if cut.mean == ("tool", "saw") and not cut.to_open]
    assert saw
    assert all(cut.work[0] in (0, 10) and cut.work[1] in (0, 11) for cut in saw)
    assert max(cut.least_sink_min for cut in saw) == 10 + 10 + 11


def test_every_work_in_a_cut_is_work_that_the_steps_have():
    given = wet_closure(3)
    nets = sort_jobs(given).nets
    have = with_shadows(given)
    for cut in energy_cuts(given, nets):
        for net, work in zip(nets, cut.work, strict=True):
            total = sum(held_with_shadows(t, have).get(cut.mean, 0) * t.minutes for t in net.job.tasks)
            assert work <= total


def test_covers_that_differ_by_name_only_are_one_group():
    given = replace(
        wet_closure(1), jobs=(wet_job("C1"), wet_job("C2", extra=1), wet_job("C3"), wet_job("C4", weight=2))
    )
    assert identical_groups(sort_jobs(given).nets) == ((0, 2),)

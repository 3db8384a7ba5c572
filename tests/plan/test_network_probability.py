"""The sweep's chance of tolerance: that of the one-cover path on the same single road, within its lattice's error."""

from dataclasses import replace

import numpy as np

from plan.network_sample import random_cases
from truebed.chamber.plane import Plane
from truebed.errors import NotDesignedError
from truebed.levels.frame_setting import rim_samples, setting_at
from truebed.levels.road_network import NETWORK_MODELS
from truebed.levels.tolerance import setting_covariance
from truebed.plan.ground import set_ground
from truebed.plan.network import ground_of_many, setting_covariances
from truebed.plan.network_works import sorted_out


def test_the_chance_is_that_of_the_chosen_road_alone_within_one_in_a_hundred():
    cases = random_cases(60, 21)
    off = []
    for batch in sorted_out(cases)[0]:
        # a coarse setting: chances well between nought and one
        limits = replace(batch.limits, setting_sd_mm=2.5)
        answer = ground_of_many(batch.covers, limits)
        for k, place in enumerate(batch.rows):
            try:
                ground = set_ground(cases[place])
            except NotDesignedError:
                continue
            if answer.model[k] < 0 or NETWORK_MODELS[answer.model[k]] != ground.road.model:
                continue
            alone = replace(ground.road, others=(), weight_share=1.0)
            question = replace(ground.seat.question, road=alone, setting_sd_mm=2.5)
            plane = Plane(*map(float, answer.plane[k]))
            there = setting_at(question, plane, rim_samples(question), bed_governs=False)
            off.append(answer.probability[k] - there.rim_verdict.probability)
    assert len(off) >= 20
    assert np.max(np.abs(off)) < 0.01


def test_the_errors_of_setting_are_those_of_a_plane_through_the_set_points():
    set_at = np.array([[[300.0, 200.0], [310.0, -190.0], [-300.0, -200.0], [-310.0, 190.0]]])
    wanted = setting_covariance(tuple(map(tuple, set_at[0])), 1.5)
    found = setting_covariances(set_at, 1.5)[0]
    assert np.allclose(found, wanted, rtol=1e-12, atol=1e-18)

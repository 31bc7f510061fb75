"""Dampers of the rear: lengths and stroke against a general package, by hand and by symmetry."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from app.document.model import Change, FrozenMap, Setup
from app.systems.answers import Pose
from app.systems.rear.system import REAR
from app.systems.rear.words.sentences import rear_sentences
from tests.helpers.rear_setups import BLOCK, RIGHT_BEHIND, leaf_car, link_car
from tests.helpers.rear_studies import load, on_leaves, with_change

ENDS = {"rear__damper__closed_length": 300.0, "rear__damper__open_length": 450.0}


def dampers(setup: Setup):
    """Axle ends and body ends as bolted up, left and right (mirrors unless moved)."""
    from app.systems.rear.inputs import rear_points

    sides = [rear_points(setup, True, side) for side in ("left", "right")]
    axle = np.array([each.made["damper_axle"] for each in sides])
    return axle, np.array([each.bolted["damper_body"] for each in sides])


@pytest.mark.parametrize(
    ("travel", "roll"), [(0.0, 0.0), (55.0, 0.0), (-20.0, 0.05), (15.0, -0.07)]
)
def test_lengths_on_leaves_are_those_of_a_general_rotation_package(travel, roll):
    setup = leaf_car(BLOCK, RIGHT_BEHIND)
    car = REAR.study(setup).proposed
    sweep = car.at_pose(Pose(travel=travel, roll=roll))
    poses = sweep.leaf
    turn = Rotation.from_euler(  # extrinsic: about the tube, nose up; then lean; then steer
        "yxz", [-(poses.pinion[0] - car.leaf.car.pinion), -poses.roll[0], poses.steer[0]]
    )
    axle, body = dampers(setup)
    x, _, z = car.leaf.car.points.wheel_centre
    middle = np.array([poses.x[0], poses.shift[0], poses.z[0]])
    placed = middle + turn.apply(axle - [x, 0.0, z])
    lengths = np.linalg.norm(placed - body, axis=1)
    assert sweep.values["damper_length"][:, 0] == pytest.approx(lengths, abs=1e-9)


def test_at_rest_the_length_is_the_tapes():
    car = REAR.study(leaf_car(**ENDS)).measured
    # from the points: 50 along, 70 across, 390 up
    by_hand = (50.0**2 + 70.0**2 + 390.0**2) ** 0.5
    assert car.rest.values["damper_length"][:, 0] == pytest.approx([by_hand, by_hand])
    used = 100.0 * (450.0 - by_hand) / 150.0
    assert car.rest.values["damper_stroke"][:, 0] == pytest.approx([used, used])


@pytest.mark.parametrize("setup", [leaf_car(RIGHT_BEHIND), link_car(RIGHT_BEHIND)])
def test_the_motion_ratio_is_the_slope_of_the_length(setup):
    car = REAR.study(setup).proposed
    step = 0.01
    for at in (-40.0, 0.0, 30.0):
        swept = car.sweep_at("travel", [at - step, at, at + step]).values
        slope = (swept["damper_length"][:, 2] - swept["damper_length"][:, 0]) / (2.0 * step)
        assert swept["damper_motion_ratio"][:, 1] == pytest.approx(-slope, abs=1e-6)


def test_left_in_a_roll_is_right_in_the_other():
    lengths = REAR.study(leaf_car()).proposed.sweep_at("roll", [-0.05, 0.05])
    left, right = lengths.values["damper_length"]
    assert left == pytest.approx(right[::-1], abs=1e-9)
    assert left[1] - left[0] > 20.0  # 400 mm out, 0.1 rad: leaning to the right takes it off


@pytest.mark.parametrize("kind", [leaf_car, link_car])
def test_travel_and_roll_of_an_end_are_where_the_length_is_met(kind):
    setup = kind(RIGHT_BEHIND)
    setup = setup.having(
        evidence=FrozenMap(
            {
                **setup.evidence,
                "rear.damper.closed_length": 370.0,
                "rear.damper.open_length": 430.0,
            }
        ),
    )
    car = REAR.study(setup).proposed
    for end, length, low, high in (("bump", 370.0, 0.0, 78.0), ("droop", 430.0, -40.0, 0.0)):

        def off(driver, at, side, length=length):
            return float(car.sweep_at(driver, [at]).values["damper_length"][side, 0]) - length

        first = min(
            (brentq(lambda at, side=side: off("travel", at, side), low, high) for side in (0, 1)),
            key=abs,
        )
        assert car.single[f"damper_{end}_travel"] == pytest.approx(first, abs=0.02)
        rolled = car.single[f"damper_{end}_roll"]
        nearest = min(abs(off("roll", way * rolled, side)) for side in (0, 1) for way in (-1, 1))
        assert nearest < 0.02


def test_a_damper_dragged_far_rearward_is_told_at_once():
    rearward = Change("x", moves=FrozenMap({"rear.damper_axle": (-319.0, 0.0, 0.0)}))
    study = REAR.study(with_change(load("small_saloon"), rearward), short=True)
    (words,) = [each for each in rear_sentences(study, ".") if each.severity == "wrong"]
    assert words.text == (
        "Both dampers would be 530.6 mm long where the car stands, 86 mm longer than open, "
        "445.0 mm: that can't be bolted up."
    )
    assert np.isnan(study.proposed.rest.values["damper_stroke"]).all()
    assert not any(key.startswith(("damper_bump", "damper_droop")) for key in study.proposed.single)


@on_leaves
def test_the_samples_dampers_last_from_stop_to_stop(name):
    study = REAR.study(load(name).having(changes=()))
    assert not [each for each in rear_sentences(study, ".") if each.result_key.startswith("damper")]


def test_a_short_damper_is_told_with_its_travel_before_the_stop():
    setup = leaf_car(
        RIGHT_BEHIND,
        rear__damper__closed_length=250.0,
        rear__damper__open_length=430.0,
        rear__travel__rebound=75.0,
    )
    car = REAR.study(setup).proposed
    travel = -car.single["damper_droop_travel"]
    words = [each.text for each in rear_sentences(REAR.study(setup), ".")]
    (told,) = [text for text in words if "tears" in text]
    assert told == (
        f"The right damper is open to its end at {travel:.0f} mm of rebound, before the axle's stop"
        " at 75 mm: it holds the axle instead of the stop, and tears."
    )


def test_swapped_lengths_give_no_stroke():
    car = REAR.study(leaf_car(rear__damper__closed_length=500.0, rear__damper__open_length=460.0))
    assert np.isnan(car.measured.rest.values["damper_stroke"]).all()

"""The rear put together from a setup, against statics, exact geometry, frames and an engine.

Where a check says "common practice" it has no source: workshops know it."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from app.document.files import text_of
from app.document.model import Change, FrozenMap, Setup
from app.systems.answers import Pose, value_at_rest
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from geometry.catalogue.rear import REAR_RESULTS
from tests.helpers.reading import parse
from tests.helpers.rear_studies import (
    GRAVITY,
    at_rest,
    changed,
    every_car,
    load,
    settled,
    sprung_weight,
    with_change,
    with_evidence,
)
from tests.helpers.setup_edits import set_evidence


def without(setup: Setup, *keys: str) -> Setup:
    kept = {key: value for key, value in setup.evidence.items() if key not in keys}
    return setup.having(changes=(), evidence=FrozenMap(kept))


# --- evidence and proposals ----------------------------------------------------------------------


@every_car
def test_without_a_change_the_proposal_is_the_measured_car(name: str) -> None:
    answers = REAR.study(replace(load(name), changes=()))
    assert answers.proposed is answers.measured
    assert not answers.changed
    assert answers.measured.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)


@every_car
@pytest.mark.usefixtures("solved_anew")
def test_a_change_of_one_end_leaves_the_other_alone(name: str) -> None:
    setup = load(name)
    of_front = Change("f", moves={"front.upper_front": (0.0, 0.0, -5.0)})
    of_rear = Change("r", moves={"rear.damper_body": (0.0, 0.0, 5.0)})
    assert REAR.study(with_change(setup, of_front)).unsettled is REAR.study(setup).measured
    assert REAR.study(with_change(setup, of_rear)).changed
    assert not FRONT.study(with_change(setup, of_rear)).changed
    both = setup.having(changes=(of_front, of_rear))
    before, after = FRONT.study(with_change(setup, of_front)), FRONT.study(both)
    for key, values in before.unsettled.rest.values.items():
        np.testing.assert_array_equal(values, after.unsettled.rest.values[key])


@every_car
def test_a_value_set_to_what_was_measured_changes_nothing(name: str) -> None:
    setup = load(name)
    key = "rear.tyre_rate"
    answers = changed(name, Change("same", sets={key: setup.evidence[key]}))
    for result, value in answers.measured.single.items():
        assert answers.unsettled.single[result] == pytest.approx(value, rel=1e-8, abs=1e-9)
    for sweep in ("travel", "roll"):
        before, after = getattr(answers.measured, sweep), getattr(answers.proposed, sweep)
        for result, values in before.values.items():
            np.testing.assert_allclose(
                after.values[result], values, rtol=1e-6, atol=1e-7, err_msg=result
            )


@every_car
def test_units_of_the_file_change_no_answer(name: str) -> None:
    setup = load(name)
    other = setup.having(units="in" if setup.units == "mm" else "mm")
    again = parse(text_of(other), "other.toml", limit_kinds=LIMIT_KINDS)
    a, b = REAR.study(setup).unsettled, REAR.study(again).unsettled
    assert a.single.keys() == b.single.keys()
    for key, value in a.single.items():
        assert b.single[key] == pytest.approx(value, rel=1e-7, abs=1e-7), key
    for key, values in a.travel.values.items():
        # the shackle's part of a rate is a second difference of the path, good to about 1e-4 N/mm
        near = 5e-4 if "rate" in key else 1e-6
        np.testing.assert_allclose(b.travel.values[key], values, rtol=1e-5, atol=near)


# --- statics -------------------------------------------------------------------------------------


@every_car
def test_the_springs_carry_the_sprung_weight_where_the_car_settles(name: str) -> None:
    """Virtual work: wheel load times rise is spring force times its shortening."""
    setup = load(name)
    for change in setup.changes:
        answers = REAR.study(with_change(setup, replace(change, on=True)))
        car = answers.unsettled
        if car.leaf is not None:
            assert settled(car, "spring_load") == pytest.approx(sprung_weight(setup), rel=1e-6)
        else:
            place = car.single["settled_travel"]
            found = car.tried_pose(Pose(travel=place)).links
            assert found is not None
            both = float(found.rates.wheel_force.sum())
            assert both == pytest.approx(2.0 * sprung_weight(setup), rel=1e-6)


@every_car
def test_the_wheel_rate_is_the_slope_of_the_load(name: str) -> None:
    car, step = REAR.study(replace(load(name), changes=())).measured, 0.05
    for travel in (-20.0, 0.0, 15.0):
        sweep = car.sweep_at("travel", [travel - step, travel, travel + step])
        if car.leaf is not None:
            loads = sweep.values["spring_load"]
        else:
            assert car.links is not None
            found = car.links.solve(sweep.at, np.zeros(3))
            loads = found.rates.wheel_force.sum(axis=1) / 2.0
        slope = (loads[2] - loads[0]) / (2 * step)
        assert slope == pytest.approx(float(sweep.values["wheel_rate"][1]), rel=1e-5)


@every_car
def test_ride_frequency_is_that_of_a_mass_on_springs_in_series(name: str) -> None:
    setup = load(name)
    car = REAR.study(setup.having(changes=())).measured
    rate, tyre = at_rest(car, "wheel_rate"), float(setup.evidence["rear.tyre_rate"])  # type: ignore[arg-type]
    series = 1.0 / (1.0 / rate + 1.0 / tyre)
    mass = sprung_weight(setup) / GRAVITY
    assert at_rest(car, "ride_rate") == pytest.approx(series, rel=1e-9)
    by_hand = sqrt(1000.0 * series / mass) / (2.0 * pi)
    assert at_rest(car, "ride_frequency") == pytest.approx(by_hand, rel=1e-9)


# --- what is missing -----------------------------------------------------------------------------


def test_without_the_weight_the_path_is_there_and_the_rates_say_what_they_need() -> None:
    answers = REAR.study(without(load("small_saloon"), "car.mass"))
    car = answers.measured
    assert at_rest(car, "roll_steer") != 0.0
    assert "wheel_rate" not in car.rest.values
    assert car.single["pack_rate"] > 0.0
    assert answers.missing["wheel_rate"] == ("car.mass",)
    assert answers.missing["full_braking"] == ("car.mass",)
    assert answers.missing["wind_up_full"] == ("car.mass",)


@pytest.mark.parametrize(
    ("lacking", "known", "gone"),
    [
        ("rear.drive.engine_torque", "full_braking", "full_thrust"),
        ("rear.drive.grip", "full_thrust", "full_braking"),
        ("car.rear_unsprung", "full_thrust", "wind_up_full"),
        ("car.rear_unsprung", "full_braking", "wind_up_full"),
        ("car.rear_unsprung", "full_braking", "pinion_joint_angle_full"),
        ("rear.axle.pinion_angle", "gearbox_joint_angle", "pinion_joint_angle"),
    ],
)
@pytest.mark.parametrize("axle", ["leaves", "links"])
def test_no_more_is_asked_for_than_a_result_needs(lacking, known, gone, axle) -> None:
    setup = load("small_saloon" if axle == "leaves" else "torsion_coupe")
    setup = setup.having(changes=())
    if axle == "links":
        setup = set_evidence(setup, "rear.kind", "five-link axle")
    whole, answers = REAR.study(setup), REAR.study(without(setup, lacking))
    result = REAR_RESULTS[known]
    value = value_at_rest(answers.measured, result)
    assert value is not None
    if known != "full_thrust" or lacking != "rear.drive.grip":  # the engine's alone is no less
        assert value == pytest.approx(value_at_rest(whole.measured, result))
    if gone in {each.key for each in answers.measured.results}:
        assert value_at_rest(answers.measured, REAR_RESULTS[gone]) is None
        assert lacking in answers.missing[gone]


@pytest.mark.parametrize(
    ("lacking", "result"),
    [
        ("rear.tyre_rate", "hop_frequency"),
        ("rear.damper.rate", "tramp_damping"),
        ("rear.axle.pitch_inertia", "wind_up_frequency"),
        ("rear.drive.grip", "wind_up_full"),
        ("car.cg_height", "anti_squat"),
        ("rear.pack.limit_stress", "stress_margin"),
    ],
)
def test_what_is_lacking_is_named_and_nothing_else_goes(lacking: str, result: str) -> None:
    whole = REAR.study(replace(load("small_saloon"), changes=()))
    answers = REAR.study(without(load("small_saloon"), lacking))
    assert answers.missing[result] == (lacking,)
    gone = {key for key in whole.measured.single if key not in answers.measured.single}
    assert gone <= set(answers.missing)


def test_a_bump_stop_that_the_shackle_never_lets_reach_costs_only_the_stress_there() -> None:
    answers = REAR.study(with_evidence(load("small_saloon"), rear__travel__bump=700.0))
    assert "stress_bump" not in answers.measured.single
    assert answers.measured.single["stress_ride"] > 0.0
    assert not answers.measured.travel.reached.all()

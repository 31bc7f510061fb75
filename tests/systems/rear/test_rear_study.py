"""The rear put together from a setup, against statics, exact geometry, frames and an engine.

Where a check says "common practice" it has no source: workshops know it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, degrees, hypot, pi, radians, sin, sqrt, tan

import numpy as np
import pytest

from app.document.files import read_setup, text_of
from app.document.model import Change, FrozenMap, Leaf, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose, Study
from app.systems.front.system import FRONT
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR
from app.words.limit_kinds import LIMIT_KINDS
from geometry.leaf.load import Model
from tests.helpers.link_axle_engine import engine_pose
from tests.helpers.reading import parse

GRAVITY = 9.80665  # m/s², standard gravity, 3rd CGPM 1901
PATHS = {path.stem: path for path in sample_paths()}
every_car = pytest.mark.parametrize("name", PATHS)
on_leaves = pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "torsion_coupe"])


def load(name: str) -> Setup:
    return read_setup(PATHS[name], limit_kinds=LIMIT_KINDS).setup


def with_change(setup: Setup, change: Change) -> Setup:
    return replace(setup, changes=(change,))


def with_evidence(setup: Setup, **values: object) -> Setup:
    given = {key.replace("__", "."): value for key, value in values.items()}
    return replace(setup, changes=(), evidence=FrozenMap({**setup.evidence, **given}))


def without(setup: Setup, *keys: str) -> Setup:
    kept = {key: value for key, value in setup.evidence.items() if key not in keys}
    return replace(setup, changes=(), evidence=FrozenMap(kept))


def changed(name: str, change: Change) -> Study[RearAnswers]:
    return REAR.study(with_change(load(name), change))


def at_rest(car: RearAnswers, key: str) -> float:
    return float(car.rest.values[key][0])


def settled(car: RearAnswers, key: str) -> float:
    assert car.settled is not None
    return float(car.settled.values[key][0])


def leaves(setup: Setup) -> tuple[Leaf, ...]:
    found = setup.evidence["rear.pack.leaf"]
    assert isinstance(found, tuple)
    return found  # type: ignore[return-value]


def sprung_weight(setup: Setup) -> float:
    """On one rear wheel [N]."""
    mass, share, unsprung = (
        float(setup.evidence[f"car.{key}"])  # type: ignore[arg-type]
        for key in ("mass", "front_share", "rear_unsprung")
    )
    return 0.5 * (mass * (1.0 - share) - unsprung) * GRAVITY


# --- evidence and proposals ----------------------------------------------------------------------


@every_car
def test_without_a_change_the_proposal_is_the_measured_car(name: str) -> None:
    answers = REAR.study(replace(load(name), changes=()))
    assert answers.proposed is answers.measured
    assert not answers.changed
    assert answers.measured.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)


@every_car
def test_a_change_of_one_end_leaves_the_other_alone(name: str) -> None:
    setup = load(name)
    of_front = Change("f", moves={"front.upper_front": (0.0, 0.0, -5.0)})
    of_rear = Change("r", moves={"rear.damper_body": (0.0, 0.0, 5.0)})
    assert not REAR.study(with_change(setup, of_front)).changed
    assert REAR.study(with_change(setup, of_rear)).changed
    assert not FRONT.study(with_change(setup, of_rear)).changed
    both = replace(setup, changes=(of_front, of_rear))
    before, after = FRONT.study(with_change(setup, of_front)), FRONT.study(both)
    for key, values in before.proposed.rest.values.items():
        np.testing.assert_array_equal(values, after.proposed.rest.values[key])


@every_car
def test_a_value_set_to_what_was_measured_changes_nothing(name: str) -> None:
    setup = load(name)
    key = "rear.tyre_rate"
    answers = changed(name, Change("same", sets={key: setup.evidence[key]}))
    for result, value in answers.measured.single.items():
        assert answers.proposed.single[result] == pytest.approx(value, rel=1e-8, abs=1e-9)
    for sweep in ("travel", "roll"):
        before, after = getattr(answers.measured, sweep), getattr(answers.proposed, sweep)
        for result, values in before.values.items():
            np.testing.assert_allclose(
                after.values[result], values, rtol=1e-6, atol=1e-7, err_msg=result
            )


@every_car
def test_units_of_the_file_change_no_answer(name: str) -> None:
    setup = load(name)
    other = replace(setup, units="in" if setup.units == "mm" else "mm")
    again = parse(text_of(other), "other.toml", limit_kinds=LIMIT_KINDS)
    a, b = REAR.study(setup).proposed, REAR.study(again).proposed
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
        car = answers.proposed
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
    car = REAR.study(replace(setup, changes=())).measured
    rate, tyre = at_rest(car, "wheel_rate"), float(setup.evidence["rear.tyre_rate"])  # type: ignore[arg-type]
    series = 1.0 / (1.0 / rate + 1.0 / tyre)
    mass = sprung_weight(setup) / GRAVITY
    assert at_rest(car, "ride_rate") == pytest.approx(series, rel=1e-9)
    by_hand = sqrt(1000.0 * series / mass) / (2.0 * pi)
    assert at_rest(car, "ride_frequency") == pytest.approx(by_hand, rel=1e-9)


# --- the pack on the car -------------------------------------------------------------------------


def test_a_leaf_added_is_stiffer_and_lifts_the_car() -> None:
    setup = load("small_saloon")
    more = (*leaves(setup), Leaf(5.0, 150.0, 180.0))
    answers = changed("small_saloon", Change("more", sets={"rear.pack.leaf": more}))
    before, after = answers.measured, answers.proposed
    assert after.single["pack_rate"] > before.single["pack_rate"]
    assert after.single["settled_travel"] < 0.0  # sits higher


def test_a_leaf_taken_out_sinks_by_the_weight_over_both_rates() -> None:
    """Same free arch, same weight: deflections differ by W/k_2 - W/k_1 (Hooke); the shackle makes
    the wheel move less than that, in the ratio of the rates."""
    answers = REAR.study(_only_on(load("small_saloon"), "Leaf 4 out"))
    before, after = answers.measured.single, answers.proposed.single
    weight = sprung_weight(answers.setup)
    sinks = weight / after["pack_rate"] - weight / before["pack_rate"]
    stiffer = at_rest(answers.proposed, "wheel_rate") / after["pack_rate"]
    assert after["settled_travel"] == pytest.approx(sinks / stiffer, rel=0.03)


def test_all_leaves_thinner_are_softer_by_the_cube() -> None:
    """Common practice; exact for beams of one width: I = b·t³/12 in every leaf."""
    setup = load("small_saloon")
    thinner = tuple(replace(leaf, thickness=0.9 * leaf.thickness) for leaf in leaves(setup))
    answers = changed("small_saloon", Change("thin", sets={"rear.pack.leaf": thinner}))
    before, after = answers.measured.single, answers.proposed.single
    for key in ("pack_rate", "pack_rate_tips", "wind_up_stiffness"):
        assert after[key] / before[key] == pytest.approx(0.9**3, rel=1e-9), key
    in_roll = [at_rest(car, "roll_wheel_rate") for car in (answers.measured, answers.proposed)]
    assert in_roll[1] / in_roll[0] == pytest.approx(0.9**3, rel=1e-9)


def test_more_free_arch_lifts_the_car_by_as_much_but_for_the_shackle() -> None:
    setup = load("small_saloon")
    arch = float(setup.evidence["rear.pack.free_arch"])  # type: ignore[arg-type]
    answers = changed("small_saloon", Change("set up", sets={"rear.pack.free_arch": arch + 20.0}))
    car = answers.measured
    stiffer = at_rest(car, "wheel_rate") / car.single["pack_rate"]
    lifts = 20.0 / stiffer
    assert answers.proposed.single["settled_travel"] == pytest.approx(-lifts, rel=0.03)


def test_the_free_arch_given_is_what_the_pack_needs_for_the_weight() -> None:
    """δ = W/k from the free arch, less what the seat stands below the line of the eyes at ride.

    The line of the eyes is read off the measured points; k is the frame-checked pack's.
    """
    setup = load("small_saloon")
    points = {k: setup.evidence[f"rear.{k}"] for k in ("front_eye", "rear_eye", "centre_bolt")}
    (fx, _, fz), (rx, _, rz), (cx, _, cz) = points.values()  # type: ignore[misc]
    line = rz + (fz - rz) * (cx - rx) / (fx - rx)
    car = REAR.study(setup).measured
    needed = sprung_weight(setup) / car.single["pack_rate"] + line - cz
    assert float(setup.evidence["rear.pack.free_arch"]) == pytest.approx(needed, abs=4.0)  # type: ignore[arg-type]


def test_the_helper_begins_where_the_tape_says() -> None:
    """Its contact was read as travel from ride height; below it the pack alone carries."""
    setup = load("inch_sedan")
    car = REAR.study(setup).measured
    contact = leaves(setup)[1].contact
    assert contact == pytest.approx(1.5 * 25.4)
    sweep = car.sweep_at("travel", [0.0, contact - 1.0, contact + 1.0])
    pack = sweep.values["wheel_rate_pack"]
    assert pack[1] == pytest.approx(pack[0], rel=0.06)
    assert pack[2] > 1.2 * pack[0]
    assert car.single["static_deflection"] == pytest.approx(
        sprung_weight(setup) / car.single["pack_rate"], rel=0.02
    )


def test_a_helper_that_bears_at_ride_has_taken_up_what_the_file_says() -> None:
    """k_0·δ + (k_1 - k_0)·taken = W, solved by hand for δ, gives the deflection it begins at."""
    setup = load("inch_sedan")
    taken = 12.0
    main, helper = leaves(setup)
    packs = {}
    for contact in (50.0, -taken):
        given = (main, replace(helper, contact=contact))
        packs[contact] = REAR.study(with_evidence(setup, rear__pack__leaf=given)).measured
    stages = packs[-taken].leaf.stages  # type: ignore[union-attr]
    alone, both = stages.rates[Model.COMMON_CURVATURE]
    assert packs[50.0].single["pack_rate"] == pytest.approx(alone)
    assert packs[-taken].single["pack_rate"] == pytest.approx(both)
    deflection = (sprung_weight(setup) - (both - alone) * taken) / alone
    assert stages.contacts[1] == pytest.approx(deflection - taken, rel=1e-9)


def test_a_helper_stays_where_it_is_when_the_main_leaf_gets_thicker() -> None:
    """The gap is iron to iron: it closes at the same arch whatever else carries the car."""
    setup = load("inch_sedan")
    main, helper = leaves(setup)
    thicker = (replace(main, thickness=1.05 * main.thickness), helper)
    answers = changed("inch_sedan", Change("thick", sets={"rear.pack.leaf": thicker}))
    before, after = answers.measured.leaf, answers.proposed.leaf
    assert before is not None
    assert after is not None
    assert after.stages.contacts[1] == pytest.approx(before.stages.contacts[1], rel=1e-9)
    assert answers.proposed.single["settled_travel"] < -5.0


# --- blocks, wedges, shackles, eyes, holes -------------------------------------------------------


@on_leaves
@pytest.mark.parametrize("block", [10.0, 25.0])
def test_a_block_lowers_the_body_by_its_thickness(name: str, block: float) -> None:
    """Axle above the leaf: nothing bends, the spring only goes further from the axle."""
    answers = changed(name, Change("block", sets={"rear.block": block}))
    before, after = answers.measured, answers.proposed
    assert after.single["settled_travel"] == pytest.approx(block, rel=2e-3)
    for key in ("static_deflection", "stress_ride", "pack_rate", "wind_up_stiffness"):
        assert after.single[key] == pytest.approx(before.single[key], rel=1e-3), key
    for key in ("pinion_angle", "shackle_angle", "wheel_rate"):
        assert settled(after, key) == pytest.approx(at_rest(before, key), rel=1e-3), key
    # the spring's line comes down with the body: so does the roll centre that it makes
    assert settled(after, "roll_centre_height") - at_rest(before, "roll_centre_height") == (
        pytest.approx(-block, abs=0.05)
    )
    # and a push at the ground has a shorter lever to the leaf
    assert after.single["wind_up_full"] < before.single["wind_up_full"]


def test_the_blocks_that_were_there_count_already() -> None:
    measured = with_evidence(load("small_saloon"), rear__block=20.0)
    less = REAR.study(with_change(measured, Change("out", sets={"rear.block": 0.0})))
    assert less.measured.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)
    assert less.proposed.single["settled_travel"] == pytest.approx(-20.0, rel=2e-3)


@on_leaves
@pytest.mark.parametrize("angle", [-2.0, 3.0])
def test_a_wedge_turns_the_pinion_and_little_else(name: str, angle: float) -> None:
    answers = changed(name, Change("wedge", sets={"rear.wedge": radians(angle)}))
    turned = settled(answers.proposed, "pinion_angle") - at_rest(answers.measured, "pinion_angle")
    assert degrees(turned) == pytest.approx(angle, abs=0.01)
    assert answers.proposed.single["settled_travel"] == pytest.approx(0.0, abs=0.1)
    assert answers.proposed.single["pack_rate"] == answers.measured.single["pack_rate"]


@on_leaves
def test_a_longer_shackle_lifts_by_a_over_l_of_its_change(name: str) -> None:
    """The spring turns about its front eye, lever a of L; its rear eye can only move up and down,
    so a shackle that leans by ψ moves it by 1/cos ψ of its change."""
    setup = load(name)
    (rx, _, rz), (sx, _, sz) = (
        setup.evidence[f"rear.{key}"]  # type: ignore[misc]
        for key in ("rear_eye", "shackle_body")
    )
    main, length = leaves(setup)[0], hypot(rx - sx, rz - sz)
    answers = changed(name, Change("longer", sets={"rear.shackle_length": length + 10.0}))
    lift = -answers.proposed.single["settled_travel"]
    lever = main.front / (main.front + main.rear)
    down = (sz - rz) / length
    assert lift == pytest.approx(10.0 * lever / down, rel=0.02)
    assert settled(answers.proposed, "pinion_angle") > at_rest(answers.measured, "pinion_angle")


def test_a_front_eye_reversed_lowers_by_b_over_l_of_what_the_eye_moves() -> None:
    """The eye's centre goes from half a bore and leaf above the leaf to as much below it; the
    shackle, which turns too, takes some of it away."""
    setup = load("small_saloon")
    answers = changed("small_saloon", Change("rolled", sets={"rear.pack.front_eye": "downturned"}))
    main = leaves(setup)[0]
    bore = float(setup.evidence["rear.pack.eye_diameter"])  # type: ignore[arg-type]
    moved = bore + main.thickness
    lowers = moved * main.rear / (main.front + main.rear)
    assert answers.proposed.single["settled_travel"] == pytest.approx(lowers, rel=0.08)
    back = REAR.study(
        with_change(
            with_evidence(setup, rear__pack__front_eye="downturned"),
            Change("back", sets={"rear.pack.front_eye": "upturned"}),
        )
    )
    assert back.proposed.single["settled_travel"] == pytest.approx(-lowers, rel=0.12)


def test_a_front_eye_bolted_lower_lifts_the_body_and_steers_more_towards_understeer() -> None:
    """rear.md's rule of the trade; the lift is b/L of the move (a lever about the rear eye)."""
    drop = 12.0
    answers = changed("small_saloon", Change("eye", moves={"rear.front_eye": (0.0, 0.0, -drop)}))
    before, after = answers.measured, answers.proposed
    main = leaves(answers.setup)[0]
    lever = main.rear / (main.front + main.rear)
    assert after.single["settled_travel"] == pytest.approx(-drop * lever, rel=0.05)
    assert settled(after, "roll_steer") > at_rest(before, "roll_steer")
    assert settled(after, "anti_squat") < at_rest(before, "anti_squat")


# --- the path ------------------------------------------------------------------------------------


@on_leaves
def test_bounce_pitches_the_pinion_as_the_side_view_arm_says(name: str) -> None:
    car = REAR.study(replace(load(name), changes=())).measured
    sweep = car.sweep_at("travel", [-0.1, 0.0, 0.1])
    slope = (sweep.values["pinion_angle"][2] - sweep.values["pinion_angle"][0]) / 0.2
    assert slope == pytest.approx(-1.0 / float(sweep.values["side_swing_arm_length"][1]), rel=1e-4)
    ahead = sweep.values["wheelbase_change"]
    centre = sweep.values["side_centre_x"][1], sweep.values["side_centre_z"][1]
    wheel = car.leaf.reference.datum  # type: ignore[union-attr]
    # the wheel moves square to the line from its instant centre
    rise, forward = 0.2, -(ahead[2] - ahead[0])
    assert rise * (wheel[1] - centre[1]) + forward * (wheel[0] - centre[0]) == pytest.approx(
        0.0, abs=0.2
    )


@every_car
def test_anti_squat_is_height_over_distance_of_the_side_view_centre(name: str) -> None:
    """100·(h/d)/(h_cg/wheelbase): Milliken & Milliken ch. 17, Gillespie ch. 7 (from memory)."""
    setup = load(name)
    car = REAR.study(replace(setup, changes=())).measured
    wheel = setup.evidence["rear.wheel_centre"]
    height = at_rest(car, "side_centre_z") - (wheel[2] - _number(setup, "rear.tyre_radius"))  # type: ignore[index]
    distance = at_rest(car, "side_centre_x") - wheel[0]  # type: ignore[index]
    by_hand = height / distance * _number(setup, "car.wheelbase") / _number(setup, "car.cg_height")
    assert at_rest(car, "anti_squat") == pytest.approx(100.0 * by_hand, rel=1e-3)
    share = 1.0 - _number(setup, "car.front_brake_share")
    assert at_rest(car, "anti_lift") == pytest.approx(share * at_rest(car, "anti_squat"), rel=1e-9)


@every_car
def test_roll_steer_is_the_slope_of_the_axle_steer(name: str) -> None:
    car, step = REAR.study(replace(load(name), changes=())).measured, radians(0.05)
    sweep = car.sweep_at("roll", [-step, 0.0, step])
    slope = (sweep.values["axle_steer"][2] - sweep.values["axle_steer"][0]) / (2.0 * step)
    assert slope == pytest.approx(float(sweep.values["roll_steer"][1]), abs=2e-4)


@on_leaves
def test_travel_and_roll_together_are_one_pose(name: str) -> None:
    car = REAR.study(replace(load(name), changes=())).measured
    level = car.tried_pose(Pose(travel=20.0))
    leaned = car.tried_pose(Pose(travel=20.0, roll=1e-9))
    for key in ("pinion_angle", "roll_centre_height", "axle_steer"):
        assert leaned.values[key][0] == pytest.approx(level.values[key][0], abs=2e-3), key


def test_a_travel_beyond_the_shackle_is_not_reached_and_the_rest_is() -> None:
    car = REAR.study(load("small_saloon")).measured
    sweep = car.sweep_at("travel", [-500.0, 0.0, 900.0, 5000.0])
    assert sweep.reached.tolist() == [False, True, False, False]
    assert car.sweep_at("travel", [900.0]).reached.tolist() == [False]
    assert car.sweep_at("roll", [radians(44.0), radians(80.0)]).reached.tolist()[1] is False


# --- under torque --------------------------------------------------------------------------------


@on_leaves
def test_full_thrust_is_what_the_engine_gives_or_the_tyres_hold(name: str) -> None:
    setup = load(name)
    car = REAR.study(replace(setup, changes=())).measured
    gears = _number(setup, "rear.drive.gear") * _number(setup, "rear.drive.final_drive")
    engine = _number(setup, "rear.drive.engine_torque") * gears
    engine *= _number(setup, "rear.drive.efficiency") / _number(setup, "rear.tyre_radius")
    on_road = _number(setup, "car.mass") * (1.0 - _number(setup, "car.front_share")) * GRAVITY
    held = _number(setup, "rear.drive.grip") * on_road
    assert car.single["full_thrust"] == pytest.approx(min(engine, held), rel=1e-9)
    assert car.by_grip is (engine > held)
    assert car.twist is not None
    assert car.twist.thrust[0] == pytest.approx(-held, rel=1e-9)  # full braking


@on_leaves
def test_wind_up_and_eye_loads_are_in_equilibrium(name: str) -> None:
    """Statics of the pair of springs: eye loads carry the weight and the couple of the thrust."""
    setup = load(name)
    car = REAR.study(replace(setup, changes=())).measured
    twist, leaf = car.twist, car.leaf
    assert twist is not None
    assert leaf is not None
    main = leaves(setup)[0]
    front, rear = 2.0 * twist.eye_load
    lift = leaf.thrust.per_newton[0] * twist.thrust
    np.testing.assert_allclose(front + rear, 2.0 * sprung_weight(setup) + lift, rtol=1e-9)
    moment = front * main.front - rear * main.rear
    np.testing.assert_allclose(moment, twist.couple, rtol=1e-9, atol=1e-3)


def test_traction_bars_close_where_their_gap_is_gone() -> None:
    """θ = g/L_b where the seats hardly rise; here with it, read off the curve without bars."""
    answers = REAR.study(_only_on(load("small_saloon"), "Traction bars"))
    before, after = answers.measured.twist, answers.proposed.twist
    assert before is not None
    assert after is not None
    length, gap = 2490.0 - 1925.0, 10.0  # of the change: snubber from the centre bolt
    closing = answers.proposed.single["bars_close_at"]
    nearing = np.interp(closing, before.thrust, before.rise + length * before.rotation)
    assert nearing == pytest.approx(gap, rel=1e-6)
    np.testing.assert_array_equal(after.closed, after.thrust > closing)
    slope = np.diff(after.rotation) / np.diff(after.thrust)
    assert slope[-1] < 0.8 * slope[0]  # the kink
    open_there = ~after.closed
    np.testing.assert_allclose(after.rotation[open_there], before.rotation[open_there], rtol=1e-9)
    # at constant load the bar turns wind-up into lift (common practice)
    assert answers.proposed.single["lift_full"] > 1.5 * answers.measured.single["lift_full"]


def test_a_symmetrical_spring_closes_its_bars_at_gap_over_length() -> None:
    """No front bias, no slope: the seats don't rise under torque, and θ at the kink is g/L_b."""
    setup = load("small_saloon")
    level = {
        "rear.front_eye": (-1890.0, 535.0, 238.0),
        "rear.rear_eye": (-3090.0, 535.0, 238.0),
        "rear.shackle_body": (-3065.0, 535.0, 320.0),
        "rear.pack.leaf": tuple(replace(leaf, rear=leaf.front) for leaf in leaves(setup)),
        "rear.traction_bar.length": 560.0,
        "rear.traction_bar.gap": 10.0,
        "rear.traction_bar.stiffness": 400.0,
    }
    flat = replace(setup, changes=(), evidence=FrozenMap({**setup.evidence, **level}))
    car = REAR.study(flat).measured
    assert car.twist is not None
    at_kink = np.interp(car.single["bars_close_at"], car.twist.thrust, car.twist.rotation)
    assert at_kink == pytest.approx(10.0 / 560.0, rel=0.025)
    assert at_rest(car, "anti_squat") == pytest.approx(0.0, abs=1.5)  # a flat spring has none


# --- hop and tramp -------------------------------------------------------------------------------


def test_a_damper_behind_the_axle_damps_wind_up_where_bounce_is_close() -> None:
    """Common practice, no source: both on one side leave wind-up almost undamped."""
    answers = REAR.study(_only_on(load("small_saloon"), "Right damper behind the axle"))
    before, after = answers.measured, answers.proposed
    single = before.single
    assert single["wind_up_frequency"] == pytest.approx(single["hop_frequency"], rel=0.1)
    assert single["wind_up_damping"] < 0.04
    assert after.single["wind_up_damping"] > 1.5 * single["wind_up_damping"]
    assert before.hop is not None
    assert after.hop is not None
    staggered, ahead = after.hop.own, before.hop.own
    np.testing.assert_allclose(staggered.damping, before.hop.layouts[2].damping, rtol=1e-6)
    np.testing.assert_allclose(ahead.damping, before.hop.layouts[0].damping, rtol=1e-6)


def test_a_staggered_pair_does_little_where_tramp_is_close() -> None:
    """The other half of that practice: tramp and wind-up near each other."""
    answers = REAR.study(_only_on(load("inch_sedan"), "Right damper behind the axle"))
    assert answers.proposed.single["wind_up_damping"] < answers.measured.single["wind_up_damping"]


@on_leaves
def test_hop_is_near_the_axle_on_tyres_and_springs(name: str) -> None:
    """One mass on both in parallel, sqrt(k/m)/2π: coupling and damping move it by some percent."""
    setup = load(name)
    car = REAR.study(replace(setup, changes=())).measured
    rate = 2.0 * (_number(setup, "rear.tyre_rate") + car.single["pack_rate"])
    alone = sqrt(1000.0 * rate / _number(setup, "rear.axle.mass")) / (2.0 * pi)
    assert car.single["hop_frequency"] == pytest.approx(alone, rel=0.12)


def test_a_lowered_car_leans_its_dampers_more() -> None:
    """The body's ends come down by the block: the levers are read where the car stands."""
    answers = changed("small_saloon", Change("block", sets={"rear.block": 30.0}))
    before, after = answers.measured.hop, answers.proposed.hop
    assert before is not None
    assert after is not None
    for left, right in zip(before.dampers, after.dampers, strict=True):
        assert left.towards[2] - right.towards[2] == pytest.approx(30.0, abs=0.1)
    assert before.axle.seat[1] - after.axle.seat[1] == pytest.approx(30.0, abs=0.1)


# --- an axle on links ----------------------------------------------------------------------------


def test_poses_of_the_special_are_those_of_a_multibody_engine() -> None:
    """Exudyn, a general-purpose engine, with the same stiffnesses; unlike links, kept lengths.

    The engine holds both wheel centres' heights, so they are taken as mirrored.
    """
    setup = load("hillclimb_special")
    mirrored = {k: v for k, v in setup.evidence.items() if k != "rear.right.wheel_centre"}
    setup = replace(setup, evidence=FrozenMap(mirrored))
    answers = REAR.study(_only_on(setup, "Upper links' front ends 25 mm lower"))
    assert answers.proposed.links is not None
    axle = answers.proposed.links.axle
    for travel, roll in ((0.0, 0.0), (35.0, 0.0), (-40.0, 0.04)):
        found = answers.proposed.tried_pose(Pose(travel=travel, roll=roll)).links
        assert found is not None
        engine = engine_pose(axle, travel, roll, coils=False)
        np.testing.assert_allclose(found.poses.centre[0], engine.centre, atol=1e-6)
        np.testing.assert_allclose(found.poses.rotation[0], engine.rotation, atol=1e-8)


def test_links_that_are_kept_keep_their_length_and_those_made_to_fit_do_not() -> None:
    setup = load("hillclimb_special")
    move = {"rear.upper_body": (12.0, 0.0, -20.0)}
    kept, fitted = (
        REAR.study(with_change(setup, Change("upper", parts=parts, moves=move))).proposed.links
        for parts in ("kept", "made to fit")
    )
    measured = REAR.study(replace(setup, changes=())).measured.links
    assert kept is not None
    assert fitted is not None
    assert measured is not None
    old = measured.axle.upper_left
    assert old is not None
    length = _span(old.body, old.axle)
    assert kept.axle.upper_left is not None
    assert kept.axle.upper_left.length == pytest.approx(length, rel=1e-12)
    assert kept.axle.upper_left.body[2] == pytest.approx(old.body[2] - 20.0)
    new = fitted.axle.upper_left
    assert new is not None
    assert new.length is None or new.length == pytest.approx(_span(new.body, new.axle))
    # the right side has its own points, and the move is done there as a mirror
    right = kept.axle.upper_right
    assert right is not None
    assert right.body == pytest.approx((-2007.0 + 12.0, -297.0, 395.0 - 20.0))


def test_upper_links_cut_to_fit_leave_the_pinion_and_kept_ones_turn_it() -> None:
    setup = load("hillclimb_special")
    move = {"rear.upper_body": (15.0, 0.0, 0.0), "rear.right.upper_body": (15.0, 0.0, 0.0)}
    turned = {}
    for parts in ("kept", "made to fit"):
        answers = REAR.study(with_change(setup, Change("upper", parts=parts, moves=move)))
        turned[parts] = at_rest(answers.proposed, "pinion_angle") - at_rest(
            answers.measured, "pinion_angle"
        )
    assert turned["made to fit"] == pytest.approx(0.0, abs=1e-9)
    # the top of the axle is drawn 15 mm forward over about 200 mm between the links: nose down
    assert degrees(turned["kept"]) == pytest.approx(-degrees(15.0 / 207.0), rel=0.08)


def test_a_conversion_stands_on_the_coils_that_the_file_names() -> None:
    setup = load("torsion_coupe")
    answers = REAR.study(_only_on(setup, "Rear axle on links"))
    assert answers.measured.kind == "leaf axle"
    assert answers.proposed.kind == "five-link axle"
    links = answers.proposed.links
    assert links is not None
    assert links.reference.free == _number(setup, "rear.spring.free_length")
    longer = Change("links", sets={"rear.kind": "five-link axle", "rear.spring.free_length": 346.0})
    raised = REAR.study(with_change(setup, longer)).proposed
    ratio = at_rest(answers.proposed, "spring_motion_ratio")
    lift = answers.proposed.single["settled_travel"] - raised.single["settled_travel"]
    assert lift == pytest.approx(10.0 / ratio, rel=0.03)  # nearly all of it, the coil being upright
    assert raised.rest.values["wheelbase_change"][0] == pytest.approx(0.0, abs=1e-6)


def test_the_way_back_to_leaves_is_the_car_on_leaves() -> None:
    setup = load("torsion_coupe")
    on_links = with_evidence(setup, rear__kind="five-link axle")
    back = REAR.study(with_change(on_links, Change("leaves", sets={"rear.kind": "leaf axle"})))
    before = REAR.study(replace(setup, changes=())).measured
    for key, value in before.single.items():
        assert back.proposed.single[key] == pytest.approx(value, rel=1e-9, abs=1e-9), key


def test_the_lateral_link_moves_the_axle_on_its_arc() -> None:
    """Owners' reference page and exact geometry: sqrt(R² - (v + z)²) - sqrt(R² - v²)."""
    setup = load("torsion_coupe")
    car = REAR.study(with_evidence(setup, rear__kind="five-link axle")).measured
    (_, by, bz), (_, ay, az) = (
        setup.evidence[f"rear.lateral_{end}"]  # type: ignore[misc]
        for end in ("body", "axle")
    )
    length, height = hypot(ay - by, az - bz), az - bz
    sweep = car.sweep_at("travel", [-60.0, -20.0, 30.0, 60.0])
    for travel, shift in zip(sweep.at, sweep.values["axle_shift"], strict=True):
        arc = sqrt(length**2 - (height + travel) ** 2) - sqrt(length**2 - height**2)
        # the link also swings in plan, and the axle's pitch moves its end up and down a little
        assert shift == pytest.approx(arc, abs=0.15)


# --- what is missing -----------------------------------------------------------------------------


def test_without_the_weight_the_path_is_there_and_the_rates_say_what_they_need() -> None:
    answers = REAR.study(without(load("small_saloon"), "car.mass"))
    car = answers.measured
    assert at_rest(car, "roll_steer") != 0.0
    assert "wheel_rate" not in car.rest.values
    assert car.single["pack_rate"] > 0.0
    assert answers.missing["wheel_rate"] == ("car.mass",)
    assert answers.missing["full_thrust"] == ("car.mass",)


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


# --- a pack that stands alone --------------------------------------------------------------------


def test_stress_at_ride_is_that_of_a_beam() -> None:
    """σ = M·t/(2·ΣI) at the clamp's edge, M = W·b/L·(a - c): textbook beam theory, all leaves bent
    alike; the highest of any leaf by either model isn't below it."""
    setup = load("small_saloon")
    pack, weight = leaves(setup), sprung_weight(setup)
    width, clamp = _number(setup, "rear.pack.width"), _number(setup, "rear.pack.clamp_length")
    inertia = sum(width * leaf.thickness**3 / 12.0 for leaf in pack)
    a, b = pack[0].front, pack[0].rear
    moments = weight * b / (a + b) * (a - clamp / 2), weight * a / (a + b) * (b - clamp / 2)
    alike = max(moments) * pack[0].thickness / (2.0 * inertia)
    car = REAR.study(setup).measured
    assert car.leaf is not None
    found = car.leaf.stresses(weight).halves[Model.COMMON_CURVATURE].max(axis=0)[0]
    assert found == pytest.approx(alike, rel=1e-9)
    assert car.single["stress_ride"] >= alike


def test_a_leaning_shackle_stiffens_as_handbooks_say() -> None:
    """1 + (8/3)·((δ - 2·arch)/L)·tan ψ (first order, nearly symmetrical spring; derived)."""
    setup = load("small_saloon")
    car = REAR.study(setup).measured
    (rx, _, rz), (sx, _, sz) = (
        setup.evidence[f"rear.{key}"]  # type: ignore[misc]
        for key in ("rear_eye", "shackle_body")
    )
    main = leaves(setup)[0]
    lean = tan(_lean(sx - rx, sz - rz))
    factor = (
        1.0 + 8.0 / 3.0 * (car.single["static_deflection"] - 10.0) / (main.front + main.rear) * lean
    )
    assert at_rest(car, "wheel_rate") / car.single["pack_rate"] == pytest.approx(factor, abs=0.02)


def test_the_load_curve_starts_at_free_and_only_rises() -> None:
    for name in ("small_saloon", "inch_sedan"):
        curve = REAR.study(load(name)).measured.curve
        assert curve is not None
        for load_of in curve.load:
            assert load_of[0] == pytest.approx(0.0, abs=1e-9)
            assert all(after > before for before, after in pairwise(load_of))
        friction = float(load(name).evidence["rear.pack.friction"])  # type: ignore[arg-type]
        np.testing.assert_allclose(curve.half_width, friction * curve.load, rtol=1e-12)


# --- helpers -------------------------------------------------------------------------------------


def _only_on(setup: Setup, name: str) -> Setup:
    (change,) = [change for change in setup.changes if change.name == name]
    return with_change(setup, replace(change, on=True))


def _number(setup: Setup, key: str) -> float:
    return float(setup.evidence[key])  # type: ignore[arg-type]


def _span(a: tuple[float, float, float], b: tuple[float, float, float]) -> float:
    return sqrt(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)))


def _lean(rearward: float, up: float) -> float:
    """Angle of a shackle from the vertical [rad], + with the spring's end rearward."""
    angle = float(np.arctan2(rearward, up))
    assert hypot(cos(angle), sin(angle)) == pytest.approx(1.0)
    return angle

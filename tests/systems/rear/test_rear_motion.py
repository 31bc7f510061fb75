"""A rear that moves: its path, wind-up under torque, hop and tramp, and an axle on links."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, hypot, pi, radians, sqrt

import numpy as np
import pytest

from app.document.model import Change, FrozenMap
from app.systems.answers import Pose
from app.systems.rear.system import REAR
from geometry.leaf.single import hop_axle
from tests.helpers.link_axle_engine import engine_pose
from tests.helpers.rear_studies import (
    GRAVITY,
    at_rest,
    changed,
    every_car,
    leaves,
    load,
    number_in,
    on_leaves,
    only_on,
    sprung_weight,
    with_change,
    with_evidence,
)

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
    car = REAR.study(setup.having(changes=())).measured
    wheel = setup.evidence["rear.wheel_centre"]
    height = at_rest(car, "side_centre_z") - (wheel[2] - number_in(setup, "rear.tyre_radius"))  # type: ignore[index]
    distance = at_rest(car, "side_centre_x") - wheel[0]  # type: ignore[index]
    by_hand = (
        height / distance * number_in(setup, "car.wheelbase") / number_in(setup, "car.cg_height")
    )
    assert at_rest(car, "anti_squat") == pytest.approx(100.0 * by_hand, rel=1e-3)
    share = 1.0 - number_in(setup, "car.front_brake_share")
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
def test_full_thrust_and_braking_are_those_of_statics(name: str) -> None:
    """By hand: load moves to the rear pulling away, and off it with the whole car braking."""
    setup = load(name)
    car = REAR.study(setup.having(changes=())).measured
    gears = number_in(setup, "rear.drive.gear") * number_in(setup, "rear.drive.final_drive")
    engine = number_in(setup, "rear.drive.engine_torque") * gears
    engine *= number_in(setup, "rear.drive.efficiency") / number_in(setup, "rear.tyre_radius")
    weight, grip = number_in(setup, "car.mass") * GRAVITY, number_in(setup, "rear.drive.grip")
    standing = weight * (1.0 - number_in(setup, "car.front_share"))
    over = number_in(setup, "car.cg_height") / number_in(setup, "car.wheelbase")
    held = grip * standing / (1.0 - grip * over)
    assert car.single["full_thrust"] == pytest.approx(min(engine, held), rel=1e-9)
    assert car.torque is not None
    assert car.torque.drive.by == ("tyres" if held < engine else "engine")
    brakes = (1.0 - number_in(setup, "car.front_brake_share")) * grip * weight
    slowed = min(brakes, grip * (standing - grip * weight * over))
    assert car.torque.twist.thrust[0] == pytest.approx(-slowed, rel=1e-9)


@pytest.mark.parametrize(
    ("name", "thrust", "by", "turn", "braking"),
    [
        ("small_saloon", 5022.0, "engine", 5.2, -2510.0),
        ("torsion_coupe", 5175.0, "tyres", 6.3, None),
    ],
)
def test_samples_wind_up_as_by_hand(
    name: str, thrust: float, by: str, turn: float, braking: float | None
) -> None:
    """By hand: thrust over h and track's geometry, wind-up by the stiffness for small turns."""
    car = REAR.study(replace(load(name), changes=())).measured
    assert car.torque is not None
    assert car.leaf is not None
    assert car.single["full_thrust"] == pytest.approx(thrust, abs=1.0)
    assert car.torque.drive.by == by
    small = car.single["full_thrust"] * car.leaf.thrust.per_newton[1]
    small = np.degrees(small / car.single["wind_up_stiffness"])
    assert small == pytest.approx(turn, abs=0.06)
    # The whole geometry turns it further, as the elastica of the kernel's tests does.
    assert 0.0 < np.degrees(car.single["wind_up_full"]) / small - 1.0 < 0.10
    if braking is not None:
        assert car.torque.twist.thrust[0] == pytest.approx(braking, abs=5.0)


@on_leaves
def test_eye_loads_carry_the_weight_at_every_thrust(name: str) -> None:
    setup = load(name)
    car = REAR.study(setup.having(changes=())).measured
    assert car.twist is not None
    front, rear = 2.0 * car.twist.eye_load
    np.testing.assert_allclose(front + rear, 2.0 * sprung_weight(setup), rtol=1e-9)


def test_traction_bars_close_where_their_gap_is_gone() -> None:
    """θ = g/L_b where the seats hardly rise; here with it, read off the curve without bars."""
    answers = REAR.study(only_on(load("small_saloon"), "Traction bars"))
    before, after = answers.measured.twist, answers.proposed.twist
    assert before is not None
    assert after is not None
    length, gap = 2490.0 - 1925.0, 10.0  # of the change: snubber from the centre bolt
    closing = answers.unsettled.single["bars_close_at"]
    nearing = np.interp(closing, before.thrust, before.rise + length * before.rotation)
    assert nearing == pytest.approx(gap, rel=4e-3)  # along an arc between two thrusts
    np.testing.assert_array_equal(after.closed, after.thrust > closing)
    last = after.rotation[-1] - after.rotation[-2]
    assert last < 0.8 * (before.rotation[-1] - before.rotation[-2])  # past the kink
    open_there = ~after.closed
    np.testing.assert_allclose(after.rotation[open_there], before.rotation[open_there], rtol=1e-9)
    # at constant load the bar turns wind-up into lift (common practice)
    assert answers.unsettled.single["lift_full"] > 1.5 * answers.measured.single["lift_full"]


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
    flat = setup.having(changes=(), evidence=FrozenMap({**setup.evidence, **level}))
    car = REAR.study(flat).measured
    assert car.twist is not None
    at_kink = np.interp(car.single["bars_close_at"], car.twist.thrust, car.twist.rotation)
    assert at_kink == pytest.approx(10.0 / 560.0, rel=0.05)
    assert at_rest(car, "anti_squat") == pytest.approx(0.0, abs=1.5)  # a flat spring has none


# --- hop and tramp -------------------------------------------------------------------------------


def test_a_damper_behind_the_axle_damps_wind_up_where_bounce_is_close() -> None:
    """Common practice, no source: both on one side leave wind-up almost undamped."""
    answers = REAR.study(only_on(load("small_saloon"), "Right damper behind the axle"))
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
    answers = REAR.study(only_on(load("inch_sedan"), "Right damper behind the axle"))
    assert answers.unsettled.single["wind_up_damping"] < answers.measured.single["wind_up_damping"]


@on_leaves
def test_hop_is_near_the_axle_on_tyres_and_springs(name: str) -> None:
    """One mass on both in parallel, sqrt(k/m)/2π: coupling and damping move it by some percent."""
    setup = load(name)
    car = REAR.study(setup.having(changes=())).measured
    rate = 2.0 * (number_in(setup, "rear.tyre_rate") + car.single["pack_rate"])
    alone = sqrt(1000.0 * rate / number_in(setup, "rear.axle.mass")) / (2.0 * pi)
    assert car.single["hop_frequency"] == pytest.approx(alone, rel=0.12)


def test_a_lowered_car_leans_its_dampers_more() -> None:
    """The body's ends come down by the block: the levers are read where the car stands."""
    answers = changed("small_saloon", Change("block", sets={"rear.block": 30.0}))
    before, after = answers.measured.hop, answers.proposed.hop
    assert before is not None
    assert after is not None
    for left, right in zip(before.dampers, after.dampers, strict=True):
        assert left.towards[2] - right.towards[2] == pytest.approx(30.0, abs=0.1)
    axles = [hop_axle(car.leaf) for car in answers.cars.values() if car.leaf is not None]
    seats = [axle.seat[1] for axle in axles if axle is not None]
    assert seats[0] - seats[1] == pytest.approx(30.0, abs=0.1)


# --- an axle on links ----------------------------------------------------------------------------


def test_poses_of_the_special_are_those_of_a_multibody_engine() -> None:
    """Exudyn, a general-purpose engine, with the same stiffnesses; unlike links, kept lengths.

    The engine holds both wheel centres' heights, so they are taken as mirrored.
    """
    setup = load("hillclimb_special")
    mirrored = {k: v for k, v in setup.evidence.items() if k != "rear.right.wheel_centre"}
    setup = setup.having(evidence=FrozenMap(mirrored))
    answers = REAR.study(only_on(setup, "Upper links' front ends 25 mm lower"))
    assert answers.unsettled.links is not None
    axle = answers.unsettled.links.axle
    for travel, roll in ((0.0, 0.0), (35.0, 0.0), (-40.0, 0.04)):
        found = answers.unsettled.tried_pose(Pose(travel=travel, roll=roll)).links
        assert found is not None
        engine = engine_pose(axle, travel, roll, coils=False)
        np.testing.assert_allclose(found.poses.centre[0], engine.centre, atol=1e-6)
        np.testing.assert_allclose(found.poses.rotation[0], engine.rotation, atol=1e-8)


def test_links_that_are_kept_keep_their_length_and_those_made_to_fit_do_not() -> None:
    setup = load("hillclimb_special")
    move = {"rear.upper_body": (12.0, 0.0, -20.0)}
    kept, fitted = (
        REAR.study(with_change(setup, Change("upper", parts=parts, moves=move))).unsettled.links
        for parts in ("kept", "made to fit")
    )
    measured = REAR.study(setup.having(changes=())).measured.links
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
        turned[parts] = at_rest(answers.unsettled, "pinion_angle") - at_rest(
            answers.measured, "pinion_angle"
        )
    assert turned["made to fit"] == pytest.approx(0.0, abs=1e-9)
    # the top of the axle is drawn 15 mm forward over about 200 mm between the links: nose down
    assert degrees(turned["kept"]) == pytest.approx(-degrees(15.0 / 207.0), rel=0.08)


def test_a_conversion_stands_on_the_coils_that_the_file_names() -> None:
    setup = load("torsion_coupe")
    answers = REAR.study(only_on(setup, "Rear axle on links"))
    assert answers.measured.kind == "leaf axle"
    assert answers.proposed.kind == "five-link axle"
    links = answers.unsettled.links
    assert links is not None
    assert links.reference.free == number_in(setup, "rear.spring.free_length")
    longer = Change("links", sets={"rear.kind": "five-link axle", "rear.spring.free_length": 346.0})
    raised = REAR.study(with_change(setup, longer)).unsettled
    ratio = at_rest(answers.proposed, "spring_motion_ratio")
    lift = answers.unsettled.single["settled_travel"] - raised.single["settled_travel"]
    assert lift == pytest.approx(10.0 / ratio, rel=0.03)  # nearly all of it, the coil being upright
    assert raised.rest.values["wheelbase_change"][0] == pytest.approx(0.0, abs=1e-6)


def test_the_way_back_to_leaves_is_the_car_on_leaves() -> None:
    setup = load("torsion_coupe")
    on_links = with_evidence(setup, rear__kind="five-link axle")
    back = REAR.study(with_change(on_links, Change("leaves", sets={"rear.kind": "leaf axle"})))
    before = REAR.study(setup.having(changes=())).measured
    for key, value in before.single.items():
        assert back.unsettled.single[key] == pytest.approx(value, rel=1e-9, abs=1e-9), key


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


def _span(a: tuple[float, float, float], b: tuple[float, float, float]) -> float:
    return sqrt(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)))

"""The front against published tables and exact geometry; sources stand beside the data."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import constants
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from app.systems.front.system import FRONT
from geometry.catalogue.front import BY_KEY
from geometry.front.springs import ride_frequency, ride_rate
from geometry.front.sweeps import Ask, FrontStudy, pose_front
from geometry.front.turning import ackermann_share, ideal_outer
from geometry.front.wheel import caster_from_turn_plates
from tests.helpers.front_setups import (
    Points,
    built,
    front_setup,
    linkage_at,
    planar_points,
    swept,
)
from tests.reference import front_published as published
from tests.reference import student_front

NO_SPRING = {"front__spring__kind": None, "front__spring__on": None}


def direction(line: tuple[object, object, object]) -> np.ndarray:
    """Angle of a left-hand corner's line in front view [degrees], 0 outboard, 90 up."""
    return np.degrees(np.arctan2(line[2][0], line[1][0]))


def planar_study(points: Points, radius: float, travel: np.ndarray | None = None) -> FrontStudy:
    """A planar corner, upright and straight ahead, over a travel sweep."""
    at = np.linspace(-10.0, 10.0, 21) if travel is None else travel
    setup = front_setup(points, front__tyre_radius=radius, front__camber=0.0, front__toe=0.0)
    return swept(setup, Ask(at, np.radians(np.linspace(-1, 1, 5)), np.linspace(-1, 1, 5), 5.0))


def at_rest(study: FrontStudy, key: str) -> float:
    value = study.rest.values[key]
    return float(value[0, 0] if BY_KEY[key].scope == "wheel" else value[0])


def test_a_planar_double_wishbone_loop_follows_the_published_table_past_its_branch_trap() -> None:
    points = planar_points(((0, 0), (13, 0)), ((5, 7), (13, 7)), (14, 3.5), 0.1)
    front = built(front_setup(points, front__tyre_radius=3.5, front__camber=0.0, front__toe=0.0))
    link = linkage_at(front, np.radians(published.PLANAR_LOOP_LOWER))
    upper = np.subtract(link.upper_ball, front.axle.corners.upper.centre)
    found = np.unwrap(direction(upper), period=360.0)
    np.testing.assert_allclose(found, published.PLANAR_LOOP_UPPER, atol=6e-4)
    camber = np.degrees(np.arcsin(-link.axle[2][0]))
    for angle, lean in published.PLANAR_LOOP_CAMBER.items():
        assert camber[int(angle / 5.0)] == pytest.approx(lean, abs=6e-5)


@pytest.mark.parametrize(
    ("side", "coupler_rocker"), [(1.0, published.FOUR_BAR_OPEN), (-1.0, published.FOUR_BAR_CROSSED)]
)
def test_a_four_bar_has_its_textbook_angles_open_and_crossed(
    side: float, coupler_rocker: tuple[float, float]
) -> None:
    # assembled with the crank along the ground link: a triangle of coupler 120, rocker 80, side 60
    along = (120.0**2 + 60.0**2 - 80.0**2) / (2.0 * 60.0)
    ball = (40.0 + along, side * math.sqrt(120.0**2 - along**2))
    points = planar_points(((0, 0), (40, 0)), ((100, 0), ball), (60, 10))
    link = linkage_at(built(front_setup(points, **NO_SPRING)), np.radians([40.0]))
    coupler = direction(np.subtract(link.upper_ball, link.lower_ball))
    rocker = direction(np.subtract(link.upper_ball, np.reshape([0.0, 100.0, 0.0], (3, 1, 1))))
    assert (coupler[0], rocker[0]) == pytest.approx(coupler_rocker, abs=6e-5)


def test_the_ideal_outer_angle_is_the_textbooks() -> None:
    inner = math.atan(1.0 / published.IDEAL_STEER_COT_INNER)
    assert math.degrees(inner) == pytest.approx(published.IDEAL_STEER_INNER, abs=6e-5)
    assert math.degrees(ideal_outer(inner, 140.0, 280.0)) == pytest.approx(30.0, abs=1e-6)
    assert ackermann_share(inner, math.radians(30.0), 140.0, 280.0) == pytest.approx(100.0)


@pytest.mark.parametrize(("radius", "angle"), published.ROAD_WHEEL_ANGLE.items())
def test_ideal_angles_are_about_the_wheelbase_over_the_radius(radius: float, angle: float) -> None:
    # the mean cotangent of both ideal angles is R/L exactly, whatever the distance of the kingpins
    wheelbase, between, far = 100.6, 56.0, radius * 12.0
    inner = math.atan(wheelbase / (far - 0.5 * between))
    outer = ideal_outer(inner, between, wheelbase)
    mean = 0.5 * (1.0 / math.tan(inner) + 1.0 / math.tan(outer))
    assert 57.3 / mean == pytest.approx(angle, abs=0.008)  # 9.607 is printed as 9.60


@pytest.mark.parametrize(("rate", "weight", "ride", "frequency"), published.RIDE)
def test_ride_rate_and_frequency_are_the_textbooks(
    rate: float, weight: float, ride: float, frequency: float
) -> None:
    per_inch = constants.lbf / constants.inch / 1000.0  # lb/in in N/mm
    found = ride_rate(np.array(rate * per_inch), published.RIDE_TYRE * per_inch)
    assert found / per_inch == pytest.approx(ride, abs=0.06)
    mass = weight * constants.pound
    assert ride_frequency(found, mass) == pytest.approx(frequency, abs=0.006)


def test_a_swing_arm_of_100_inches_gains_0_573_degrees_an_inch() -> None:
    # Milliken & Milliken ch. 17 (from memory). The arms' lines meet 2540 mm inboard of the contact.
    centre, contact = (-1840.0, 250.0), (700.0, 0.0)
    lower, upper = (660.0, 190.0), (620.0, 430.0)

    def inboard(ball: tuple[float, float], share: float) -> tuple[float, float]:
        y, z = (b + share * (c - b) for b, c in zip(ball, centre, strict=True))
        return y, z

    points = planar_points(
        (inboard(lower, 0.14), lower), (inboard(upper, 0.1), upper), (contact[0], 300.0)
    )
    study = planar_study(points, 300.0)
    assert at_rest(study, "swing_arm_length") == pytest.approx(2540.0, abs=1e-9)
    per_inch = math.degrees(at_rest(study, "camber_gain")) * 25.4
    assert per_inch == pytest.approx(-0.573, abs=6e-4)


def test_the_front_view_construction_is_exact() -> None:
    # plane geometry: exact
    points = planar_points(((300, 200), (650, 200)), ((350, 400), (600, 450)), (700, 300))
    study = planar_study(points, 300.0)
    assert at_rest(study, "instant_centre_y") == pytest.approx(-650.0, abs=1e-9)
    assert at_rest(study, "instant_centre_z") == pytest.approx(200.0, abs=1e-9)
    assert at_rest(study, "swing_arm_length") == pytest.approx(1350.0, abs=1e-9)
    assert at_rest(study, "roll_centre_height") == pytest.approx(700.0 * 200.0 / 1350.0, abs=1e-9)
    assert at_rest(study, "roll_centre_construction") == pytest.approx(103.7037037, abs=1e-6)
    gain = math.degrees(at_rest(study, "camber_gain")) * 25.4
    assert gain == pytest.approx(-1.07801, abs=6e-6)
    assert at_rest(study, "roll_camber") == pytest.approx(1.0 - 700.0 / 1350.0, abs=1e-12)


def test_equal_parallel_level_arms_keep_camber_and_the_roll_centre_on_the_ground() -> None:
    # plane geometry: exact. The contact centre moves inboard by arm·(1 - cos) of the arm's angle.
    arm = 280.0
    points = planar_points(
        ((350, 200), (350 + arm, 200)), ((350, 430), (350 + arm, 430)), (700, 300)
    )
    study = planar_study(points, 300.0, np.linspace(-80.0, 80.0, 33))
    values = study.travel.values
    np.testing.assert_allclose(values["camber"], 0.0, atol=1e-14)
    np.testing.assert_allclose(values["camber_gain"], 0.0, atol=1e-16)
    swing = np.arcsin(study.travel.at / arm)
    np.testing.assert_allclose(values["track_change"][0], arm * (np.cos(swing) - 1.0), atol=1e-9)
    assert at_rest(study, "roll_centre_height") == pytest.approx(0.0, abs=1e-9)
    assert np.isnan(values["swing_arm_length"]).all()
    assert np.isnan(values["instant_centre_y"]).all()
    # parallel, not level: the roll centre is (t/2)·slope, with no centre to divide by
    slope = -np.tan(swing)
    np.testing.assert_allclose(
        values["roll_centre_height"], values["half_track"][0] * slope, atol=1e-8
    )


def test_wheel_rate_has_its_second_part() -> None:
    # exact geometry: a wheel that rises as the end of one arm of 400, spring at 200 on the arm
    points: Points = planar_points(((0, 0), (400, 0)), ((0, 200), (400, 200)), (450, 100))
    points |= {"spring_arm": (0.0, 200.0, 0.0), "spring_body": (0.0, 150.0, 300.0)}
    length = math.hypot(50.0, 300.0)
    setup = front_setup(
        points,
        front__tyre_radius=100.0,
        front__camber=0.0,
        front__toe=0.0,
        front__spring__on="lower arm",
        front__spring__rate=50.0,
        front__spring__free_length=length + 8000.0 / 50.0,
        car__mass=None,
    )
    study = swept(setup)
    assert at_rest(study, "spring_length") == pytest.approx(304.138127, abs=6e-7)
    assert at_rest(study, "spring_motion_ratio") == pytest.approx(0.493196962, abs=6e-10)
    assert at_rest(study, "spring_force") == pytest.approx(8000.0, abs=1e-9)
    load = at_rest(study, "spring_force") * at_rest(study, "spring_motion_ratio")
    assert load == pytest.approx(3945.576, abs=6e-4)
    assert at_rest(study, "wheel_rate_spring") == pytest.approx(12.162162, abs=6e-7)
    assert at_rest(study, "wheel_rate_geometry") == pytest.approx(1.466261, abs=6e-7)
    assert at_rest(study, "wheel_rate_geometry") / 8000.0 == pytest.approx(1.832827e-4, abs=6e-11)


def rill_study() -> FrontStudy:
    points = {
        name: (1000.0 * x, 1000.0 * y, 1000.0 * (z + published.RILL_RADIUS))
        for name, (x, y, z) in published.RILL_POINTS.items()
    }
    setup = front_setup(
        points,
        front__tyre_radius=1000.0 * published.RILL_RADIUS,
        front__camber=math.radians(published.RILL_CAMBER),
        front__toe=0.0,
    )
    return swept(setup, Ask(published.RILL_TRAVEL, np.zeros(1), np.zeros(1)))


def test_a_textbooks_corner_at_rest() -> None:
    study = rill_study()
    for key, value in published.RILL_REST.items():
        found = at_rest(study, key)
        found = math.degrees(found) if BY_KEY[key].kind == "angle" else found
        assert found == pytest.approx(value, abs=6e-3 if "roll" in key else 6e-5), key
    assert at_rest(study, "swing_arm_length") < 0.0  # the centre is outboard


@pytest.mark.parametrize(("key", "values"), published.RILL_SWEEP.items())
def test_a_textbooks_corner_over_travel(key: str, values: tuple[float, ...]) -> None:
    found = np.degrees(rill_study().travel.values[key][0])
    np.testing.assert_allclose(found, values, atol=6e-5)


def test_turn_plates_read_the_caster_of_a_wheel_that_turns_about_a_fixed_kingpin() -> None:
    # the wheel centre on the kingpin axis: steering moves neither it nor the arms
    slope = (-math.tan(math.radians(6.0)), -math.tan(math.radians(9.0)), 1.0)
    hub = (0.0, 720.0, 300.0)

    def on_kingpin(rise: float) -> tuple[float, float, float]:
        x, y, z = (h + rise * s for h, s in zip(hub, slope, strict=True))
        return x, y, z

    points = {
        "wheel_centre": hub,
        "lower_ball": on_kingpin(-110.0),
        "upper_ball": on_kingpin(150.0),
        "tie_outer": (-140.0, 700.0, 240.0),
    }
    setup = front_setup(points, front__camber=math.radians(-1.0), front__toe=0.0)
    front = built(setup)

    def at(rack: float) -> tuple[float, float]:
        values = pose_front(front, *np.array([[0.0], [0.0], [rack]])).values
        return math.degrees(values["toe"][0, 0]), math.degrees(values["camber"][0, 0])

    racks = [
        brentq(lambda rack, to=heading: at(rack)[0] + to, -60.0, 60.0) for heading in (20, -20)
    ]
    outward, inward = (at(rack)[1] for rack in racks)  # toe-out first
    assert (outward, inward) == pytest.approx(published.TURN_PLATE_CAMBER, abs=6e-5)
    assert 1.4619 * (outward - inward) == pytest.approx(published.TURN_PLATE_CASTER, abs=5e-4)
    study = swept(setup, Ask(np.zeros(1), np.zeros(1), np.linspace(-60.0, 60.0, 41)))
    exact = (math.sin(math.radians(outward)) - math.sin(math.radians(inward))) / (
        2.0 * math.sin(math.radians(20.0))
    )
    assert math.tan(study.single["caster_turn_plates"]) == pytest.approx(exact, abs=1e-8)


def test_the_roll_centre_by_the_lines_is_where_a_published_construction_has_it_in_roll() -> None:
    front = built(front_setup(student_front.POINTS, **student_front.VALUES))
    roll = np.radians([-student_front.ROLL])
    values = pose_front(front, np.zeros(1), roll, np.zeros(1)).values
    height = float(values["roll_centre_construction"][0])
    along = float(values["roll_centre_construction_lateral"][0])
    published_height, published_place = student_front.ROLL_CENTRE
    assert height == pytest.approx(published_height, abs=0.02)
    in_the_body = along * math.cos(roll[0]) + height * math.sin(roll[0])
    theirs, flat = student_front.WHEEL_TRAVEL
    assert in_the_body == pytest.approx(published_place * flat / theirs, abs=0.25)
    # by the motion it is elsewhere: this front has bump steer
    assert abs(float(values["roll_centre_lateral"][0]) - along) > 30.0


def test_the_ackermann_share_by_the_track_is_the_published_one() -> None:
    setup = front_setup(student_front.POINTS, **student_front.VALUES)
    study = swept(setup, Ask(np.linspace(-25, 25, 5), np.zeros(1), np.linspace(-38, 38, 41), 20.0))
    assert study.single["ackermann_track"] == pytest.approx(student_front.ACKERMANN, abs=0.01)


def test_the_share_over_steer_passes_the_one_at_20_degrees_and_is_even() -> None:
    study = swept(front_setup())
    assert study.steer is not None
    inner = np.degrees(study.steer.values["steer_angle_inner"])
    share = study.steer.values["ackermann_steer"]
    there = np.argsort(inner)
    there = there[(inner[there] > 5.0) & study.steer.reached[there]]
    at_20 = float(np.interp(20.0, inner[there], share[there]))
    assert at_20 == pytest.approx(study.single["ackermann"], abs=0.1)
    np.testing.assert_allclose(share, share[::-1], atol=1e-6)
    assert np.isnan(share[np.abs(inner) < 4.5]).all()


def test_the_share_by_the_track_over_steer_passes_the_published_one() -> None:
    setup = front_setup(student_front.POINTS, **student_front.VALUES)
    study = swept(setup, Ask(np.linspace(-25, 25, 5), np.zeros(1), np.linspace(-38, 38, 41), 20.0))
    assert study.steer is not None
    outer = np.degrees(study.steer.values["steer_angle_outer"])
    share = study.steer.values["ackermann_track_steer"]
    there = np.argsort(outer)
    there = there[(outer[there] > 6.0) & study.steer.reached[there]]
    at_10 = float(np.interp(10.0, outer[there], share[there]))
    # the track on lock is not quite that straight ahead
    assert at_10 == pytest.approx(student_front.ACKERMANN, abs=1.0)
    np.testing.assert_allclose(share, share[::-1], atol=1e-6)


@pytest.mark.parametrize("locks", [(20.0, 20.0), (15.0, 10.0), (8.0, 18.0)])
def test_caster_by_any_two_locks_is_that_of_the_kingpin(locks: tuple[float, float]) -> None:
    """A wheel turned about a known axis by a general rotation, read on plates."""
    caster, inclination = math.radians(5.0), math.radians(11.0)
    axis = np.array([-math.tan(caster), -math.tan(inclination), 1.0])
    axis /= np.linalg.norm(axis)
    turns = np.linspace(-0.5, 0.5, 201)
    spin = Rotation.from_rotvec(turns[:, None] * axis).apply([0.0, 1.0, 0.0])  # of the left wheel
    heading, camber = np.arctan2(spin[:, 0], spin[:, 1]), -np.arcsin(spin[:, 2])
    wheel = heading, camber, np.full_like(turns, inclination)
    out, inward = map(math.radians, locks)
    told = caster_from_turn_plates(wheel, (out, inward))
    assert told is not None
    assert math.degrees(told) == pytest.approx(5.0, abs=0.15)  # cosines of cambers are taken as 1
    if out != inward:  # the plain rule is far off
        row = np.argsort(heading)
        at = np.interp([-out, inward], heading[row], camber[row])
        plain = (math.sin(at[0]) - math.sin(at[1])) / (math.sin(out) + math.sin(inward))
        assert abs(math.degrees(math.atan(plain)) - 5.0) > 0.2


def test_locks_that_the_setup_gives_are_those_of_the_plates() -> None:
    def read(**locks: float) -> float:
        given = {f"front__turn_plates__{way}": math.radians(at) for way, at in locks.items()}
        return FRONT.study(front_setup(**given)).measured.single["caster_turn_plates"]

    assert read(out=20.0, **{"in": 20.0}) == pytest.approx(read(), abs=1e-12)
    assert read(out=15.0, **{"in": 10.0}) == pytest.approx(read(), abs=math.radians(0.5))
    assert read(out=15.0, **{"in": 10.0}) != pytest.approx(read(), abs=1e-6)

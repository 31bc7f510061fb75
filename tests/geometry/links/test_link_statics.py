"""Forces in the links: equilibrium of all six components, four links by hand, virtual work."""

from dataclasses import replace

import numpy as np
import pytest

from app.systems.rear.inputs import link_car
from geometry.leaf.car import Drive
from geometry.links.axle import Coil, Link, LinkAxle, Strut
from geometry.links.car import build_links
from geometry.links.poses import placed, solve_poses
from geometry.links.statics import full_link_forces, part_forces
from tests.helpers.sheets import sample, with_on

LOW, HIGH, RADIUS = 200.0, 450.0, 300.0
ZERO = np.zeros(1)


def level_links() -> LinkAxle:
    """Four level links along the car, one across, upright coils over the axle."""

    def along(y: float, z: float) -> Link:
        return Link((-2000.0, y, z), (-2500.0, y, z))

    def strut(y: float) -> Strut:
        return Strut((-2500.0, y, 700.0), (-2500.0, y, 300.0))

    def coil(y: float) -> Coil:
        return Coil((-2500.0, y, 700.0), (-2500.0, y, 300.0), 30.0, 450.0)

    return LinkAxle(
        along(500.0, LOW),
        along(-500.0, LOW),
        along(400.0, HIGH),
        along(-400.0, HIGH),
        Link((-2500.0, 450.0, 320.0), (-2500.0, -450.0, 320.0)),
        (-2500.0, 700.0, RADIUS),
        (-2500.0, -700.0, RADIUS),
        RADIUS,
        coil(450.0),
        coil(-450.0),
        strut(500.0),
        strut(-500.0),
    )


def test_four_level_links_share_the_thrust_as_by_hand():
    # Moments about the lower links' line: uppers, pulled, F·low/(high - low); about the uppers':
    # lowers, pushed, F·high/(high - low).
    axle = level_links()
    links, coils = part_forces(axle, solve_poses(axle, ZERO, ZERO), 5000.0, 6000.0)
    lower, upper = 5000.0 * HIGH / (HIGH - LOW), 5000.0 * LOW / (HIGH - LOW)
    expected = [-lower / 2, -lower / 2, upper / 2, upper / 2, 0.0]
    np.testing.assert_allclose(links, expected, atol=1e-6)
    np.testing.assert_allclose(coils, [3000.0, 3000.0], rtol=1e-9)


def hillclimb():
    car = link_car(sample("hillclimb_special"), False)
    rear = build_links(replace(car, drive=Drive(130e3, 2.9, 4.1, 1.1, 0.92)))
    return rear, rear.solve(ZERO, ZERO)


def test_every_case_is_in_equilibrium_in_all_six_components():
    rear, solution = hillclimb()
    axle, poses, car = rear.axle, solution.poses, rear.car
    cases = full_link_forces(car, poses)
    assert [each.case for each in cases] == ["standing", "full drive", "full braking"]
    for each in cases:
        force, moment = np.zeros(3), np.zeros(3)
        pulls = [(link, pull) for link, pull in zip(axle.links.values(), each.links, strict=True)]
        pulls += [(axle.coil_left, -each.coils[0]), (axle.coil_right, -each.coils[1])]
        for part, pull in pulls:
            at = placed(poses, part.axle)[0]
            towards = np.array(part.body) - at
            acting = pull * towards / np.sqrt(towards @ towards)
            force, moment = force + acting, moment + np.cross(at, acting)
        for wheel in (axle.wheel_left, axle.wheel_right):
            at = placed(poses, wheel)[0] - [0.0, 0.0, axle.tyre_radius]
            acting = np.array([each.thrust, 0.0, each.wheel_load]) / 2
            force, moment = force + acting, moment + np.cross(at, acting)
        weight = np.array([0.0, 0.0, 2 * car.load - car.axle_load])
        force, moment = force + weight, moment + np.cross(poses.centre[0], weight)
        np.testing.assert_allclose(force, 0.0, atol=1e-6)
        np.testing.assert_allclose(moment, 0.0, atol=1e-2)


def test_a_measured_axle_carries_its_coils_alike_and_strains_no_link_against_its_mate():
    # As measured the coils carry the load weighed and no link is stretched: soft coils can't put a
    # twist into stiff links that nobody loaded.
    rear, solution = hillclimb()
    standing = full_link_forces(rear.car, solution.poses)[0]
    weighed = rear.values(solution)[0]["spring_load"][0]
    np.testing.assert_allclose(standing.coils, weighed, atol=2.0)
    lower, upper = standing.links[:2], standing.links[2:4]
    assert abs(lower[0] - lower[1]) < 0.03 * abs(lower).max()
    assert abs(upper[0] - upper[1]) < 0.03 * abs(upper).max()


def test_coils_take_what_anti_squat_leaves_of_the_load_transfer():
    # Virtual work of a rise of both wheels: the coils' work is that of the load on them less that
    # of the thrust along the contact points' path, which is what anti-squat is. Both sides alike,
    # so that no link is stretched.
    drive_line = Drive(130e3, 2.9, 4.1, 1.1, 0.92)
    car = replace(link_car(with_on(sample("torsion_coupe"), "links"), True), drive=drive_line)
    rear = build_links(car)
    solution = rear.solve(ZERO, ZERO)
    standing, drive, braking = full_link_forces(rear.car, solution.poses)
    ratio, support = solution.coils.bounce_ratio[0], solution.side.support[0]
    assert abs(support) > 0.01
    for each in (drive, braking):
        more = ratio @ (each.coils - standing.coils)
        transfer = each.wheel_load - standing.wheel_load
        assert more == pytest.approx(transfer - each.thrust * support, rel=1e-4)


def test_grip_and_engine_limit_the_thrust_with_load_transfer():
    rear, solution = hillclimb()
    car = rear.car
    weak = replace(car, drive=replace(car.drive, engine_torque=20e3))
    _, drive, _ = full_link_forces(weak, solution.poses)
    by_engine = 20e3 * car.drive.gear * car.drive.final_drive * car.drive.efficiency
    assert drive.thrust == pytest.approx(by_engine / car.axle.tyre_radius)
    strong = replace(car, drive=replace(car.drive, engine_torque=1e9))
    _, drive, braking = full_link_forces(strong, solution.poses)
    assert drive.thrust == pytest.approx(car.drive.grip * drive.wheel_load)
    assert abs(braking.thrust) <= car.drive.grip * braking.wheel_load + 1e-9
    assert full_link_forces(replace(car, axle_load=None), solution.poses) == ()

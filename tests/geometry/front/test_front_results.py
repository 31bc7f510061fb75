"""Single results of the front worked out again from bare points, by other means."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from app.document.model import Change, FrozenMap
from app.systems.front.inputs import measured_car
from app.systems.front.system import FRONT
from geometry.catalogue.front import BY_KEY
from geometry.front.axle import Front, build_front
from geometry.front.sweeps import Ask, Sweep, pose_front, study_front
from tests.helpers.front_setups import (
    PLAIN,
    Points,
    built,
    front_setup,
    invented_points,
    mirrored,
    swept,
)
from tests.helpers.front_statics import vertical_force
from tests.helpers.long_cases import typical_of

SEEDS = (0, 3, 6, 9)
POSES = [
    (0.0, 0.0, 0.0),
    (40.0, 0.0, 10.0),
    (-45.0, 0.0, -20.0),
    (10.0, 0.06, 0.0),
    (-5.0, -0.05, 25.0),
]
JOINTS = ("upper_ball", "lower_ball", "tie_outer", "wheel_centre", "tie_inner", "axle")
TORSION = {
    "front__spring__kind": "torsion bar",
    "front__spring__on": None,
    "front__spring__rate": 1.9e6,
}
FLIP = np.array([1.0, -1.0, 1.0])


def posed(front: Front, travel: float, roll: float = 0.0, steer: float = 0.0) -> Sweep:
    return pose_front(front, *np.array([[travel], [roll], [steer]]))


class Side:
    """One side of one pose in car axes (the right one mirrored back), as bare points."""

    def __init__(self, front: Front, points: Points, sweep: Sweep, side: int) -> None:
        self.sign = FLIP if side else np.ones(3)
        self.body = {name: np.array(place) * self.sign for name, place in points.items()}
        self.at = {
            name: np.array([part[side, 0] for part in getattr(sweep.poses.linkage, name)])
            * self.sign
            for name in JOINTS
        }
        roll = float(sweep.poses.roll[0])
        # the body leans to its right: the road's upright leans to the body's left
        self.up = np.array([0.0, math.sin(roll), math.cos(roll)])
        self.left = np.array([0.0, math.cos(roll), -math.sin(roll)])
        axle = self.at["axle"]
        down = -(self.up - axle * np.dot(self.up, axle))
        self.contact = self.at["wheel_centre"] + 305.0 * down / np.linalg.norm(down)

    def turned(self) -> Rotation:
        """Rotation of the upright from the design pose, of the side's own points."""
        names = ("upper_ball", "tie_outer", "wheel_centre")
        now = [self.at[name] - self.at["lower_ball"] for name in names]
        then = [self.body[name] - self.body["lower_ball"] for name in names]
        rotation, _ = Rotation.align_vectors(now, then)
        return rotation

    def on_kingpin(self, level: np.ndarray) -> np.ndarray:
        """Where the kingpin axis meets the plane along the road through a point."""
        lower, kingpin = self.at["lower_ball"], self.at["upper_ball"] - self.at["lower_ball"]
        return lower + kingpin * (self.up @ (level - lower)) / (self.up @ kingpin)

    def arm(self, name: str) -> Rotation:
        """Rotation of an arm about its pivots."""
        front, rear, ball = (self.body[f"{name}_{end}"] for end in ("front", "rear", "ball"))
        now = [rear - front, self.at[f"{name}_ball"] - front]
        return Rotation.align_vectors(now, [rear - front, ball - front])[0]


def sides(front: Front, points: Points, sweep: Sweep) -> tuple[Side, Side]:
    return Side(front, points, sweep, 0), Side(front, points, sweep, 1)


def angle(one: np.ndarray, other: np.ndarray) -> float:
    return math.atan2(np.linalg.norm(np.cross(one, other)), float(np.dot(one, other)))


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
@pytest.mark.parametrize("pose", POSES)
def test_angles_and_ground_offsets_follow_their_definitions(
    seed: int, pose: tuple[float, float, float]
) -> None:
    points = invented_points(seed, 20.0)
    front = built(front_setup(points))
    sweep = posed(front, *pose)
    for row, side in enumerate(sides(front, points, sweep)):
        outward = 1.0 if row == 0 else -1.0
        axle, kingpin = side.at["axle"], side.at["upper_ball"] - side.at["lower_ball"]
        hub = side.at["wheel_centre"]
        # the kingpin axis is cut by the road through the contact centre, and by that through W
        road = np.array([axle @ [1.0, 0.0, 0.0], axle @ side.left * outward, axle @ side.up])
        # the wheel's plane and the road meet along the heading; across it points outboard
        heading = np.cross(axle, side.up) * outward
        heading /= np.linalg.norm(heading)
        across = np.cross(side.up, heading) * outward
        to_ground = side.contact - side.on_kingpin(side.contact)
        to_middle = hub - side.on_kingpin(hub)
        expected = {
            "camber": math.asin(-axle[2]),
            "camber_road": math.asin(-road[2]),
            "toe": math.atan2(road[0], road[1]),
            "caster": math.atan2(-kingpin[0], kingpin[2]),
            "kingpin_inclination": math.atan2(-kingpin[1] * outward, kingpin[2]),
            "scrub_radius": to_ground @ across,
            "kingpin_offset": to_middle @ across,
            "mechanical_trail": -to_ground @ heading,
            "half_track": side.contact[1] * outward,
        }
        for key, value in expected.items():
            assert sweep.values[key][row, 0] == pytest.approx(value, abs=1e-8), key


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
@pytest.mark.parametrize("pose", POSES)
def test_instant_centres_are_where_both_arm_planes_and_the_cut_meet(
    seed: int, pose: tuple[float, float, float]
) -> None:
    points = invented_points(seed, 20.0)
    front = built(front_setup(points))
    sweep = posed(front, *pose)
    for row, side in enumerate(sides(front, points, sweep)):
        planes = []
        for arm in ("upper", "lower"):
            a, b = side.body[f"{arm}_front"], side.body[f"{arm}_rear"]
            normal = np.cross(b - a, side.at[f"{arm}_ball"] - a)
            planes.append((normal, normal @ a))
        for across, keys in (
            (np.array([1.0, 0.0, 0.0]), ("instant_centre_y", "instant_centre_z")),
            (np.array([0.0, 1.0, 0.0]), ("side_centre_x", "side_centre_z")),
        ):
            matrix = np.array([planes[0][0], planes[1][0], across * 1e4])
            right = [planes[0][1], planes[1][1], 1e4 * across @ side.contact]
            centre = np.linalg.solve(matrix, right) * side.sign
            first = centre[1] if keys[0].endswith("y") else centre[0]
            assert sweep.values[keys[0]][row, 0] == pytest.approx(first, rel=1e-7, abs=1e-6)
            assert sweep.values[keys[1]][row, 0] == pytest.approx(centre[2], rel=1e-7, abs=1e-6)


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
@pytest.mark.parametrize("pose", POSES)
def test_the_roll_centre_is_where_both_contacts_normals_meet(
    seed: int, pose: tuple[float, float, float]
) -> None:
    points = invented_points(seed, 20.0)
    front = built(front_setup(points))
    sweep = posed(front, *pose)
    lines, slopes = [], []
    step = 0.5
    for row, side in enumerate(sides(front, points, sweep)):
        own = float(sweep.poses.travel[row, 0])

        def carried(
            travel: float, row: int = row, side: Side = side, own: float = own
        ) -> np.ndarray:
            """The upright's point that now is the contact centre, at another travel of its own."""
            there = Side(front, points, posed(front, travel, 0.0, pose[2]), row)
            base = Side(front, points, posed(front, own, 0.0, pose[2]), row)
            turn = there.turned() * base.turned().inv()
            return there.at["lower_ball"] + turn.apply(side.contact - side.at["lower_ball"])

        a, b, c, d = (carried(own + n * step) for n in (-2, -1, 1, 2))
        velocity = (a - 8.0 * b + 8.0 * c - d) / (12.0 * step)
        flat = np.array([velocity @ side.left, velocity @ side.up])
        place = np.array([side.contact @ side.left, side.contact @ side.up])
        lines.append((flat, flat @ place))
        slopes.append((1.0 if row == 0 else -1.0) * flat[0] / flat[1])
    normals, levels = zip(*lines, strict=True)
    lateral, height = np.linalg.solve(np.array(normals), levels)
    # above the line through both contact centres
    left, right = sides(front, points, sweep)
    places = [side.contact @ side.left for side in (left, right)]
    levels = [side.contact @ side.up for side in (left, right)]
    height -= np.polyval(np.polyfit(places, levels, 1), lateral)
    scale = max(1.0, abs(lateral), abs(height))
    assert sweep.values["roll_centre_height"][0] == pytest.approx(height, abs=2e-6 * scale)
    assert sweep.values["roll_centre_lateral"][0] == pytest.approx(lateral, abs=2e-6 * scale)
    # force based: each side's share of the side force, as the springs and hubs load the wheels
    load = sweep.values["spring_force"][:, 0] * sweep.values["spring_motion_ratio"][:, 0]
    load = np.maximum(load + 41.0 * 9.80665, 1.0)
    half = 0.5 * (places[0] - places[1])
    by_force = half * float(np.dot(load, slopes) / load.sum())
    assert sweep.values["roll_centre_force"][0] == pytest.approx(by_force, rel=1e-6, abs=1e-5)


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
@pytest.mark.parametrize("pose", POSES)
def test_joints_swing_as_their_stud_and_housing_part(
    seed: int, pose: tuple[float, float, float]
) -> None:
    points = invented_points(seed, 20.0)
    front = built(front_setup(points, front__joints__lower_ball_axis=(0.1, -0.2, 1.0)))
    sweep = posed(front, *pose)
    for row, side in enumerate(sides(front, points, sweep)):
        kingpin = side.body["upper_ball"] - side.body["lower_ball"]
        studs = {"upper": kingpin, "lower": np.array([0.1, -0.2, 1.0]) * side.sign}
        upright = side.turned()
        for arm, stud in studs.items():
            apart = angle(upright.apply(stud), side.arm(arm).apply(stud))
            assert sweep.values[f"{arm}_ball_swing"][row, 0] == pytest.approx(apart, abs=1e-7)
        rod, was = (p["tie_outer"] - p["tie_inner"] for p in (side.at, side.body))
        assert sweep.values["tie_inner_swing"][row, 0] == pytest.approx(angle(rod, was), abs=1e-7)
        tilt = angle(rod, upright.apply(kingpin)) - angle(was, kingpin)
        assert sweep.values["tie_outer_swing"][row, 0] == pytest.approx(abs(tilt), abs=1e-7)


def test_joints_do_not_swing_where_they_were_measured_and_do_on_moved_holes() -> None:
    moves = {f"front.upper_{end}": (0.0, 0.0, -22.0) for end in ("front", "rear")}
    answer = FRONT.study(front_setup(changes=(Change("lower", moves=FrozenMap(moves)),)))
    for joint in ("upper_ball_swing", "lower_ball_swing", "tie_outer_swing", "tie_inner_swing"):
        assert answer.measured.rest.values[joint] == pytest.approx(np.zeros((2, 1)), abs=1e-9)
    # the arm has turned by about the drop over its length, and with it the joint's housing
    arm = math.hypot(628.0 - 376.0, 560.0 - 581.0)
    swing = answer.unsettled.rest.values["upper_ball_swing"][0, 0]
    assert swing == pytest.approx(22.0 / arm, rel=0.1)


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
@pytest.mark.parametrize(("travel", "steer"), [(0.0, 0.0), (55.0, 15.0), (-60.0, 0.0)])
def test_a_torsion_bar_twists_with_the_lower_arm_and_carries_the_wheel(
    seed: int, travel: float, steer: float
) -> None:
    points = invented_points(seed, 20.0)
    front = built(front_setup(points, **TORSION))
    sweep = posed(front, travel, 0.0, steer)
    values = sweep.values
    side = Side(front, points, sweep, 0)
    axis = side.body["lower_rear"] - side.body["lower_front"]
    turn = side.arm("lower").as_rotvec() @ axis / np.linalg.norm(axis)
    sense = 1.0 if turn * travel > 0.0 else -1.0
    assert values["bar_twist"][0, 0] == pytest.approx(abs(turn) * np.sign(travel), abs=1e-9)
    torque = 1.9e6 * values["bar_twist"][0, 0] + _torque_at_rest(front)
    assert values["bar_torque"][0, 0] == pytest.approx(torque, rel=1e-12)
    hub = side.at["wheel_centre"]
    if travel:
        # the bar pushes the arm down: against the turn of bump
        down = -torque * sense * np.sign(travel) * (1.0 if travel > 0 else -1.0)
        load = vertical_force(front, sweep.poses, 0, at=hub, torque=down)
        by_ratio = values["bar_torque"][0, 0] * values["bar_motion_ratio"][0, 0]
        assert abs(load) == pytest.approx(by_ratio, rel=1e-9)
    step = 0.5
    loads = []
    for n in (-2, -1, 1, 2):
        near = posed(front, travel + n * step, 0.0, steer).values
        loads.append(near["bar_torque"][0, 0] * near["bar_motion_ratio"][0, 0])
    slope = (loads[0] - 8.0 * loads[1] + 8.0 * loads[2] - loads[3]) / (12.0 * step)
    assert values["wheel_rate"][0, 0] == pytest.approx(slope, rel=1e-6)


def _torque_at_rest(front: Front) -> float:
    """What carries the corner's sprung weight at the measured height."""
    weight = 0.5 * (1240.0 * 0.54 - 82.0) * 9.80665
    return weight / float(posed(front, 0.0).values["bar_motion_ratio"][0, 0])


def test_a_torsion_bars_height_follows_its_rate_and_its_preload() -> None:
    measured = built(front_setup(**TORSION))
    zero = np.zeros(0)
    ask = Ask(np.linspace(-80.0, 80.0, 61), zero, zero)
    torque = _torque_at_rest(measured)
    ratio = float(posed(measured, 0.0).values["bar_motion_ratio"][0, 0])

    def settled(**values: object) -> float:
        car = measured_car(front_setup(**(TORSION | values)))
        return study_front(build_front(car, measured.reference), ask).single["settled_travel"]

    # the torque at the measured height is kept when only the rate is changed: nothing moves
    assert settled(front__spring__rate=2.4e6) == pytest.approx(0.0, abs=1e-6)
    # more preload, told against the measured one, lifts: first order by its work
    base = measured_car(front_setup(**TORSION, front__spring__preload=torque))
    more = measured_car(front_setup(**TORSION, front__spring__preload=1.05 * torque))
    told = build_front(base)
    lifted = study_front(build_front(more, told.reference), ask)
    rate = float(posed(told, 0.0).values["wheel_rate"][0, 0])
    expected = -0.05 * torque * ratio / rate
    assert lifted.single["settled_travel"] == pytest.approx(expected, rel=0.1)


def test_stops_are_where_the_lengths_are() -> None:
    front = built(front_setup())
    rest = posed(front, 0.0).values
    solid = float(rest["spring_length"][0, 0]) - 20.0
    study_of = swept(front_setup(front__spring__solid_length=solid))
    bind = study_of.single["coil_bind_travel"]
    assert posed(front, bind).values["spring_length"][0, 0] == pytest.approx(solid, abs=1e-6)
    shut, out = (float(rest["damper_length"][0, 0]) + d for d in (-25.0, 25.0))
    ends = front_setup(front__damper__closed_length=shut, front__damper__open_length=out)
    single = FRONT.study(ends).measured.single
    for key, length in (("damper_bump_travel", shut), ("damper_droop_travel", out)):
        there = posed(front, single[key]).values["damper_length"][0, 0]
        assert there == pytest.approx(length, abs=1e-6)


def test_the_range_of_toe_counts_its_turning_points() -> None:
    for seed in SEEDS:
        front = built(front_setup(invented_points(seed, 20.0)))
        window = np.linspace(-50.0, 50.0, 4001)
        toe = pose_front(front, window, np.zeros(4001), np.zeros(4001)).values["toe"][0]
        for count in (21, 41, 61):
            ask = Ask(np.linspace(-80.0, 80.0, count), np.zeros(0), np.zeros(0), 50.0)
            single = study_front(front, ask).single
            assert single["bump_steer_range"] == pytest.approx(float(np.ptp(toe)), rel=2e-3)


@pytest.mark.parametrize("seed", typical_of(SEEDS, SEEDS[:2]))
def test_sides_that_differ_are_each_as_in_a_car_of_their_own_kind(seed: int) -> None:
    left, right = invented_points(seed, 15.0), invented_points(seed + 50, 15.0)
    both = swept(front_setup(left, right=mirrored(right)))
    alone = swept(front_setup(left)), swept(front_setup(right))
    for row, car in enumerate(alone):
        for key in car.travel.values:
            if BY_KEY[key].scope == "wheel" and key not in ("roll_camber",):
                found, expected = both.travel.values[key][row], car.travel.values[key][row]
                np.testing.assert_allclose(found, expected, rtol=1e-8, atol=1e-8, err_msg=key)
    toe = both.steer.values["toe"]
    np.testing.assert_allclose(toe[0], alone[0].steer.values["toe"][0], atol=1e-9)
    np.testing.assert_allclose(toe[1], alone[1].steer.values["toe"][1], atol=1e-9)
    # in roll they share the road
    assert both.roll.reached.all()
    np.testing.assert_allclose(both.roll.poses.travel.mean(axis=0), 0.0, atol=1e-9)
    assert both.single["toe_out_on_turns"] != alone[0].single["toe_out_on_turns"]


def test_steer_angles_and_the_turning_results_follow_their_definitions() -> None:
    study_of = swept(front_setup())

    def heading(rack: float) -> float:
        return float(posed(study_of.front, 0.0, 0.0, rack).values["steer_angle_inner"][0])

    lock = brentq(lambda rack: heading(rack) - math.radians(20.0), -60.0, 60.0, xtol=1e-10)
    there = posed(study_of.front, 0.0, 0.0, lock)
    outer = float(there.values["steer_angle_outer"][0])
    assert study_of.single["toe_out_on_turns"] == pytest.approx(outer, abs=1e-7)
    rest = study_of.rest
    ground = 2.0 * (rest.values["half_track"][0, 0] - _inboard_of_contact(study_of.front))
    ideal = math.atan(1.0 / (1.0 / math.tan(math.radians(20.0)) + ground / 2560.0))
    share = 100.0 * (math.radians(20.0) - outer) / (math.radians(20.0) - ideal)
    assert study_of.single["ackermann"] == pytest.approx(share, abs=1e-4)


def _inboard_of_contact(front: Front) -> float:
    """How far inboard of the contact centre the kingpin axis meets the ground, straight across."""
    side = Side(front, PLAIN, posed(front, 0.0), 0)
    kingpin = side.at["upper_ball"] - side.at["lower_ball"]
    share = (side.contact[2] - side.at["lower_ball"][2]) / kingpin[2]
    return float(side.contact[1] - (side.at["lower_ball"] + share * kingpin)[1])


def test_every_result_is_in_the_catalogue_with_its_shape() -> None:
    coil = swept(front_setup(front__spring__solid_length=170.0))
    bar = swept(front_setup(**TORSION))
    by_study = {"damper_bump_travel", "damper_droop_travel"}  # they need the damper's lengths
    assert set(coil.rest.values) | set(bar.rest.values) | set(coil.single) | by_study == set(BY_KEY)
    for key, value in coil.rest.values.items():
        assert value.shape == {"wheel": (2, 1), "axle": (1,)}[BY_KEY[key].scope], key


@pytest.mark.parametrize(
    ("lacking", "gone"),
    [
        ({"car__mass": None}, {"spring_force", "wheel_rate", "ride_rate", "ride_frequency"}),
        ({"front__spring__rate": None}, {"wheel_rate_spring", "wheel_rate", "spring_force"}),
        ({"front__spring__kind": None, "front__spring__on": None}, {"spring_length", "wheel_rate"}),
        ({"front__tyre_rate": None}, {"ride_rate"}),
        ({"car__cg_height": None}, {"anti_dive", "anti_dive_inboard"}),
        ({"car__wheelbase": None}, {"anti_dive"}),
    ],
)
def test_what_lacks_data_is_left_out_and_the_rest_stays(
    lacking: dict[str, object], gone: set[str]
) -> None:
    whole, part = swept(front_setup()), swept(front_setup(**lacking))
    assert not gone & set(part.rest.values)
    for key in set(part.rest.values) - {"roll_centre_force", "ride_frequency"}:
        np.testing.assert_array_equal(part.travel.values[key], whole.travel.values[key])
    assert ("settled_travel" in part.single) == (not gone & {"spring_force", "wheel_rate"})

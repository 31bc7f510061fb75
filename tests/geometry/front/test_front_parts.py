"""What a change does to the parts: moved holes keep them, new parts keep the measured pose."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import root

from app.document.model import Change, FrozenMap, Setup, Vec
from app.systems.front.inputs import measured_car, proposed_car
from app.systems.front.system import FRONT
from geometry.errors import LegsDontMeet, Unreachable
from geometry.front.axle import Front, build_front
from geometry.front.parts import CornerPoints, bolt_up, measure_parts
from geometry.front.road import Poses
from tests.helpers.front_rods import LOWER, OUTER, UPPER, RodCorner, upright_frame
from tests.helpers.front_setups import PLAIN, Points, front_setup, invented_points, moved
from tests.helpers.long_cases import examples, typical_of

few = settings(max_examples=examples(10, 25))
HOLES = ("upper_front", "upper_rear", "lower_front", "lower_rear", "tie_inner")
steps = st.tuples(*[st.floats(-12.0, 12.0)] * 3)
MEASURED_TOE, MEASURED_CAMBER = math.radians(0.1), math.radians(-0.5)


def change(moves: dict[str, Vec], **more: object) -> Change:
    keyed = {f"front.{name}": move for name, move in moves.items()}
    return Change("a job", moves=FrozenMap(keyed), **more)  # type: ignore[arg-type]


def proposal(*changes: Change, **values: object) -> tuple[Front, Poses]:
    """The proposed car, bolted up and aligned, and its pose at the measured height."""
    answer = FRONT.study(front_setup(changes=changes, **values)).unsettled
    return answer.front, answer.rest.poses


def at(poses: Poses, name: str) -> np.ndarray:
    return np.array([part[0, 0] for part in getattr(poses.linkage, name)])


def lengths(poses: Poses, holes: Points) -> dict[str, float]:
    pairs = [
        (f"{arm}_{end}", f"{arm}_ball") for arm in ("upper", "lower") for end in ("front", "rear")
    ]
    found = {hole: math.dist(holes[hole], at(poses, ball)) for hole, ball in pairs}
    found["tie_inner"] = math.dist(at(poses, "tie_inner"), at(poses, "tie_outer"))
    found["kingpin"] = math.dist(at(poses, "upper_ball"), at(poses, "lower_ball"))
    return found


def measured_lengths() -> dict[str, float]:
    return lengths(proposal()[1], PLAIN)


@few
@given(st.fixed_dictionaries(dict.fromkeys(HOLES, steps)))
def test_moved_holes_keep_every_part_and_the_wheels_height(moves: dict[str, Vec]) -> None:
    for toe in ("left", "reset"):
        _, poses = proposal(change(moves, toe=toe))
        holes = {name: moved(PLAIN[name], moves[name]) for name in HOLES}
        found, before = lengths(poses, holes), measured_lengths()
        if toe == "reset":  # the tie rods alone are turned
            del found["tie_inner"], before["tie_inner"]
            axle = at(poses, "axle")
            assert math.atan2(axle[0], axle[1]) == pytest.approx(MEASURED_TOE, abs=1e-9)
        assert found == pytest.approx(before, abs=1e-9)
        assert at(poses, "wheel_centre")[2] == pytest.approx(305.0, abs=1e-9)
        assert at(poses, "tie_inner") == pytest.approx(holes["tie_inner"], abs=1e-9)


@pytest.mark.parametrize("seed", typical_of(range(8), range(3)))
def test_moved_holes_lead_where_a_general_root_finder_goes(seed: int) -> None:
    random = np.random.default_rng(seed)
    points = invented_points(seed, 15.0)
    moves = {name: tuple(random.uniform(-20.0, 20.0, 3).tolist()) for name in HOLES}
    rods = RodCorner.of({name: place for name, place in points.items() if name in CORNER})
    unknown, length = rods.at_design(rods.points), rods.lengths[4]
    for share in np.linspace(0.0, 1.0, 9)[1:]:
        place = {
            name: tuple(np.array(points[name]) + share * np.array(moves.get(name, (0.0,) * 3)))
            for name in CORNER
        }
        # the same rods on moved holes
        bolted = RodCorner({k: np.array(v) for k, v in place.items()}, rods.lengths, rods.hub)
        unknown = bolted.solve(unknown, 0.0, 0.0)
    left = FRONT.study(front_setup(points, (change(moves, toe="left"),))).unsettled.rest.poses
    for name, part in (("lower_ball", LOWER), ("upper_ball", UPPER), ("tie_outer", OUTER)):
        assert at(left, name) == pytest.approx(unknown[part], abs=1e-6)

    # then the tie rod is turned, too, until the toe is as measured
    design = rods.at_design(rods.points)
    axle = np.array(
        [
            math.cos(MEASURED_CAMBER) * math.sin(MEASURED_TOE),
            math.cos(MEASURED_CAMBER) * math.cos(MEASURED_TOE),
            -math.sin(MEASURED_CAMBER),
        ]
    )

    def with_toe(values: np.ndarray) -> np.ndarray:
        longer = rods.lengths.copy()
        longer[4] = values[9]
        turned = RodCorner(bolted.points, longer, rods.hub)
        now, then = frame(values), frame(design)
        spin = now @ then.T @ axle
        return np.append(
            turned.residual(values[:9], 0.0, 0.0), math.atan2(spin[0], spin[1]) - MEASURED_TOE
        )

    found = root(with_toe, np.append(unknown, length), tol=1e-13)
    assert np.abs(found.fun).max() < 1e-9
    reset = FRONT.study(front_setup(points, (change(moves),))).unsettled
    rod = reset.front.axle.corners.parts.tie_length[0, 0]
    assert rod == pytest.approx(found.x[9], abs=1e-6)
    assert at(reset.rest.poses, "upper_ball") == pytest.approx(found.x[UPPER], abs=1e-6)
    assert reset.rest.values["toe"][0, 0] == pytest.approx(MEASURED_TOE, abs=1e-9)


CORNER = (*HOLES, "upper_ball", "lower_ball", "tie_outer", "wheel_centre")


def frame(values: np.ndarray) -> np.ndarray:
    return upright_frame(values[LOWER], values[UPPER], values[OUTER])


@few
@given(st.fixed_dictionaries(dict.fromkeys(CORNER, steps)))
def test_parts_made_to_fit_keep_the_measured_pose(moves: dict[str, Vec]) -> None:
    _, poses = proposal(change(moves, parts="made to fit"))
    for name in ("upper_ball", "lower_ball", "tie_outer", "wheel_centre"):
        assert at(poses, name) == pytest.approx(moved(PLAIN[name], moves[name]), abs=1e-9)
    axle = at(poses, "axle")
    assert math.asin(-axle[2]) == pytest.approx(MEASURED_CAMBER, abs=1e-12)
    assert math.atan2(axle[0], axle[1]) == pytest.approx(MEASURED_TOE, abs=1e-12)


def test_both_kinds_in_one_proposal_make_parts_first_and_bolt_them_up_then() -> None:
    longer = {"upper_ball": (0.0, 8.0, 0.0), "upper_front": (0.0, -5.0, 0.0)}
    lower = {"upper_front": (0.0, 0.0, -20.0), "upper_rear": (0.0, 0.0, -20.0)}
    _, poses = proposal(change(longer, parts="made to fit"), change(lower, toe="left"))
    design = {name: moved(PLAIN[name], longer.get(name, (0.0,) * 3)) for name in PLAIN}
    bolted = {name: moved(place, lower.get(name, (0.0,) * 3)) for name, place in design.items()}
    found = lengths(poses, bolted)
    for end in ("front", "rear"):
        made = math.dist(design[f"upper_{end}"], design["upper_ball"])
        assert found[f"upper_{end}"] == pytest.approx(made, abs=1e-9)
    assert found["kingpin"] == pytest.approx(math.dist(design["upper_ball"], design["lower_ball"]))


def test_lower_upper_pivots_lean_the_wheel_although_new_parts_would_not() -> None:
    # the published experience (common practice, no source): parts kept, the static camber moves
    lower = {"upper_front": (0.0, 0.0, -25.4), "upper_rear": (0.0, 0.0, -25.4)}
    kept, fitted = (
        FRONT.study(front_setup(changes=(change(lower, parts=parts),))).unsettled
        for parts in ("kept", "made to fit")
    )
    assert abs(kept.rest.values["camber"][0, 0] - MEASURED_CAMBER) > math.radians(0.1)
    assert fitted.rest.values["camber"][0, 0] == pytest.approx(MEASURED_CAMBER, abs=1e-12)


def test_a_ball_joint_moves_with_its_part_whatever_the_change_says() -> None:
    move = {"upper_ball": (0.0, 0.0, 10.0), "spring_arm": (0.0, 5.0, 0.0)}
    kept, fitted = (proposal(change(move, parts=parts))[1] for parts in ("kept", "made to fit"))
    assert at(kept, "upper_ball") == pytest.approx(at(fitted, "upper_ball"), abs=1e-12)
    assert at(kept, "upper_ball") == pytest.approx(moved(PLAIN["upper_ball"], (0, 0, 10.0)))


def test_the_spring_seat_keeps_its_place_on_a_kept_arm() -> None:
    lower = {"upper_front": (3.0, 4.0, -22.0), "upper_rear": (3.0, 4.0, -22.0)}
    answer = FRONT.study(front_setup(changes=(change(lower, toe="left"),)))
    front, poses = answer.unsettled.front, answer.unsettled.rest.poses
    body, ball = front.car.body, at(poses, "upper_ball")
    holes = [
        np.array([part[0, 0] for part in getattr(body, f"upper_{end}")])
        for end in ("front", "rear")
    ]
    # three distances and a side place a seat on its arm
    known = [np.array(PLAIN[name]) for name in ("upper_front", "upper_rear", "upper_ball")]
    then, now = (
        np.column_stack([b - a, c - a, np.cross(b - a, c - a)])
        for a, b, c in (known, [*holes, ball])
    )
    seat = holes[0] + now @ np.linalg.solve(then, np.array(PLAIN["spring_arm"]) - known[0])
    length = math.dist(seat, PLAIN["spring_body"])
    assert answer.unsettled.rest.values["spring_length"][0, 0] == pytest.approx(length, abs=1e-9)


def test_no_change_is_the_measured_car() -> None:
    setup = front_setup(changes=(change({"upper_front": (0.0, 0.0, 0.0)}),))
    answer = FRONT.study(setup)
    for key, value in answer.measured.rest.values.items():
        np.testing.assert_allclose(answer.unsettled.rest.values[key], value, atol=1e-7, err_msg=key)


def test_the_right_side_follows_as_the_mirror_unless_it_has_its_own_points() -> None:
    lower = {"upper_front": (0.0, 0.0, -22.0), "upper_rear": (0.0, 0.0, -22.0)}
    answer = FRONT.study(front_setup(changes=(change(lower),)))
    camber = answer.unsettled.rest.values["camber"]
    assert camber[1, 0] == camber[0, 0]
    own = {"upper_ball": moved((-12.0, -628.0, 560.0), (0.0, 4.0, 1.0))}
    apart = FRONT.study(front_setup(right=own, changes=(change(lower),)))
    camber = apart.unsettled.rest.values["camber"]
    assert camber[0, 0] == pytest.approx(answer.unsettled.rest.values["camber"][0, 0], abs=1e-12)
    assert abs(camber[1, 0] - camber[0, 0]) > 1e-5


@pytest.mark.parametrize("arm", ["upper", "lower"])
def test_pivots_too_far_apart_for_the_arm_are_said_with_both_lengths(arm: str) -> None:
    setup = front_setup(changes=(change({f"{arm}_front": (900.0, 0.0, 0.0)}),))
    with pytest.raises(LegsDontMeet, match=f"front.{arm}_front.*front.{arm}_rear") as caught:
        FRONT.study(setup)
    sides = [math.dist(PLAIN[f"{arm}_{end}"], PLAIN[f"{arm}_ball"]) for end in ("front", "rear")]
    spread = math.dist(moved(PLAIN[f"{arm}_front"], (900.0, 0.0, 0.0)), PLAIN[f"{arm}_rear"])
    assert caught.value.wanted == pytest.approx(sum(sides), abs=1e-9)
    assert caught.value.available == pytest.approx(spread, abs=1e-9)


def test_holes_that_leave_no_way_to_the_measured_height_are_said_with_their_points() -> None:
    setup = front_setup(
        changes=(change({"upper_front": (0.0, -400.0, 0.0), "upper_rear": (0.0, -400.0, 0.0)}),)
    )
    with pytest.raises(Unreachable, match=r"front.upper_ball.*front.lower_ball"):
        FRONT.study(setup)


def test_parts_can_be_bolted_in_a_batch() -> None:
    # many corners at once, as arrays of shape (g, 1), are as each of them alone
    cars = [measured_car(front_setup(invented_points(seed, 15.0))).design for seed in range(6)]
    names = list(CornerPoints.__dataclass_fields__)

    def stack(name: str) -> object:
        parts = [getattr(car, name) for car in cars]
        if isinstance(parts[0], tuple):
            return tuple(np.concatenate([p[axis][:1] for p in parts]) for axis in range(3))
        return np.concatenate([p[:1] for p in parts])

    batch = CornerPoints(**{name: stack(name) for name in names})
    together = bolt_up(measure_parts(batch), batch)
    for index, car in enumerate(cars):
        alone = bolt_up(measure_parts(car), car)
        assert together.parts.tie_length[index, 0] == alone.parts.tie_length[0, 0]
        assert together.upper.outward[2][index, 0] == pytest.approx(alone.upper.outward[2][0, 0])


def test_a_proposal_reads_as_the_measured_car_where_nothing_is_on(tmp_path: object) -> None:
    setup: Setup = front_setup(changes=(change({"upper_front": (0.0, 0.0, -9.0)}, on=False),))
    assert not FRONT.study(setup).changed
    front = build_front(proposed_car(setup))
    assert front.car.body is front.car.design

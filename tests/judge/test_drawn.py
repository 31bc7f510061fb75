"""A result that is drawn: the cars say it is there, a general optimiser that no move is less."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from app.document.model import Change, FrozenMap, Setup
from app.document.plans import Room
from app.gestures.target import with_target
from app.judge.drawn import DrawError, Drawing, Drawn, with_drawn
from app.judge.drawn_words import step_words, stuck_words
from app.systems.answers import Pose
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.sought import saloon

pytestmark = pytest.mark.gui

HEIGHT = Drawn("front", ("roll_centre_height",))
CENTRE = Drawn("front", ("instant_centre_y", "instant_centre_z"))
ROOMS = {
    "front.upper_front": Room(y=(-8.0, 8.0), z=(-30.0, 10.0)),
    "front.upper_rear": Room(y=(-8.0, 8.0), z=(-30.0, 10.0)),
    "front.lower_rear": Room(z=(-12.0, 12.0)),
}
NO_LOCKS: dict[str, frozenset[int]] = {}


def drawing(drawn: Drawn = HEIGHT, locks: dict[str, frozenset[int]] = NO_LOCKS) -> Drawing:
    return Drawing(*with_target(saloon(rooms=ROOMS), None), drawn, locks)


def height(setup: Setup) -> float:
    return float(FRONT.study(setup).proposed.rest.values["roll_centre_height"][0])


def test_a_drawn_roll_centre_is_where_it_was_drawn_to_and_nothing_else_is_moved() -> None:
    made = drawing()
    for by in (-25.0, 0.5, 20.0):
        wanted = made.start[0] + by
        drew = made.at([wanted])
        assert height(drew.setup) == pytest.approx(wanted, abs=1e-3)
        assert height(made.settled([wanted]).setup) == pytest.approx(wanted, abs=1e-6)
        assert set(drew.setup.changes[-1].moves) <= set(ROOMS)


def test_there_and_back_the_points_are_where_they_were() -> None:
    """As tests of sketch solvers do: a scripted path, each place visited twice by other ways."""
    made = drawing()
    path = [made.start[0] + by for by in (0.0, 4.0, 17.0, 40.0, 17.0, -30.0, 4.0, -70.0, 0.0)]
    moves: dict[float, tuple[float, ...]] = {}
    for value in path:
        drew = made.at([value])
        assert moves.setdefault(value, drew.moves) == drew.moves
    assert not any(moves[path[0]])
    assert made.at([path[-1]]).setup == made.setup


def test_a_steady_hand_meets_no_kick_and_no_flip() -> None:
    """The widest step of the points, cut in eight, is eight small ones: nothing leaps anywhere."""
    made = drawing()
    values = [made.start[0] + by for by in np.linspace(-45.0, 30.0, 51)]
    moves = np.array([made.at([value]).moves for value in values])
    steps = np.abs(np.diff(moves, axis=0)).max(axis=1)
    widest = int(steps.argmax())
    between = np.linspace(values[widest], values[widest + 1], 9)
    parts = np.abs(np.diff([made.at([value]).moves for value in between], axis=0)).max(axis=1)
    assert parts.max() < 0.25 * steps.max()


def test_no_move_of_the_cars_themselves_is_less() -> None:
    """scipy.optimize.minimize (SLSQP, each car solved by itself) as judge."""
    made = drawing()
    wanted = made.start[0] - 30.0
    drew = made.settled([wanted])
    low = [freedom.low / freedom.width for freedom in made.freedoms]
    high = [freedom.high / freedom.width for freedom in made.freedoms]

    def missed(shares: np.ndarray) -> float:
        moves = (shares * made.widths).tolist()
        return height(with_drawn(made.setup, made.index, made.freedoms, moves)) - wanted

    judge = minimize(
        lambda x: float(x @ x),
        np.zeros(len(low)),
        jac=lambda x: 2.0 * x,
        method="SLSQP",
        bounds=list(zip(low, high, strict=True)),
        constraints={"type": "eq", "fun": missed},
        options={"ftol": 1e-12},
    )
    assert judge.success
    assert drew.moves == pytest.approx((judge.x * made.widths).tolist(), abs=0.02)
    size = float(np.square(np.array(drew.moves) / made.widths).sum())
    assert size == pytest.approx(judge.fun, rel=1e-4)


def test_a_small_move_is_the_least_norm_of_the_slopes() -> None:
    made = drawing()
    step = 0.05
    shares = np.eye(len(made.freedoms)) * 1e-3
    slopes = np.array(
        [
            height(with_drawn(made.setup, made.index, made.freedoms, list(row * made.widths)))
            - height(with_drawn(made.setup, made.index, made.freedoms, list(-row * made.widths)))
            for row in shares
        ]
    )
    least = slopes / 2e-3 * step / float((slopes / 2e-3) @ (slopes / 2e-3))
    drew = made.settled([made.start[0] + step])
    assert np.array(drew.moves) / made.widths == pytest.approx(least, rel=5e-3, abs=1e-7)


def test_an_instant_centre_goes_where_it_is_drawn_in_both_directions() -> None:
    made = drawing(CENTRE)
    wanted = [made.start[0] + 60.0, made.start[1] + 20.0]
    values = FRONT.study(made.settled(wanted).setup).proposed.rest.values
    reached = [float(values[key][0, 0]) for key in CENTRE.keys]
    assert reached == pytest.approx(wanted, rel=1e-6)  # it is 20 m away
    assert made.at([made.start[0], made.start[1] + 2000.0]).stuck


def test_with_a_single_freedom_a_centre_follows_along_its_line() -> None:
    setup = saloon(rooms={"front.lower_rear": Room(z=(-12.0, 12.0))})
    made = Drawing(*with_target(setup, None), CENTRE, NO_LOCKS)
    drew = made.at([made.start[0] + 500.0, made.start[1]])
    assert drew.moves[0] > 0.0
    assert not drew.stuck
    assert not made.goes_anywhere


def test_at_the_end_of_its_room_it_sticks_and_says_what_is_at_its_end() -> None:
    setup = saloon(rooms={"front.upper_front": Room(z=(-3.0, 3.0))})
    made = Drawing(*with_target(setup, None), HEIGHT, NO_LOCKS)
    near, far = (made.at([made.start[0] + by]) for by in (30.0, 60.0))
    assert near.stuck
    assert near.moves == far.moves
    assert stuck_words(made.results, far, "mm", ".") == (
        "Roll centre height goes no further. At the end of its room: upper arm, front pivot, lower."
    )
    assert not stuck_words(made.results, made.at([made.start[0] + 0.5]), "mm", ".")


def test_points_alike_move_alike_and_locked_axes_dont_move() -> None:
    rooms = {
        "front.upper_front": Room(y=(-8.0, 8.0), z=(-30.0, 10.0)),
        "front.upper_rear": Room(alike="front.upper_front"),
    }
    setup, index = with_target(saloon(rooms=rooms), None)
    locks = {"front.upper_rear": frozenset({1})}
    made = Drawing(setup, index, HEIGHT, locks)
    moves = made.at([made.start[0] - 5.0]).setup.changes[-1].moves
    assert moves["front.upper_front"] == moves["front.upper_rear"]
    assert moves["front.upper_front"][1] == 0.0
    with pytest.raises(DrawError, match="is locked: unlock it first"):
        Drawing(setup, index, HEIGHT, {"front.upper_rear": frozenset({0, 1, 2})})


def test_what_is_moved_already_moves_on_in_the_same_change() -> None:
    change = Change("Lower", moves=FrozenMap({"front.upper_front": (0.0, 0.0, -5.0)}))
    setup = saloon(rooms=ROOMS).having(changes=(change,))
    made = Drawing(setup, 0, HEIGHT, NO_LOCKS)
    drew = made.at([made.start[0] - 10.0])
    assert len(drew.setup.changes) == 1
    lifted = dict(zip([freedom.name for freedom in made.freedoms], drew.moves, strict=True))
    moved = drew.setup.changes[0].moves["front.upper_front"]
    assert moved[2] == pytest.approx(-5.0 + lifted["front.upper_front.z"])
    assert made.at(made.start).setup == setup


def test_without_room_it_is_said_how_to_give_some() -> None:
    setup, index = with_target(saloon(), None)
    with pytest.raises(DrawError, match="Give points room first"):
        Drawing(setup, index, HEIGHT, NO_LOCKS)
    with pytest.raises(DrawError, match="nothing of the rear has room yet"):
        Drawing(*with_target(saloon(rooms=ROOMS), None), Drawn("rear", HEIGHT.keys), NO_LOCKS)


def test_what_has_room_but_moves_nothing_is_said() -> None:
    setup = saloon(rooms={"front.damper_body": Room(z=(-10.0, 10.0))})
    with pytest.raises(DrawError, match="nothing that has room moves roll centre height"):
        Drawing(*with_target(setup, None), HEIGHT, NO_LOCKS)


def test_in_a_pose_the_result_is_drawn_in_that_pose() -> None:
    pose = Pose(travel=40.0)
    made = drawing(Drawn("front", ("camber",), 0, pose))
    car = FRONT.study(made.setup).proposed
    assert made.start[0] == pytest.approx(float(car.at_pose(pose).values["camber"][0, 0]))
    wanted = made.start[0] + 0.01
    after = FRONT.study(made.settled([wanted]).setup).proposed.at_pose(pose)
    assert float(after.values["camber"][0, 0]) == pytest.approx(wanted, abs=1e-8)


def test_a_rear_roll_centre_follows_the_room_of_the_rear() -> None:
    rooms = {"rear.front_eye": Room(z=(-25.0, 25.0)), "rear.rear_eye": Room(z=(-10.0, 10.0))}
    setup = saloon(rooms=rooms)
    made = Drawing(*with_target(setup, None), Drawn("rear", HEIGHT.keys), NO_LOCKS)
    drew = made.settled([made.start[0] + 2.0])
    values = REAR.study(drew.setup).proposed.rest.values["roll_centre_height"]
    assert float(np.ravel(values)[0]) == pytest.approx(made.start[0] + 2.0, abs=1e-4)


def test_the_step_says_what_was_drawn_to_what() -> None:
    made = drawing()
    words = step_words(made.results, [105.0], "mm", ".")
    assert words == "draw roll centre height to 105.0 mm"

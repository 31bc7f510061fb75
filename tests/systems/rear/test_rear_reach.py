"""Whatever is asked of an axle, it answers or says why not; and where it goes, it goes smoothly."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import product, takewhile

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import FrozenMap, Leaf, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.front.study import at_pose, sweep_at
from app.systems.front.system import FRONT
from app.systems.rear.answers import RearAnswers, RearSweep, stood
from app.systems.rear.system import REAR
from app.words.errors import geometry_words
from geometry.errors import GeometryError, ShackleOutOfReach
from geometry.leaf.reach import travel_limits
from tests.helpers import rear_cars, rear_setups
from tests.helpers.long_cases import typical_of

BY_NAME = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
SAMPLES = list(BY_NAME.values())
LEAVES = (rear_setups.leaf_car(), rear_cars.leaf_setup(rear_cars.BARS))
LINKS = (rear_setups.link_car(), rear_cars.link_setup())
TRAVELS = (0.0, 40.0, -60.0, 200.0, -300.0, 1e4, -1e7, 1e150)
ROLLS = (0.0, 0.1, -0.1, 0.5, 1.5, -3.0, 1e5)
STEERS = (0.0, 30.0, -300.0, 1e5)
ABSURD = (1e6, -1e6, 1e9, 1e150, -1e150, 1e300, 1e308, 1e-9, 1e-150, 1e-300, 0.0)

RAMPED = {"leaves": LEAVES[0], "bars": LEAVES[1], "links": LINKS[0], "others": LINKS[1]}
RAMPS = (
    ("leaves", 1e-3, -1.0),
    ("bars", 0.0, -1.0),
    ("links", 3e-3, 1.0),
)

WHERE = ("wheelbase_change", "pinion_turn", "axle_steer", "axle_shift", "roll_centre_height")


def _absurd(value: float, chance: random.Random) -> float:
    kind = chance.randrange(4)
    if kind == 0:
        return value * 10.0 ** chance.uniform(-3.0, 3.0)
    if kind == 1:
        return chance.choice(ABSURD)
    return value + chance.uniform(-200.0, 200.0) if kind == 2 else value * chance.uniform(-2.0, 2.0)


def _spoilt(setup: Setup, end: str, chance: random.Random) -> Setup:
    """The setup with one or two numbers of an end, or of the car, out of all proportion."""
    evidence = dict(setup.evidence)
    keys = [
        key
        for key, value in evidence.items()
        if key.startswith((f"{end}.", "car.")) and isinstance(value, float | tuple)
    ]
    for key in chance.sample(keys, chance.choice((1, 1, 2))):
        value = evidence[key]
        if isinstance(value, float):
            evidence[key] = _absurd(value, chance)
        elif isinstance(value, tuple):
            parts = list(value)
            at = chance.randrange(len(parts))
            parts[at] = _spoilt_part(parts[at], chance)  # type: ignore[call-overload]
            evidence[key] = tuple(parts)  # type: ignore[arg-type]
    return setup.having(evidence=FrozenMap(evidence))


def _spoilt_part(part: object, chance: random.Random) -> object:
    if isinstance(part, Leaf):
        name = chance.choice(("thickness", "front", "rear"))
        return replace(part, **{name: _absurd(getattr(part, name), chance)})
    assert isinstance(part, float)
    return _absurd(part, chance)


def _said(error: GeometryError) -> None:
    """An error's words are numbers that mean something."""
    for told in (str(error), geometry_words(error, "mm"), geometry_words(error, "in")):
        assert "nan" not in told
        assert "inf" not in told


def _poses(chance: random.Random, count: int) -> Iterator[Pose]:
    for _ in range(count):
        yield Pose(chance.choice(TRAVELS), chance.choice(ROLLS), chance.choice(STEERS))


def _ask_rear(setup: Setup, chance: random.Random) -> None:
    answers = REAR.study(setup)
    for car in (answers.measured, answers.proposed):
        assert car.settled is None or car.settled.reached.shape == (1,)
        car.sweep_at(chance.choice(("travel", "roll")), [chance.choice(TRAVELS), 0.1, 50.0])
        for pose in _poses(chance, 3):
            try:
                car.tried_pose(pose)
                car.tried_pose(Pose(pose.travel))
            except GeometryError as error:
                _said(error)


@pytest.mark.parametrize("seed", typical_of(range(8), (0,)))
def test_a_rear_with_absurd_numbers_answers_or_says_what_is_wrong(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(12):
        setup = _spoilt(chance.choice((*SAMPLES, *LEAVES, *LINKS)), "rear", chance)
        try:
            _ask_rear(setup, chance)
        except GeometryError as error:
            _said(error)


@pytest.mark.parametrize("seed", typical_of(range(8), (0,)))
def test_a_front_with_absurd_numbers_answers_or_says_what_is_wrong(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(6):
        try:
            car = FRONT.study(_spoilt(chance.choice(SAMPLES), "front", chance)).unsettled
        except GeometryError as error:
            _said(error)
            continue
        assert car.settled is None or car.settled.reached.shape == (1,)
        sweep_at(car.front, "travel", [chance.choice(TRAVELS)], chance.choice(STEERS))


@pytest.mark.parametrize("name", typical_of(BY_NAME, ("inch_sedan",)))
def test_a_front_beyond_its_reach_says_that_it_isn_t_reached_and_never_raises(name: str) -> None:
    car = FRONT.solve(BY_NAME[name])
    beyond = [Pose(400.0, 0.0), Pose(60.0, 0.6), Pose(0.0, 1.5, 60.0), Pose(-1e5, 0.1, 1e5)]
    for pose in (*beyond, *_poses(random.Random(1), 6)):
        swept = at_pose(car.front, pose)
        assert swept.reached.shape == (1,)
        assert pose not in beyond or not swept.reached[0]


@pytest.mark.parametrize("end", [0, 1])
@pytest.mark.parametrize("roll", [0.1, -0.15, 1.2])
def test_a_roll_on_top_of_a_travel_names_the_spring_that_stops(end: int, roll: float) -> None:
    car = REAR.study(rear_cars.leaf_setup()).measured
    assert car.leaf is not None
    limit = travel_limits(car.leaf.loop, car.leaf.reference.datum[1])[end]
    travel = limit - np.copysign(20.0, limit)  # which the axle still reaches with a level body
    assert car.tried_pose(Pose(travel=travel)).reached[0]
    with pytest.raises(ShackleOutOfReach, match="limit=") as raised:
        car.tried_pose(Pose(travel=travel, roll=roll))
    error = raised.value
    # The seats part by the spring base times the roll's sine, each by half of it.
    apart = 0.5 * car.leaf.spring_base * np.sin(abs(roll))
    assert abs(error.travel - travel) == pytest.approx(apart)
    assert abs(error.travel) > abs(error.limit)
    assert error.shackle == pytest.approx(car.leaf.loop.shackle)
    assert abs(error.needed - error.shackle) > 1e-3


def _reached(car: RearAnswers, pose: Pose) -> tuple[float, ...] | None:
    """Where the axle is, None out of reach."""
    try:
        return _places(car.tried_pose(pose))[0]
    except ShackleOutOfReach:
        return None


def _places(swept: RearSweep) -> list[tuple[float, ...] | None]:
    """Where the axle is in each pose, None out of reach."""
    rows = zip(*(swept.values[key].tolist() for key in WHERE), strict=True)
    return [row if there else None for row, there in zip(rows, swept.reached, strict=True)]


def _way_out(car: RearAnswers, poses: list[Pose]) -> Iterator[tuple[float, ...] | None]:
    """Where the axle is in one pose after another, in one run where roll is no run of its own."""
    if car.leaf is not None and poses[-1].roll:
        yield from (_reached(car, pose) for pose in poses)
    else:
        travel, roll = (
            np.array(part) for part in zip(*((p.travel, p.roll) for p in poses), strict=True)
        )
        swept = car.solve_poses("pose", travel + car.stand.travel, roll)
        yield from _places(stood(swept, car.car, car.stand))


@pytest.mark.parametrize(
    ("name", "slope", "way"),
    typical_of(product(RAMPED, (0.0, 1e-3, -1e-3, 3e-3), (1.0, -1.0)), RAMPS),
)
def test_on_the_way_to_its_end_an_axle_takes_no_leap(name: str, slope: float, way: float) -> None:
    """Out along a line of travel and roll in even steps: one run that ends, each step as the last.

    The change from step to step may grow towards the end, where the shackle runs away, but no step
    leaves what the two before it point to by more than a few times what those did.
    """
    car = REAR.study(RAMPED[name]).measured
    poses = [Pose(way * travel, way * slope * travel) for travel in np.arange(0.0, 400.0, 2.0)]
    places = list(takewhile(lambda place: place is not None, _way_out(car, poses)))
    assert len(places) > 10
    # The last two steps may be on the edge itself.
    bends = np.abs(np.diff(np.array(places)[:-2], n=2, axis=0))
    usual = np.maximum.accumulate(bends, axis=0)[:-1] + 1e-4
    assert (bends[1:] < 5.0 * usual).all()
    beyond = [_reached(car, Pose(way * t, way * slope * t)) for t in (600.0, 900.0)]
    assert len(places) == 200 or beyond == [None, None]

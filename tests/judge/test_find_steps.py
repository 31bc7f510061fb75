"""Searches in steps that a shop can make, with packs that exist, and their prices."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import radians

import numpy as np
import pytest

from app.document.model import Setup
from app.document.plans import Adjuster, Room, Want
from app.judge.find import find
from app.judge.freedoms import FindError, freedoms_of, with_moves
from app.systems.front.system import FRONT
from tests.helpers.long_cases import typical_of
from tests.helpers.sought import (
    CAMBER_GAIN,
    PIVOTS,
    UPPER_FRONT,
    UPPER_REAR,
    found_value,
    saloon,
    unlike,
)

pytestmark = pytest.mark.gui


def test_nought_of_a_kind_without_a_usual_nearness_is_met_within_its_last_place() -> None:
    want = Want("rear.roll_steer", 0.0, kind="angle per angle")
    room = {"rear.rear_eye": Room(z=(-60.0, 60.0)), "rear.front_eye": Room(z=(-60.0, 60.0))}
    search = find(saloon(wants=(want,), rooms=room))
    assert search is not None
    assert search.answer.wants[0].within == pytest.approx(0.001)
    assert search.answer.is_met


@pytest.mark.parametrize("step", typical_of((None, 4.0), (None,)))
def test_others_miss_no_more_than_the_answer(step: float | None) -> None:
    """A swing of 40° can't be had: lower pivots come nearer to it by bump, higher ones by rebound.

    Both are ends of the room from which no small step helps, but only one is the nearest.
    """
    swing = Want("front.upper_ball_swing", at_least=radians(40.0), kind="angle")
    rooms = {key: replace(room, z=(-16.0, 12.0)) for key, room in PIVOTS.items()}
    search = find(saloon(wants=(swing,), rooms=rooms), step)
    assert search is not None
    assert not search.answer.is_met
    told = [search.answer, *search.others]
    assert len({answer.moves for answer in told}) == len(told)
    most = [answer.wants[0].reached for answer in told]
    assert search.answer.moves == (12.0,)
    assert min(most) > radians(26.0)  # -16 mm: less than 23


def test_what_has_no_steps_is_sought_anew_for_what_has() -> None:
    """Springs come in few rates: for the one taken, the free length meets the height exactly."""
    rate = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    height = Want("front.settled_travel", 0.0, kind="length", within=0.1)
    rooms = {
        "front.spring.rate": Room(steps=(55.0, 75.0, 95.0)),
        "front.spring.free_length": Room(span=(270.0, 345.0)),
    }
    search = find(saloon(wants=(rate, height), rooms=rooms))
    assert search is not None
    assert search.answer.is_met
    assert found_value(search.answer.setup, "front.settled_travel") == pytest.approx(0.0, abs=0.02)


def test_a_step_is_of_lengths_only() -> None:
    """A wedge is an angle: no step of half a millimetre is one of half a radian."""
    setup = saloon(wants=(Want("rear.pinion_angle", radians(3.0), kind="angle"),))
    rooms = {"rear.wedge": Room(span=(radians(-4.0), radians(4.0)))}
    setup = setup.having(rooms=rooms, evidence={**setup.readings, "rear.wedge": 0.0})
    with_step, without = find(setup, 0.5), find(setup)
    assert with_step is not None
    assert without is not None
    assert with_step.answer.moves == pytest.approx(without.answer.moves, abs=1e-6)
    assert with_step.answer.moves[0] != 0.0


@pytest.mark.parametrize("have", [(), (4.0, 2.0)])
def test_an_adjuster_gives_the_packs_that_its_shims_make(have: tuple[float, ...]) -> None:
    """The best of all packs, by whole cars: twos and fives up to 9 mm, 6 mm apart at most."""
    wants = (Want("front.camber", radians(-0.4), kind="angle"),)
    adjuster = Adjuster(
        at=(UPPER_FRONT, UPPER_REAR), inboard=True, fitted=(4.0, 9.0), sizes=(2.0, 5.0)
    )
    adjuster = replace(adjuster, most=9.0, apart=6.0, have=have)
    setup = saloon(wants=wants, rooms={"front.upper_shims": Room(by_adjuster=True)})
    setup = setup.having(adjusters={"front.upper_shims": adjuster})
    search = find(setup)
    assert search is not None
    # 4 and 9 mm come out on both wheels: eight twos and two fives
    counts = [range(int(n) + out + 1) for n, out in zip(have, (8, 2), strict=False)]
    counts = counts or [range(8), range(4)]
    made = {2.0 * twos + 5.0 * fives for twos, fives in product(*counts)}
    packs = [4.0 + search.answer.moves[0], 9.0 + search.answer.moves[1]]
    assert all(min(abs(pack - each) for each in made) < 1e-6 for pack in packs)
    assert max(packs) <= 9.0
    assert abs(packs[0] - packs[1]) <= 6.0
    if not have:
        cars = [
            with_moves(setup, freedoms_of(setup), [front - 4.0, rear - 9.0])
            for front, rear in product(made, repeat=2)
            if max(front, rear) <= 9.0 and abs(front - rear) <= 6.0
        ]
        best = min(abs(found_value(car, "front.camber") - radians(-0.4)) for car in cars)
        reached = search.answer.wants[0].reached
        assert abs(reached - radians(-0.4)) <= max(best, radians(0.02)) + 1e-9


def test_a_price_is_told_once_and_by_the_unit_of_what_is_bound() -> None:
    """A degree more of wedge, and not a radian, brings what a search with a degree more brings."""

    def with_wedge(most: float) -> Setup:
        want = Want("rear.pinion_angle", radians(8.0), kind="angle")
        rooms = {"rear.wedge": Room(span=(radians(-most), radians(most)))}
        setup = saloon(wants=(want,), rooms=rooms)
        return setup.having(evidence={**setup.readings, "rear.wedge": 0.0})

    search, wider = find(with_wedge(2.0)), find(with_wedge(3.0))
    assert search is not None
    assert wider is not None
    (price,) = search.answer.prices
    brought = wider.answer.wants[0].reached - search.answer.wants[0].reached
    assert price.per_mm == pytest.approx(brought, rel=0.05)
    narrow = {key: replace(room, z=(-6.0, 6.0)) for key, room in PIVOTS.items()}
    both = find(unlike(wants=(CAMBER_GAIN,), rooms=narrow))
    assert both is not None
    assert len(both.answer.prices) == 1


def test_a_room_in_which_no_car_can_be_built_is_said() -> None:
    rooms = {"front.upper_ball": Room(z=(-900.0, -800.0))}
    with pytest.raises(FindError, match="no car can be built inside the room"):
        find(saloon(wants=(CAMBER_GAIN,), rooms=rooms))
    links = {"rear.lower_body": Room(z=(-5.0, 5.0))}
    with pytest.raises(FindError, match="may move, but this car has no such point"):
        find(saloon(wants=(CAMBER_GAIN,), rooms=links))


def test_cars_that_are_settled_one_by_one_settle_where_a_single_one_does() -> None:
    """A ball joint that is far out: no few steps lead to where its springs carry the load."""
    setup = saloon(rooms={"front.upper_ball": Room(y=(800.0, 900.0))})
    cars = [with_moves(setup, freedoms_of(setup), [move]) for move in (820.0, 850.0)]
    many = FRONT.solve_many(cars, ("settled_travel",)).values["settled_travel"]
    each = [FRONT.solve(car).single.get("settled_travel", np.nan) for car in cars]
    assert many == pytest.approx(each, abs=1e-3, nan_ok=True)

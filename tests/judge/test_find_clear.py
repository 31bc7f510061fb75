"""Clearances as walls of a search, and limits that shape an answer, against searches by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scipy.optimize import brentq

from app.document.model import FrozenMap, Limit, Setup
from app.document.plans import Room
from app.judge.find import find
from app.judge.found_words import price_words, stop_words
from app.judge.freedoms import freedoms_of, with_moves
from app.systems.clearance.clearances import clearances
from app.systems.front.system import FRONT
from tests.helpers.long_cases import LONG
from tests.helpers.sheets import sample
from tests.helpers.sought import CAMBER_GAIN, GAIN, UPPER_FRONT, UPPER_REAR, found_value, saloon

LEAST = 45.0  # between tyre and coil [mm]
TYRE_TO_COIL = "front.clearance tyre coil"


def with_coil() -> Setup:
    """Return a saloon that keeps a clearance, which the arms' pivots take away as they go down."""
    setup = sample("taped_saloon")
    spaces = tuple(replace(c, at_least=LEAST) for c in setup.clearances if "coil" in c.between)
    rooms = {UPPER_FRONT: Room(z=(-60.0, 20.0)), UPPER_REAR: Room(alike=UPPER_FRONT)}
    want = replace(CAMBER_GAIN, value=-0.6 * GAIN)
    bare = setup.having(changes=(), limits=FrozenMap({}), clearances=spaces, wants=(want,))
    return bare.having(rooms=FrozenMap(rooms))


def left_between(setup: Setup) -> float:
    (check,) = clearances(FRONT.study(setup))
    assert check.built is not None
    return check.built.gap


@pytest.mark.slow
def test_a_clearance_that_the_car_keeps_is_a_wall() -> None:
    """The move at which 45 mm are left, by scipy.optimize.brentq on whole cars."""
    setup = with_coil()
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert LEAST <= left_between(answer.setup) < LEAST + 0.05
    assert not answer.broken_clearances
    assert not answer.is_met
    assert answer.at_limit == (TYRE_TO_COIL,)
    freedoms = freedoms_of(setup)
    root = brentq(
        lambda z: left_between(with_moves(setup, freedoms, [z])) - LEAST, -15.0, 0.0, xtol=1e-2
    )
    assert answer.moves == pytest.approx([root], abs=0.1)  # 0.01 mm of it to spare
    (price,) = answer.prices
    nearer = brentq(
        lambda z: left_between(with_moves(setup, freedoms, [z])) - 44.0, -20.0, root, xtol=1e-2
    )
    gains = [
        found_value(with_moves(setup, freedoms, [z]), "front.camber_gain") for z in (root, nearer)
    ]
    assert price.per_mm == pytest.approx(gains[1] - gains[0], rel=0.05)
    assert [*stop_words(answer, "mm")] == ["Tyre to coil is at its limit of 45.0 mm."]
    (words,) = price_words(answer, "mm")
    assert words.startswith("A limit of tyre to coil 1 mm lower would bring Camber gain −0.1")


@LONG
@pytest.mark.slow
def test_steps_keep_a_clearance_too() -> None:
    search = find(with_coil(), 2.0)
    assert search is not None
    assert search.answer.moves == (-8.0,)
    assert left_between(search.answer.setup) >= LEAST


def test_an_answer_that_a_limit_shapes_names_it_with_what_would_do_without() -> None:
    setup = saloon(
        wants=(replace(CAMBER_GAIN, value=-0.3 * GAIN),),
        rooms={UPPER_FRONT: Room(z=(-40.0, 10.0)), "front.upper_ball": Room(z=(-20.0, 20.0))},
    )
    free = find(setup)
    assert free is not None
    most = found_value(setup, "front.roll_centre_height") + 6.0
    assert found_value(free.answer.setup, "front.roll_centre_height") > most
    limits = {"front.roll_centre_height": Limit(maximum=most, kind="length")}
    search = find(setup.having(limits=FrozenMap(limits)))
    assert search is not None
    answer = search.answer
    assert answer.is_met
    assert answer.at_limit == ("front.roll_centre_height",)
    assert answer.held_back[0].size == pytest.approx(free.answer.size, rel=0.01)
    share = round(100.0 * (free.answer.size / answer.size) ** 0.5)
    (words,) = stop_words(answer, "mm")
    assert words.startswith("Kept back by roll centre height, at its limit of ")
    assert words.endswith(f": without it {share} % of the move would do.")


def test_a_limit_that_shapes_nothing_is_not_named() -> None:
    """The least move ends below a limit that a longer one would pass."""
    setup = saloon(wants=(CAMBER_GAIN,), rooms={UPPER_FRONT: Room(z=(-60.0, 10.0))})
    limits = {"front.roll_centre_height": Limit(maximum=500.0, kind="length")}
    search = find(setup.having(limits=FrozenMap(limits)))
    assert search is not None
    assert search.answer.is_met
    assert not search.answer.held_back

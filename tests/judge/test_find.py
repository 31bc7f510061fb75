"""Searches against a general optimiser with many starts, known roots, linear algebra, grids."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy.optimize import minimize

from app.document.model import Limit
from app.document.plans import Room, Want
from app.judge.find import find
from app.judge.freedoms import FindError, freedoms_of, with_moves
from app.systems.every import given_systems
from app.systems.front.system import FRONT
from tests.helpers.entering import sample
from tests.helpers.long_cases import examples
from tests.helpers.sought import (
    BUMP_STEER,
    CAMBER_GAIN,
    GAIN,
    PIVOTS,
    TIE_ROD,
    UPPER_FRONT,
    UPPER_REAR,
    found_value,
    saloon,
)

pytestmark = pytest.mark.gui


def test_a_broken_limit_of_an_end_where_nothing_moves_is_told_but_spoils_no_answer() -> None:
    past = {"rear.roll_centre_height": Limit(None, 1.0, "length")}
    setup = saloon(rooms=TIE_ROD, wants=(BUMP_STEER,)).having(limits=past)
    answer = find(setup).answer
    assert [check.result.key for check in answer.broken] == ["roll_centre_height"]
    assert answer.is_met
    own = {"front.roll_centre_height": Limit(None, 1.0, "length")}  # of the end that moves
    assert not find(setup.having(limits=own)).answer.is_met


def test_what_was_found_put_back_gives_what_was_wanted() -> None:
    setup = saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms={**PIVOTS, **TIE_ROD})
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert answer.is_met
    assert search.batches <= 60
    for want in answer.wants:
        assert want.reached == pytest.approx(found_value(answer.setup, want.want.result), rel=1e-9)
        assert want.reached == pytest.approx(want.want.value, abs=2e-3 * want.want.within)
    moves = answer.setup.changes[-1].moves
    assert moves[UPPER_FRONT] == moves[UPPER_REAR]  # alike
    assert set(moves) == {UPPER_FRONT, UPPER_REAR, "front.tie_outer"}


def test_the_least_move_agrees_with_a_general_optimiser_with_many_starts() -> None:
    """scipy.optimize.minimize (SLSQP on the cars themselves) from several starts as judge."""
    rooms = {**PIVOTS, **TIE_ROD, "front.lower_rear": Room(z=(-8.0, 16.0))}
    setup = saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms=rooms)
    search = find(setup)
    assert search is not None
    freedoms = freedoms_of(setup)
    widths = np.array([f.width for f in freedoms])
    costs = np.array([1.0 + len(f.followers) for f in freedoms])

    def missed(shares: np.ndarray) -> np.ndarray:
        values = FRONT.study(with_moves(setup, freedoms, shares * widths)).proposed.rest.values
        return np.array(
            [
                (values["camber_gain"][0, 0] + 0.5 * GAIN) / (0.01 * GAIN),
                values["bump_steer"][0, 0] / (0.005 * GAIN),
            ]
        )

    random = np.random.default_rng(5)
    best = np.inf
    for _ in range(examples(3, 6)):
        start = random.uniform(-0.3, 0.3, len(freedoms))
        judge = minimize(
            lambda x: float((costs * x**2).sum()),
            start,
            method="SLSQP",
            bounds=[(f.low / f.width, f.high / f.width) for f in freedoms],
            constraints=[{"type": "eq", "fun": missed}],
            options={"maxiter": 60},
        )
        if judge.success:
            best = min(best, float(judge.fun))
    assert search.answer.size == pytest.approx(best, rel=5e-3)


def test_a_small_move_is_the_least_norm_of_linear_algebra() -> None:
    """One want a little off: by hand dx = W J' (J W J')^-1 b from differences of whole cars."""
    rooms = {**PIVOTS, **TIE_ROD, "front.lower_rear": Room(z=(-8.0, 16.0))}
    bare = saloon(rooms=rooms)
    now = found_value(bare, "front.camber_gain")
    want = Want("front.camber_gain", now - 0.01 * GAIN, within=0.001 * GAIN)
    search = find(bare.having(wants=(replace(want, kind="angle per length"),)))
    assert search is not None
    freedoms = freedoms_of(bare)
    slopes = np.array(
        [
            (
                found_value(with_moves(bare, freedoms, row), "front.camber_gain")
                - found_value(with_moves(bare, freedoms, -row), "front.camber_gain")
            )
            / 0.2
            for row in np.eye(len(freedoms)) * 0.1
        ]
    )
    inverse = np.array([f.width**2 / (1 + len(f.followers)) for f in freedoms])
    least = inverse * slopes * (-0.01 * GAIN) / (slopes**2 * inverse).sum()
    assert np.array(search.answer.moves) == pytest.approx(least, rel=0.02, abs=2e-3)


def test_a_known_root_by_hand() -> None:
    """A block under the axle lowers the car by its own height: 25 of 25 mm."""
    want = Want("rear.settled_travel", 25.0, kind="length")
    setup = saloon(wants=(want,), rooms={"rear.block": Room(span=(0.0, 40.0))})
    setup = setup.having(evidence={**setup.readings, "rear.block": 0.0})
    search = find(setup)
    assert search is not None
    assert search.answer.setup.changes[-1].sets["rear.block"] == pytest.approx(25.0, abs=0.05)


def test_where_not_all_can_be_had_the_bound_its_price_and_the_want_are_told() -> None:
    """Room for 6 mm only; the price is what 1 mm more of room then brings, sought anew."""
    narrow = {key: replace(room, z=(-6.0, 6.0)) for key, room in PIVOTS.items()}
    setup = saloon(wants=(CAMBER_GAIN,), rooms=narrow)
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert not answer.is_met
    assert answer.at_bound == (f"{UPPER_FRONT}.z min",)
    (price,) = answer.prices
    wider = find(
        saloon(
            wants=(CAMBER_GAIN,),
            rooms={key: replace(room, z=(-7.0, 6.0)) for key, room in PIVOTS.items()},
        )
    )
    assert wider is not None
    brought = wider.answer.wants[0].reached - answer.wants[0].reached
    assert price.per_mm == pytest.approx(brought, rel=0.05)
    assert price.want == "front.camber_gain"


def test_a_limit_is_a_wall_and_one_that_is_broken_becomes_a_want() -> None:
    height = found_value(saloon(), "front.roll_centre_height")
    rooms, want = PIVOTS, CAMBER_GAIN
    wall = {"front.roll_centre_height": Limit(maximum=height + 5.0, kind="length")}
    search = find(saloon(wants=(want,), rooms=rooms).having(limits=wall))
    assert search is not None
    answer = search.answer
    assert not answer.broken
    assert not answer.is_met
    assert answer.at_limit == ("front.roll_centre_height",)
    at = found_value(answer.setup, "front.roll_centre_height")
    assert at == pytest.approx(height + 5.0, abs=0.05)
    broken = {"front.roll_centre_height": Limit(minimum=height + 5.0, kind="length")}
    mended = find(saloon(wants=(), rooms=rooms).having(limits=broken))
    assert mended is not None
    assert found_value(mended.answer.setup, "front.roll_centre_height") >= height + 4.99


def test_steps_are_the_best_of_their_neighbours_by_a_grid() -> None:
    """All moves in steps of 2 mm about the answer, each a whole car."""
    wants = (replace(CAMBER_GAIN, within=0.05 * GAIN), replace(BUMP_STEER, within=0.02 * GAIN))
    setup = saloon(wants=wants, rooms={**PIVOTS, **TIE_ROD})
    search, free = find(setup, 2.0), find(setup)
    assert search is not None
    assert free is not None
    moves = np.array(search.answer.moves)
    assert np.abs(moves / 2.0 - np.round(moves / 2.0)).max() < 1e-9
    assert search.answer.is_met
    freedoms = freedoms_of(setup)
    start = np.round(np.array(free.answer.moves) / 2.0) * 2.0
    best = np.inf
    for shift in product((-4.0, -2.0, 0.0, 2.0, 4.0), repeat=2):
        row = start + np.array(shift)
        car = with_moves(setup, freedoms, row.tolist())
        met = all(abs(found_value(car, w.result) - w.value) <= w.within for w in wants)
        size = sum(f.weight * m**2 for f, m in zip(freedoms, row, strict=True))
        best = min(best, size if met else np.inf)
    assert search.answer.size == pytest.approx(best, rel=1e-6)


def test_wants_that_ask_for_the_same_are_told() -> None:
    ride = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    same = Want("front.ride_frequency", at_least=1.2, kind="frequency")
    search = find(saloon(wants=(ride, same), rooms={"front.spring.rate": Room(span=(60.0, 90.0))}))
    assert search is not None
    assert search.same == (("front.wheel_rate", "front.ride_frequency"),)


def test_values_that_exist_in_steps_take_one_of_these() -> None:
    ride = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    rooms = {"front.spring.rate": Room(steps=(55.0, 65.0, 75.0, 85.0))}
    search = find(saloon(wants=(ride,), rooms=rooms))
    assert search is not None
    assert search.answer.setup.changes[-1].sets["front.spring.rate"] in (65.0, 75.0, 85.0)
    assert search.answer.is_met


def test_a_search_can_be_stopped() -> None:
    asked = []

    def going() -> bool:
        asked.append(1)
        return len(asked) < 3

    assert find(saloon(wants=(CAMBER_GAIN,), rooms=PIVOTS), going=going) is None


@pytest.mark.parametrize(
    ("rooms", "wants", "words"),
    [
        ({}, (CAMBER_GAIN,), "nothing may move"),
        (PIVOTS, (Want("front.damper_bump_travel", 1.0),), "isn't known of this car"),
        (
            {**PIVOTS, UPPER_REAR: Room(z=(20.0, 30.0), alike=UPPER_FRONT)},
            (CAMBER_GAIN,),
            "no room in common",
        ),
        ({UPPER_REAR: Room(alike=UPPER_FRONT)}, (CAMBER_GAIN,), "which has no room"),
    ],
)
def test_what_cannot_be_sought_is_said(
    rooms: dict[str, Room], wants: tuple[Want, ...], words: str
) -> None:
    with pytest.raises(FindError, match=words):
        find(saloon(rooms=rooms, wants=wants))


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("small_saloon", marks=pytest.mark.long),
        pytest.param("torsion_coupe", marks=pytest.mark.long),
        "hillclimb_special",
        "inch_sedan",
    ],
)
def test_every_sample_is_searched_over_both_ends_without_an_error(name: str) -> None:
    setup = sample(name)
    ends = [system.key for system in given_systems(setup)]
    rooms = {UPPER_FRONT: Room(z=(-20.0, 20.0)), UPPER_REAR: Room(alike=UPPER_FRONT)}
    wants = [Want("front.roll_centre_height", at_least=60.0, kind="length")]
    if "rear" in ends:
        wants.append(Want("rear.roll_centre_height", keep=True, kind="length"))
    assert find(setup.having(rooms=rooms, wants=tuple(wants))) is not None

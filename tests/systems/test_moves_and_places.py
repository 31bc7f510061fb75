"""What changes come to, asked of the document and of a study: the same places, on both sides.

Before kept parts pull anything along, a point is where it was measured plus its moves. So holes in
the body are there in the study, too, whatever a change is; points of parts are where parts are made
to fit. Two things find places of their own: a leaf axle, which hangs on its springs, and the tie
rods' inner ends on a relay whose pivots move.
"""

from __future__ import annotations

from itertools import product
from random import Random
from typing import Any

import pytest

from app.document.address import SIDES, is_right, keyed, left_of
from app.document.files import read_setup
from app.document.keys import ALL_KEYS, KEYS
from app.document.model import Change, FrozenMap, Parts, Setup, Vec
from app.document.moves import (
    is_there,
    measured_place,
    proposed_place,
    proposed_points,
    proposed_values,
    summed_moves,
)
from app.document.samples import sample_paths
from app.systems.answers import Study
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.long_cases import typical_of

EXACT = 1e-8  # the study closes its linkages to less [mm]
KINDS: tuple[Parts, Parts] = ("kept", "made to fit")
SAMPLES = {path.stem: path for path in sample_paths()}
KEPT = (  # both ends with both kinds of parts; leaves and links, rack and relay
    ("hillclimb_special", "front", "kept"),
    ("inch_sedan", "front", "kept"),
    ("torsion_coupe", "front", "made to fit"),
    ("small_saloon", "rear", "kept"),
    ("taped_saloon", "rear", "made to fit"),
    ("hillclimb_special", "rear", "kept"),
    ("hillclimb_special", "rear", "made to fit"),
)


def places_of(study: Study[Any]) -> dict[str, Vec]:
    return study.system.places(study)


def _measured_on_the_right(setup: Setup, chance: Random) -> Setup:
    """Return the car with right-hand points of its own, a little beside the left ones' mirrors."""
    evidence = dict(setup.evidence)
    for key in _points(setup):
        if is_right(key):
            evidence[key] = _beside(measured_place(setup, key), chance, 2.0)
    return setup.having(evidence=FrozenMap(evidence))


def _points(setup: Setup, end: str = "") -> list[str]:
    points = (key.name for key in ALL_KEYS if key.kind == "point" and key.name.startswith(end))
    return [key for key in points if is_there(setup, key)]


def _beside(place: Vec, chance: Random, most: float = 3.0) -> Vec:
    x, y, z = (part + chance.uniform(-most, most) for part in place)
    return x, y, z


def _random_change(setup: Setup, end: str, parts: Parts, chance: Random) -> Change:
    moved = chance.sample(_points(setup, end), chance.randint(1, 4))
    put = [key for key in chance.sample(_points(setup, end), 1) if key not in moved]
    return Change(
        f"change {chance.random()}",
        on=chance.random() < 0.9,
        parts=parts,
        moves={key: _beside((0.0, 0.0, 0.0), chance) for key in moved},
        sets={key: _beside(measured_place(setup, key), chance) for key in put},
    )


def _is_solved_for(setup: Setup, key: str) -> bool:
    """Tell whether a study finds a point's place: on kept parts of moved holes, or on springs."""
    holes_moved = bool(summed_moves(setup).holes)
    if KEYS[left_of(key)].on_part:
        leaves = key.startswith("rear.") and setup.evidence["rear.kind"] == "leaf axle"
        return holes_moved or leaves
    relay = setup.evidence.get("front.steering.kind") == "relay"
    return holes_moved and relay and left_of(key) == "front.tie_inner"


@pytest.mark.parametrize(
    ("name", "end", "parts"), typical_of(product(SAMPLES, ("front", "rear"), KINDS), KEPT)
)
def test_a_study_has_points_where_the_changes_put_them(name: str, end: str, parts: Parts) -> None:
    sample, chance = read_setup(SAMPLES[name]).setup, Random(f"{name} {end} {parts}")
    if f"{end}.kind" not in sample.evidence:
        pytest.skip("no such end")
    for attempt in range(4):
        car = _measured_on_the_right(sample, chance) if attempt % 2 else sample
        count = chance.randint(1, 3)
        changes = tuple(_random_change(car, end, parts, chance) for _ in range(count))
        setup = car.having(changes=changes)
        solved = places_of(FRONT.study(setup, short=True) if end == "front" else REAR.study(setup))
        by_key: dict[str, Vec] = {}
        for side in SIDES:
            by_key |= keyed(end, side, proposed_points(setup, end, side).bolted)
        values = proposed_values(setup)
        for key, place in solved.items():
            assert proposed_place(setup, key) == pytest.approx(by_key[key], abs=EXACT)
            if key in values:
                assert values[key] == pytest.approx(by_key[key], abs=EXACT)
            if not _is_solved_for(setup, key):
                assert place == pytest.approx(by_key[key], abs=EXACT), key


def test_a_left_hand_move_takes_a_measured_right_hand_point_along() -> None:
    path = next(path for path in sample_paths() if path.stem == "hillclimb_special")
    sample = read_setup(path).setup
    right = "front.right.upper_front"
    x, y, z = sample.evidence[right]  # type: ignore[misc]
    setup = sample.having(changes=(Change("a", moves={"front.upper_front": (0.0, 4.0, -20.0)}),))
    expected = (x, y - 4.0, z - 20.0)
    assert proposed_values(setup)[right] == pytest.approx(expected)
    assert places_of(FRONT.study(setup, short=True))[right] == pytest.approx(expected)


def test_a_strut_rods_joint_stands_where_it_was_measured_on_either_side() -> None:
    paths = [path for path in sample_paths() if "strut_joint" in path.read_text("utf-8")]
    assert paths
    for path in paths:
        car = _measured_on_the_right(read_setup(path).setup, Random(1)).having(changes=())
        places = places_of(FRONT.study(car, short=True))
        for key in ("front.strut_joint", "front.right.strut_joint"):
            assert places[key] == pytest.approx(car.evidence[key], abs=EXACT)

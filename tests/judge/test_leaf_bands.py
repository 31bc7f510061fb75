"""Bands from how well leaves are measured: by the cube of thickness, and study by study."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.leaf_parts import LEAVES, LeafPart, leaves_in, with_leaf_number
from app.document.model import FrozenMap, Leaf, Setup, frozen
from app.judge.again import measure_again
from app.judge.bands import Bands, bands_of
from app.judge.cars import Asked
from app.judge.kept import Chances
from app.systems.answers import value_at_rest
from app.systems.rear.system import REAR
from app.words.readings import reading_title
from geometry.catalogue.result import by_key
from tests.helpers.project import SAMPLE_FOLDER

REST = Asked("travel", np.zeros(1))
KEYS = ("pack_rate", "wheel_rate", "settled_travel", "stress_bump")
CALIPER = 0.1  # mm
SALOON = read_setup(SAMPLE_FOLDER / "small_saloon.toml").setup


def of_pack(leaves: tuple[Leaf, ...], within: dict[str, float], out: int | None = None) -> Setup:
    """The saloon with these leaves, of which `out` is taken out; nothing else is uncertain."""
    setup = SALOON
    change = next(each for each in setup.changes if LEAVES in each.sets)
    others = tuple(leaf for place, leaf in enumerate(leaves) if place != out)
    change = replace(change, on=True, sets=frozen(change.sets).having(LEAVES, others))
    evidence = frozen(setup.evidence).without("sheet.measured_within").having(LEAVES, leaves)
    changes = () if out is None else (change,)
    return setup.having(evidence=evidence, within=FrozenMap(within), changes=changes)


def bands(setup: Setup) -> Bands:
    told = bands_of(REAR.study(setup), REST, KEYS, samples=0)
    assert told is not None
    return told


def thick(*places: int) -> dict[str, float]:
    return {LeafPart(place, "thickness").key: CALIPER for place in places}


def relative(told: Bands, key: str) -> float:
    return float(told.found[key].within) / float(told.found[key].value)


def test_a_rate_goes_with_the_cube_of_thickness() -> None:
    """u(k)/k = 3 u(t)/t for one leaf, and a root of n less for n alike, each read by itself."""
    main = leaves_in(SALOON.evidence)[0]
    one = bands(of_pack((main,), thick(0)))
    assert relative(one, "pack_rate") == pytest.approx(3.0 * CALIPER / main.thickness, rel=1e-3)
    four = bands(of_pack((main,) * 4, thick(0, 1, 2, 3)))
    expected = 3.0 * CALIPER / main.thickness / sqrt(4.0)
    assert relative(four, "pack_rate") == pytest.approx(expected, rel=1e-3)


def test_bands_and_moves_are_those_of_differences_of_whole_studies() -> None:
    leaves = leaves_in(SALOON.evidence)
    parts = [LeafPart(0, "front"), LeafPart(3, "thickness"), LeafPart(4, "thickness")]
    setup = of_pack(leaves, {part.key: CALIPER for part in parts}, out=3)
    told = bands(setup)
    step = 0.25 * CALIPER / 2.0

    def singles(part: LeafPart, off: float) -> tuple[np.ndarray, np.ndarray]:
        number = getattr(leaves[part.place], part.name) + off
        study = REAR.study(of_pack(with_leaf_number(leaves, part, number), {}, out=3))
        own = by_key(study.results)
        first, second = (
            np.array([value_at_rest(car, own[key]) for key in KEYS], float)
            for car in (study.measured, study.proposed)
        )
        return first, second

    sloping = []
    for part in parts:
        (more, more_built), (less, less_built) = singles(part, step), singles(part, -step)
        sloping.append([(more - less) / (2 * step), (more_built - less_built) / (2 * step)])
    slopes = np.array(sloping)  # readings, cars, results
    found, built = (CALIPER * np.sqrt((slopes[:, car] ** 2).sum(axis=0)) for car in (0, 1))
    moves = CALIPER * np.sqrt(((slopes[:, 1] - slopes[:, 0]) ** 2).sum(axis=0))
    for car, expected in (("found", found), ("built", built), ("moves", moves)):
        within = [np.ravel(getattr(told, car)[key].within)[0] for key in KEYS]
        assert within == pytest.approx(expected, rel=2e-3, abs=1e-9), car
    rate = KEYS.index("pack_rate")
    kept = found[rate] ** 2 - built[rate] ** 2  # leaf 5 stays: it is off in both cars
    assert moves[rate] ** 2 == pytest.approx(kept, rel=0.1)


def test_the_leaf_to_measure_again_is_told_in_words() -> None:
    setup = of_pack(leaves_in(SALOON.evidence), thick(0, 1))
    told = bands_of(REAR.study(setup), REST, samples=0)
    assert told is not None
    again = measure_again(told, Chances(told, 0))
    assert sum(one.share for one in again) == pytest.approx(1.0)
    titles = {reading_title(one.reading, setup) for one in again}
    assert titles == {"Main leaf, thickness", "Leaf 2, thickness"}


@pytest.mark.parametrize(("said", "counted"), [(1e-300, 0.0), (1e4, None)])
def test_what_nobody_could_mean_leaves_bands_that_are_numbers(
    said: float, counted: float | None
) -> None:
    """Next to exact is exact, and a leaf isn't off by more than itself: no band is lost for it."""
    main = leaves_in(SALOON.evidence)[0]
    thickness, width = LeafPart(0, "thickness").key, "rear.pack.width"
    odd = bands(of_pack((main,), {thickness: said, width: 0.5}))
    most = main.thickness if counted is None else counted
    usual = bands(of_pack((main,), {thickness: most, width: 0.5}))
    assert np.isfinite(odd.found["pack_rate"].within)
    assert odd.found["pack_rate"].within == pytest.approx(usual.found["pack_rate"].within)


def test_a_second_leaf_as_long_as_the_main_one_may_be_read_longer() -> None:
    """Past the main leaf nothing bears on it: no band is lost, found or built."""
    main = leaves_in(SALOON.evidence)[0]
    pack = (main, replace(main, thickness=main.thickness - 1.0), replace(main, front=300.0))
    told = bands(of_pack(pack, {LeafPart(place, "front").key: 2.0 for place in range(3)}, out=2))
    for car in (told.found, told.built):
        assert all(np.isfinite(car[key].within).all() for key in KEYS)
    assert (told.found["wheel_rate"].within > 0.0).all()

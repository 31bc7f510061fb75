"""No sentence, outcome or mark disagrees with the table of the car as found and as built.

Generated: every sample, each of its changes alone, each end settling, held as measured, and held
between; every figure that a sentence tells with its result is compared with the table's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

from app.document.edits import set_height
from app.document.files import read_setup
from app.document.model import AS_MEASURED, SETTLES, Change, HeightChoice, Setup
from app.document.samples import sample_paths
from app.document.units import shown
from app.judge.whole_car import all_sentences
from app.shop.results import result_rows
from app.systems.answers import CarAnswers, Study, value_at_rest
from app.systems.every import LIMIT_KINDS, given_systems
from app.systems.limits import limit_checks
from app.systems.sides import value_told, wheel_value
from app.systems.study_results import result_named
from geometry.catalogue.result import Result
from tests.helpers.long_cases import typical_of

SAMPLES = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
EVERY = [(name, change.name) for name, setup in SAMPLES.items() for change in setup.changes]
HEIGHTS = (SETTLES, AS_MEASURED, "between")
KEPT = [(*change, HEIGHTS[place % 3]) for place, change in enumerate(EVERY[::2])]
each_at_a_height = pytest.mark.parametrize(  # the suite runs half of them, at one of the heights
    ("name", "change", "choice"),
    typical_of(((*change, choice) for change in EVERY for choice in HEIGHTS), KEPT),
)
LOWER = 9.0  # mm, held between the measured height and the stops
NUMBER = r"[+−-]?\d+(?:\.\d+)?"
GOES = re.compile(rf"from ({NUMBER})[^,;]*? to ({NUMBER})")
MEANS = {"understeer": 1.0, "oversteer": -1.0}


@cache
def car_of(name: str, change: str, choice: str) -> tuple[Study, ...]:
    whole = SAMPLES[name]
    changes = (Change(**{**vars(c), "on": c.name == change}) for c in whole.changes)
    setup = whole.having(changes=tuple(changes))
    for system in given_systems(setup):
        setup = held(setup, system.key, choice)
    return tuple(system.study(setup) for system in given_systems(setup))


def held(setup: Setup, end: str, choice: str) -> Setup:
    arch = setup.evidence.get(f"{end}.arch_height")
    height: HeightChoice = choice if choice in (SETTLES, AS_MEASURED) else AS_MEASURED
    if choice == "between" and isinstance(arch, float):
        height = arch - LOWER
    return set_height(setup, end, height)


def told_figures(study: Study, car: tuple[Study, ...]) -> Iterator[tuple[str, str, str, str]]:
    """Yield result, sentence, and both figures of each "from … to …" that has its result."""
    for sentence in all_sentences(study, car):
        pair = GOES.search(sentence.text)
        if sentence.result_key and pair is not None:
            yield sentence.result_key, sentence.text, pair[1], pair[2]


def is_figure_of(study: Study, key: str, told: tuple[str, str]) -> bool:
    """Tell whether both figures are the table's of one wheel, to the digits that are told."""
    result = result_named(study, key)
    assert result is not None
    shares = (1.0, 100.0) if result.kind in ("ratio", "angle per angle") else (1.0,)
    for side in (None, 0, 1):
        known = [table_value(each, result, side) for each in study.cars.values()]
        if None in known:
            continue
        units = study.setup.units
        table = [value / shown(result.kind, units).size for value in known if value is not None]
        for share in shares:
            sizes = [abs(value * share) for value in table]
            pairs = zip(told, sizes, strict=True)
            if all(is_rounded(text, size) for text, size in pairs):
                return True
    return False


def table_value(car: CarAnswers, result: Result, side: int | None) -> float | None:
    """Return a result where a car stands; of a joint's swing the largest that it comes to."""
    if not result.key.endswith("_swing"):
        return value_at_rest(car, result) if side is None else wheel_value(car, result, side)
    sweeps = [sweep for sweep in (car.travel, car.steer) if sweep is not None]
    return max(
        float(abs(each.values[result.key][side or 0][each.reached]).max()) for each in sweeps
    )


def is_rounded(text: str, size: float) -> bool:
    digits = len(text.partition(".")[2])
    return abs(abs(float(text.replace("−", "-"))) - size) <= 0.5000001 * 10.0**-digits


@each_at_a_height
def test_every_figure_told_is_the_tables(name: str, change: str, choice: str) -> None:
    car = car_of(name, change, choice)
    for study in car:
        for key, text, *figures in told_figures(study, car):
            assert is_figure_of(study, key, (figures[0], figures[1])), (key, text)


@each_at_a_height
def test_every_word_and_mark_follows_from_the_car_as_built(
    name: str, change: str, choice: str
) -> None:
    car = car_of(name, change, choice)
    for study in car:
        steer = result_named(study, "roll_steer")
        built = None if steer is None else value_at_rest(study.proposed, steer)
        for sentence in all_sentences(study, car):
            if sentence.result_key == "roll_steer" and "oes from" in sentence.text:
                last = max(MEANS, key=sentence.text.rfind)
                assert built is not None
                assert built * MEANS[last] >= -5e-4, sentence.text
        for reading in limit_checks(study):
            if reading.proposed is not None and reading.proposed.driver == "rest":
                sides = [value_at_rest(study.proposed, reading.result, side) for side in (0, 1)]
                assert any(value == pytest.approx(reading.proposed.value) for value in sides)
        for row in result_rows(study):
            for told, each in zip((row.measured, row.proposed), study.cars.values(), strict=True):
                known = value_told(each, row.result, row.side)
                if told is None and study.measured.kind != study.proposed.kind:
                    continue  # of the other axle
                assert told == (None if known is None else pytest.approx(known, nan_ok=True))

"""Many setups' cars on their wheels: what each setup's own study says of the car as built."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import AS_MEASURED, Change, FrozenMap, Setup
from app.document.samples import sample_paths
from app.judge.aligning_cars import angles_of
from app.systems.every import LIMIT_KINDS, given_systems
from app.systems.front.system import FRONT
from app.systems.standing import standings
from app.systems.system import System
from geometry.standing import Stands
from tests.helpers.long_cases import typical_of
from tests.helpers.perturbed import measured_again

HEIGHTS = {
    "settles": {},
    "held": {"front": AS_MEASURED, "rear": AS_MEASURED},
    "front by number": {"front": 0.0},
}

SAMPLES = {path.stem: path for path in sample_paths()}
KEPT = (  # each sample, each height, coils and bars, leaves and links, one in inches
    ("small_saloon", False, "settles"),
    ("taped_saloon", True, "held"),
    ("torsion_coupe", True, "front by number"),
    ("inch_sedan", True, "settles"),
    ("hillclimb_special", True, "held"),
)


def sample(path: Path, every: bool, height: str) -> Setup:
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    changes = tuple(replace(change, on=every or change.on) for change in setup.changes)
    heights: dict[str, Any] = dict(HEIGHTS[height])
    if heights.get("front") == 0.0:
        arch = setup.evidence.get("front.arch_height")
        if not isinstance(arch, float):
            pytest.skip("no arch height was measured")
        heights["front"] = arch - 12.0
    return setup.having(changes=changes, heights=heights)


def of_studies(system: System[Any], setups: list[Setup]) -> tuple[list[Any], Stands]:
    cars = [system.study(setup).proposed for setup in setups]
    each = [car.stand for car in cars]
    travel, pitch, drop = (
        np.array([getattr(stand, name) for stand in each]) for name in ("travel", "pitch", "drop")
    )
    return cars, Stands(travel, pitch, drop, each[0].is_held)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "every", "height"), typical_of(product(SAMPLES, (False, True), HEIGHTS), KEPT)
)
def test_samples_stand_and_answer_as_their_own_studies(name: str, every: bool, height: str) -> None:
    setup = sample(SAMPLES[name], every, height)
    for system in given_systems(setup):
        setups = measured_again(setup, 2)
        cars, stands = of_studies(system, setups)
        settled = np.array([car.single.get("settled_travel", np.nan) for car in cars])
        if HEIGHTS[height]:
            many = system.solve_many(setups, ("settled_travel",)).values
            settled = many.get("settled_travel", settled)
        own = standings(system, setups)(settled if np.isfinite(settled).any() else None)
        for name in ("travel", "pitch", "drop"):
            assert getattr(own, name) == pytest.approx(getattr(stands, name), abs=1e-6), name
        assert own.is_held == stands.is_held
        for driver in system.drivers:
            sweep = getattr(cars[0], driver)
            places = sweep.at[:: max(1, sweep.at.size // 4)]
            answers = system.built_many(
                setups,
                [result.key for result in cars[0].results],
                lambda _: stands,  # noqa: B023
                **{driver: places},
            )
            for place, car in enumerate(cars):
                alone = car.sweep_at(driver, places)
                assert (answers.reached[place] == alone.reached).all()
                for key, value in alone.values.items():
                    if key in answers.values:
                        _same(answers.values[key][place], value, alone.reached, key)
                for key, value in car.single.items():
                    assert answers.values[key][place] == pytest.approx(value, rel=2e-6, abs=1e-6), (
                        key
                    )


def _same(together: np.ndarray, value: np.ndarray, good: np.ndarray, key: str) -> None:
    alone = np.broadcast_to(value, together.shape)[..., good]
    far = np.maximum(np.abs(alone), 100.0 if "centre" in key else 1.0)
    where = np.isfinite(alone)
    assert (np.isfinite(together[..., good]) == where).all(), key
    assert (np.abs(together[..., good] - alone) / far)[where].max(initial=0.0) < 1e-9, key


def test_a_car_that_stands_nowhere_takes_no_other_with_it() -> None:
    """Upper arms drawn in by 160 mm find no height; the cars beside answer as they do alone."""
    base = read_setup(SAMPLES["small_saloon"], limit_kinds=LIMIT_KINDS).setup

    def packed(inboard: float) -> Setup:
        moves = {f"front.upper_{end}": (0.0, -inboard, 0.0) for end in ("front", "rear")}
        return base.having(changes=(Change("packs", moves=FrozenMap(moves)),))

    together = angles_of([packed(0.0), packed(160.0), packed(6.0)])
    for place, inboard in ((0, 0.0), (2, 6.0)):
        alone = FRONT.study(packed(inboard)).proposed.rest.values
        for key, values in together.items():
            assert values[place] == pytest.approx(np.ravel(alone[key]), abs=1e-6), key
    assert np.isnan(together["camber"][1]).all()

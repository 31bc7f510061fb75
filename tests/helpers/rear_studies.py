"""Shared by the tests of a rear's study: samples, changes and what is read off a study."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Leaf, Setup
from app.document.samples import sample_paths
from app.systems.answers import Study
from app.systems.every import LIMIT_KINDS
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR

GRAVITY = 9.80665  # m/s², standard gravity, 3rd CGPM 1901

PATHS = {path.stem: path for path in sample_paths()}

every_car = pytest.mark.parametrize("name", PATHS)

on_leaves = pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "torsion_coupe"])


@cache
def load(name: str) -> Setup:
    return read_setup(PATHS[name], limit_kinds=LIMIT_KINDS).setup


def with_change(setup: Setup, change: Change) -> Setup:
    return setup.having(changes=(change,))


def with_evidence(setup: Setup, **values: object) -> Setup:
    given = {key.replace("__", "."): value for key, value in values.items()}
    return setup.having(changes=(), evidence=FrozenMap({**setup.evidence, **given}))


def changed(name: str, change: Change) -> Study[RearAnswers]:
    return REAR.study(with_change(load(name), change))


def at_rest(car: RearAnswers, key: str) -> float:
    return float(car.rest.values[key][0])


def settled(car: RearAnswers, key: str) -> float:
    assert car.settled is not None
    return float(car.settled.values[key][0])


def leaves(setup: Setup) -> tuple[Leaf, ...]:
    found = setup.evidence["rear.pack.leaf"]
    assert isinstance(found, tuple)
    return found  # type: ignore[return-value]


def sprung_weight(setup: Setup) -> float:
    """On one rear wheel [N]."""
    mass, share, unsprung = (
        float(setup.evidence[f"car.{key}"])  # type: ignore[arg-type]
        for key in ("mass", "front_share", "rear_unsprung")
    )
    return 0.5 * (mass * (1.0 - share) - unsprung) * GRAVITY


# --- helpers -------------------------------------------------------------------------------------


def only_on(setup: Setup, name: str) -> Setup:
    (change,) = [change for change in setup.changes if change.name == name]
    return with_change(setup, replace(change, on=True))


def number_in(setup: Setup, key: str) -> float:
    return float(setup.evidence[key])  # type: ignore[arg-type]

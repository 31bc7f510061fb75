"""The same car on leaf springs and on links, where a setup gives both."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from app.document.address import key_of
from app.document.model import Change, FrozenMap, Setup
from app.document.moves import proposed_values
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.inputs import LEAF_POINTS
from app.systems.rear.system import REAR
from geometry.errors import GeometryError

LINK_POINTS: Final = tuple(
    f"{link}_{end}" for link in ("lower", "upper", "lateral") for end in ("body", "axle")
)


def gives(setup: Setup, kind: str) -> bool:
    """Tell whether a setup holds all that an axle of a kind is made of."""
    points = LEAF_POINTS if kind == "leaf axle" else (*LINK_POINTS, "wheel_centre")
    needed = {key_of("rear", "left", name) for name in points}
    if kind == "leaf axle":
        needed |= {"rear.pack.leaf", "rear.pack.width", "rear.pack.modulus"}
    return needed <= proposed_values(setup).keys()


@lru_cache(maxsize=4)
def fitted_with(setup: Setup, kind: str) -> RearAnswers | None:
    """Return the proposed car with an axle of a kind; None where it isn't given or can't be."""
    if not gives(setup, kind):
        return None
    change = Change("compare", sets=FrozenMap({"rear.kind": kind}))
    try:
        return REAR.study(setup.having(changes=(*setup.changes, change))).proposed
    except GeometryError:
        return None


def at_rest(car: RearAnswers | None, key: str) -> float | None:
    """Return a result of a car where it stands, None where it isn't known."""
    if car is None:
        return None
    if key in car.single:
        return car.single[key]
    return value_at(car.rest, key, 0.0)


def value_at(sweep: RearSweep | None, key: str, at: float) -> float | None:
    """Return a result at a place of a sweep, None where it isn't known or reached."""
    values = None if sweep is None else sweep.values.get(key)
    if sweep is None or values is None or not sweep.reached.any():
        return None
    if sweep.at.size == 1:
        value = float(values[0])
    else:
        row = np.where(sweep.reached, values, np.nan)
        value = float(np.interp(at, sweep.at, row, np.nan, np.nan))
    return value if np.isfinite(value) else None

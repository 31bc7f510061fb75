"""How well the numbers of a car are known: each reading's uncertainty, and cars measured again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import Final, cast

import numpy as np

from app.document.keys import is_point
from app.document.model import FrozenMap, Setup, Value, Vec, Within, frozen
from geometry.dataclass import dataclass
from geometry.uncertainty import COVERAGE
from geometry.vectors import Array

AXES: Final = ("x", "y", "z")
DATUM: Final = {"datum level": 2, "datum centreline": 1}
"""What all points share, and the direction in which it shifts them."""


@dataclass(frozen=True)
class Parameter:
    """A number of the measured car that may be off: a coordinate, a value, or the datum.

    `axis` is 0, 1 or 2 of a point and of the datum, None of a value; `deviation` its standard
    uncertainty.
    """

    key: str
    axis: int | None
    deviation: float

    @property
    def name(self) -> str:
        """What the reading of it is called: "front.upper_ball.z", "front.camber"."""
        if self.axis is None or self.key in DATUM:
            return self.key
        return f"{self.key}.{AXES[self.axis]}"


@dataclass(frozen=True)
class Knowledge:
    """How well a car's numbers are known.

    Parameters
    ----------
    parameters
        What may be off, p of them.
    readings
        The r readings behind them by name: coordinates, values and tapes.
    factor
        What a standard deviation of each reading shifts each parameter by, shape (p, r); times its
        transpose it is the covariance.
    """

    parameters: tuple[Parameter, ...]
    readings: tuple[str, ...]
    factor: Array

    @cached_property
    def deviations(self) -> Array:
        """Standard uncertainty of each parameter, shape (p,)."""
        return np.asarray(np.sqrt((self.factor**2).sum(axis=1)))

    def covariance(self) -> Array:
        """Return the parameters' covariance, (p, p)."""
        return np.asarray(self.factor @ self.factor.T)


def knowledge(setup: Setup, is_read: Callable[[str], bool]) -> Knowledge:
    """Return how well the numbers are known that are read under keys of this kind."""
    parameters = tuple(_parameters(setup, is_read))
    names = tuple(parameter.name for parameter in parameters)
    deviations = np.array([parameter.deviation for parameter in parameters])
    return Knowledge(parameters, names, np.diag(deviations))


def within_of(setup: Setup, key: str) -> Within | None:
    """Return how well a reading is known, k = 2, None where nothing says so."""
    within = setup.within.get(key)
    if within is None and is_point(key):
        usual = setup.readings.get("sheet.measured_within")
        within = usual if isinstance(usual, float) else None
    return within


def _parameters(setup: Setup, is_read: Callable[[str], bool]) -> Iterator[Parameter]:
    for key, value in setup.evidence.items():
        within = within_of(setup, key) if is_read(key) else None
        if within is None:
            continue
        if is_point(key):
            for axis, size in enumerate(within if isinstance(within, tuple) else (within,) * 3):
                if size > 0.0:
                    yield Parameter(key, axis, size / COVERAGE)
        elif isinstance(value, float) and isinstance(within, float) and within > 0.0:
            yield Parameter(key, None, within / COVERAGE)
    datum = setup.evidence.get("sheet.datum_within")
    if isinstance(datum, float):
        for name, axis in DATUM.items():
            yield Parameter(name, axis, datum / COVERAGE)


def measured_again(setup: Setup, parameters: Sequence[Parameter], errors: Array) -> Iterator[Setup]:
    """Yield the setup as if its numbers had been off by each row of errors, (m, p)."""
    evidence = frozen(setup.evidence)
    for row in errors.tolist():
        off: dict[str, Value] = {}
        for parameter, error in zip(parameters, row, strict=True):
            if error:
                _add(evidence, off, parameter, error)
        yield setup.having(evidence=FrozenMap({**evidence, **off}), tapes=())


def _add(
    evidence: FrozenMap[Value], off: dict[str, Value], parameter: Parameter, error: float
) -> None:
    if parameter.axis is None:
        off[parameter.key] = cast(float, evidence[parameter.key]) + error
        return
    keys = filter(is_point, evidence) if parameter.key in DATUM else [parameter.key]
    for key in keys:
        place = list(cast(Vec, off.get(key, evidence[key])))
        place[parameter.axis] += error
        off[key] = (place[0], place[1], place[2])

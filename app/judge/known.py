"""How well the numbers of a car are known: each reading's uncertainty, and cars measured again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Final, cast

import numpy as np

from app.document.address import coordinate
from app.document.adjusting import adjusted, within_of
from app.document.keys import is_point
from app.document.leaf_pairs import followed, kept_in
from app.document.leaf_parts import (
    LEAVES,
    leaf_keys,
    leaf_number,
    leaf_part,
    leaves_in,
    measured_number,
    with_leaf_number,
    within_main,
)
from app.document.model import Change, FrozenMap, Setup, Value, Vec, frozen
from app.document.usual_within import most_within
from geometry.dataclass import dataclass
from geometry.uncertainty import COVERAGE
from geometry.vectors import Array

_EXACT: Final = 1e-9  # inside units: nobody measures so well, and its square is still a number
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
        return coordinate(self.key, self.axis)


@dataclass(frozen=True)
class Knowledge:
    """How well a car's numbers are known.

    Parameters
    ----------
    parameters
        What may be off, p of them.
    readings
        The r readings behind them by name: coordinates, values and tapes.
    uncertain
        Standard uncertainty of each reading, shape (r,).
    factor
        What that shifts each parameter by, shape (p, r); times its transpose it is the covariance,
        in which tapes tie coordinates together.
    """

    parameters: tuple[Parameter, ...]
    readings: tuple[str, ...]
    uncertain: Array
    factor: Array

    @cached_property
    def deviations(self) -> Array:
        """Standard uncertainty of each parameter, shape (p,)."""
        return np.asarray(np.sqrt((self.factor**2).sum(axis=1)))


def knowledge(setup: Setup, is_read: Callable[[str], bool]) -> Knowledge:
    """Return how well the numbers are known that are read under keys of this kind."""
    alone = tuple(_values_alone(setup, is_read))
    tied = _tied(setup, is_read) if setup.tapes else _alone(tuple(_coordinates(setup, is_read)))
    rest = _alone(alone)
    factor = np.zeros((len(tied.parameters) + len(alone), len(tied.readings) + len(alone)))
    factor[: len(tied.parameters), : len(tied.readings)] = tied.factor
    factor[len(tied.parameters) :, len(tied.readings) :] = rest.factor
    return Knowledge(
        (*tied.parameters, *rest.parameters),
        (*tied.readings, *rest.readings),
        np.concatenate([tied.uncertain, rest.uncertain]),
        factor,
    )


def _alone(parameters: tuple[Parameter, ...]) -> Knowledge:
    """Return what readings say that nothing ties together."""
    deviations = np.array([parameter.deviation for parameter in parameters])
    names = tuple(parameter.name for parameter in parameters)
    return Knowledge(parameters, names, deviations, np.diag(deviations))


def _tied(setup: Setup, is_read: Callable[[str], bool]) -> Knowledge:
    """Return what coordinates and tapes together say of the points."""
    found = adjusted(setup)
    adjustment = found.adjustment
    spread = adjustment.adjusted_deviations
    rows = [
        (place, axis, key)
        for place, key in enumerate(found.keys)
        if is_point(key) and is_read(key)
        for axis in range(3)
        if spread[place, axis] > _EXACT
    ]
    names = [coordinate(key, axis) for key in found.keys for axis in range(3)]
    names += [f"tape {number + 1}" for number in found.numbers]
    factor = adjustment.factor[[3 * place + axis for place, axis, _ in rows]]
    counts = np.flatnonzero((factor != 0.0).any(axis=0))
    return Knowledge(
        tuple(Parameter(key, axis, float(spread[place, axis])) for place, axis, key in rows),
        tuple(names[place] for place in counts.tolist()),
        adjustment.deviations[counts],
        factor[:, counts],
    )


def _coordinates(setup: Setup, is_read: Callable[[str], bool]) -> Iterator[Parameter]:
    for key in filter(is_point, setup.evidence):
        within = within_of(setup.readings, setup.within, key) if is_read(key) else None
        if within is not None:
            for axis, size in enumerate(within if isinstance(within, tuple) else (within,) * 3):
                if size > _EXACT:
                    yield Parameter(key, axis, size / COVERAGE)


def _values_alone(setup: Setup, is_read: Callable[[str], bool]) -> Iterator[Parameter]:
    for key in (*setup.evidence, *sorted(leaf_keys(setup.within))):
        within = setup.within.get(key) if is_read(key) and not is_point(key) else None
        value = measured_number(setup, key)
        if isinstance(within, float) and within > _EXACT and value is not None:
            yield Parameter(key, None, min(within, most_within(key, value)) / COVERAGE)
    datum = setup.evidence.get("sheet.datum_within")
    if isinstance(datum, float) and datum > _EXACT:
        for name, axis in DATUM.items():
            yield Parameter(name, axis, datum / COVERAGE)


def measured_again(setup: Setup, parameters: Sequence[Parameter], errors: Array) -> Iterator[Setup]:
    """Yield the setup as if its numbers had been off by each row of errors, (m, p).

    A measured leaf that goes into the pack of a change is off there as well: it is the same piece.
    """
    evidence, kept = frozen(setup.evidence), kept_in(setup.changes, leaves_in(setup.evidence))
    every_point = tuple(filter(is_point, evidence))
    for row in errors.tolist():
        off: dict[str, Value] = {}
        for parameter, error in zip(parameters, row, strict=True):
            if error:
                keys = every_point if parameter.key in DATUM else (parameter.key,)
                _add(evidence, off, parameter, error, keys)
        changes = setup.changes
        if LEAVES in off:
            off[LEAVES] = within_main(leaves_in(off))
        if kept and LEAVES in off:
            changes = followed(changes, kept, leaves_in(evidence), leaves_in(off))
            changes = tuple(map(_within_main, changes))
        yield setup.having(evidence=evidence.updated(off), tapes=(), changes=changes)


def _within_main(change: Change) -> Change:
    leaves = leaves_in(change.sets)
    if not leaves:
        return change
    return replace(change, sets=frozen(change.sets).having(LEAVES, within_main(leaves)))


def _add(
    evidence: FrozenMap[Value],
    off: dict[str, Value],
    parameter: Parameter,
    error: float,
    keys: Sequence[str],
) -> None:
    part = leaf_part(parameter.key)
    if part is not None:
        leaves = leaves_in(off) or leaves_in(evidence)
        number = cast(float, leaf_number({LEAVES: leaves}, part))
        off[LEAVES] = with_leaf_number(leaves, part, number + error)
        return
    if parameter.axis is None:
        off[parameter.key] = cast(float, evidence[parameter.key]) + error
        return
    for key in keys:
        place = list(cast(Vec, off.get(key, evidence[key])))
        place[parameter.axis] += error
        off[key] = (place[0], place[1], place[2])

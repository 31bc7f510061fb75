"""How near to its place each new hole must be, so that the limits are kept all the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from app.document.address import Point
from app.document.keys import KEYS
from app.document.model import Change, FrozenMap, Setup, Toe, Vec
from app.document.moves import summed_moves, toe_is_reset
from app.judge.aligning_work import without_alignment
from app.judge.cars import Cars, built_of
from app.judge.kept import Chances, KeptLimit, swings_limited
from app.systems.answers import Study
from geometry.numeric import quietly
from geometry.uncertainty import SURE, Held, drill_within
from geometry.vectors import Array

_OFF: Final = 0.5  # mm each way by which a hole is tried
_ZERO: Final[Vec] = (0.0, 0.0, 0.0)


@quietly
def holes_within(chances: Chances, limits: Sequence[KeptLimit]) -> float | None:
    """Return the k = 2 uncertainty of each new hole, in each direction, that limits allow [mm].

    0 where the car isn't known well enough for them as it is, None where nothing limits it.
    """
    study = chances.bands.study
    keys = new_holes(study)
    limits_told = [limit for limit in limits if limit.kept is not None]
    if not keys or not limits_told:
        return None
    if any(limit.kept is not None and limit.kept < SURE for limit in limits_told):
        return 0.0
    off = _off_per_mm(study, keys, limits_told)
    return drill_within([held for limit in limits_told for held in _held(limit, off)])


def new_holes(study: Study[Any]) -> tuple[str, ...]:
    """Return the points of the body whose holes are drilled anew, by their setup keys."""
    moves = summed_moves(without_alignment(study.setup))  # shims and turns aren't drilled
    drilled = (key for hole in study.system.holes(study.setup) for key in hole.keys)
    return tuple(key for key in drilled if key in moves.both and key in moves.holes)


def _held(limit: KeptLimit, off: dict[str, Array]) -> Iterator[Held]:
    each = off.get(limit.result.key)
    if each is None or limit.value is None or limit.within is None:
        return
    bounds = limit.check.limit
    most = float(np.nanmax(each)) if np.isfinite(each).any() else 0.0
    yield Held(limit.value, limit.within, bounds.minimum, bounds.maximum, most)


def _off_per_mm(
    study: Study[Any], keys: Sequence[str], limits: Sequence[KeptLimit]
) -> dict[str, Array]:
    """Return what results change by where all holes are off, per mm: root of the sum of squares."""
    moves = [*_each_off(study, keys)]
    setups = [_drilled_off(study.setup, move) for move in moves]
    swings = swings_limited(study)
    result_keys = [limit.result.key for limit in limits if limit.result.key not in swings.keys]
    values = dict(built_of(study, setups, result_keys, {}))
    if swings.keys:
        most: Cars = swings.of(setups)
        values |= most.built
    return {key: _root_of_squares(value) for key, value in values.items()}


def _root_of_squares(values: Array) -> Array:
    """Return it of central differences, above and below in turns, the first axis of (2·h, ...)."""
    sloping = (values[0::2] - values[1::2]) / (2.0 * _OFF)
    return np.asarray(np.sqrt((sloping**2).sum(axis=0)))


def _each_off(study: Study[Any], keys: Sequence[str]) -> Iterator[dict[str, Vec]]:
    """Yield the moves of one hole off in one direction, there and back; all others stay.

    A side's holes are drilled by themselves where the system says so; else both sides' as one.
    """
    if study.system.drills_each_side:
        mirrors = [Point.at(key).mirror.key for key in keys]
        keys = [*keys, *(key for key in mirrors if key in KEYS)]
    still = dict.fromkeys(keys, _ZERO)
    for key in keys:
        for axis in range(3):
            for size in (_OFF, -_OFF):
                move = [0.0, 0.0, 0.0]
                move[axis] = size
                yield still | {key: (move[0], move[1], move[2])}


def _drilled_off(setup: Setup, moves: dict[str, Vec]) -> Setup:
    toe: Toe = "reset" if toe_is_reset(setup) else "left"
    off = Change("", parts="kept", toe=toe, moves=FrozenMap(moves))
    return replace(setup.having(evidence=setup.evidence, tapes=()), changes=(*setup.changes, off))

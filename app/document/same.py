"""Whether two setups are the same but for the last digits that a file can't hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple, is_dataclass
from math import isclose

from app.document.model import Setup

_CLOSE = 1e-9  # relative
_ZERO = 1e-8  # mm, N, rad …: what is left of a sum that should be nothing


def same_setup(a: Setup, b: Setup) -> bool:
    """Tell whether two setups say the same, numbers to 1e-9 of their size."""
    return _same(_plain(a), _plain(b))


def _plain(setup: Setup) -> tuple[object, ...]:
    changes = [
        (c.name, c.on, c.parts, c.toe, c.note, c.aligns, dict(c.moves), dict(c.sets))
        for c in setup.changes
    ]
    measured = (setup.readings, setup.within, setup.point_notes, setup.marks)
    mappings = (*measured, setup.limits, setup.heights)
    tapes = [(t.between, t.length, t.within, t.note) for t in setup.tapes]
    plans = (setup.rooms, setup.adjusters, setup.aims, setup.gauge)
    planes = [(p.name, p.axis, p.at, p.points) for p in setup.planes]
    lists = (planes, tapes, list(setup.wants), list(setup.together), changes)
    spaces = [list(setup.envelopes), list(setup.clearances)]
    return (setup.title, setup.units, setup.notes, *map(dict, (*mappings, *plans)), *lists, *spaces)


def _same(a: object, b: object) -> bool:
    if is_dataclass(a) and is_dataclass(b):
        return type(a) is type(b) and _same(astuple(a), astuple(b))  # type: ignore[arg-type]
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(_same(a[key], b[key]) for key in a)
    if isinstance(a, list | tuple) and isinstance(b, list | tuple):
        return len(a) == len(b) and all(map(_same, a, b))
    if isinstance(a, bool | str) or isinstance(b, bool | str) or a is None or b is None:
        return type(a) is type(b) and a == b
    return isinstance(a, int | float) and isinstance(b, int | float) and _close(a, b)


def _close(a: float, b: float) -> bool:
    return isclose(a, b, rel_tol=_CLOSE, abs_tol=_ZERO)

"""What would hold the proposal at a chosen height: each alone, cheapest first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import isfinite
from typing import Any, Final

from app.document.model import Change, FrozenMap
from app.systems.answers import Study
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

PACKER: Final = "packer"
_STEPS: Final = 12
_HELD: Final = 1e-5  # mm of height, which nobody can measure


@dataclass(frozen=True)
class Holder:
    """A value that can be changed to hold a height: its setup key, and what it is now.

    Parameters
    ----------
    key
        Of the setup.
    now
        What it is in the proposal [inside units].
    step
        By which it is changed at first.
    least
        Below which there is none.
    has_packer
        Whether a packer under the spring does the same.
    is_weighed
        Whether nobody gave it and it is what the weighed car says.
    moves_axle
        Whether it holds the height but puts the axle elsewhere under its springs, so that what is
        told of the held car isn't of a car with it.
    """

    key: str
    now: float
    step: float
    least: float = 0.0
    has_packer: bool = False
    is_weighed: bool = False
    moves_axle: bool = False


@dataclass(frozen=True)
class Hold:
    """What alone holds the height: a setup key or "packer", its value, and how much that is more.

    In inside units; `is_weighed` and `moves_axle` as of its `Holder`.
    """

    key: str
    value: float
    by: float
    is_weighed: bool = False
    moves_axle: bool = False


def holds(study: Study[Any]) -> tuple[Hold, ...]:
    """Return what holds the proposal where it stands, each alone; nothing where its springs do."""
    if not study.proposed.stand.is_held:
        return ()
    return tuple(hold for each in study.system.holders(study) for hold in _holds(study, each))


def _holds(study: Study[Any], holder: Holder) -> Iterator[Hold]:
    value = _value_to_hold(study, holder)
    if value is None or value < holder.least:
        return
    by = value - holder.now
    if holder.has_packer and by > 0.0:
        yield Hold(PACKER, by, by)
    yield Hold(holder.key, value, by, holder.is_weighed, holder.moves_axle)


def _value_to_hold(study: Study[Any], holder: Holder) -> float | None:
    """Return the value with which the springs carry the load where the car stands.

    It is found by putting values back until the car settles there; None where none does it.
    """
    target = study.proposed.stand.travel

    def miss(value: float) -> float:
        change = Change("hold", sets=FrozenMap({holder.key: value}))
        setup = study.setup.having(changes=(*study.setup.changes, change))
        travel = study.system.solve(setup, study.ranges, True).single.get("settled_travel")
        return float("nan") if travel is None else float(travel) - target

    try:
        return _zero(miss, holder.now, holder.step)
    except GeometryError:
        return None


def _zero(miss: Callable[[float], float], start: float, step: float) -> float | None:
    """Return where a smooth function is nought, by secants."""
    low, high = start, start + step
    off = miss(low)
    for _ in range(_STEPS):
        then = miss(high)
        if not isfinite(then) or then == off:
            return None
        if abs(then) < _HELD:
            return high
        low, off, high = high, then, high - then * (high - low) / (then - off)
    return None

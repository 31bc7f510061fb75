"""What holds a height, in a shop's words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from app.document.model import Units
from app.document.units import format_value
from app.systems.answers import Study
from app.systems.holding import PACKER, Hold, holds
from app.words.lengths import bench_length, length_words

_WAYS: Final = {  # by the end of a key: what it is called
    "free_length": "coils {now} free instead of {was}",
    "preload": "torsion bars set to {now} at the measured height instead of {was}",
    "free_arch": "springs re-arched to {now} of free arch instead of {was}",
    "block": "a block of {now} instead of {was}",
}

_OTHER_AXLE: Final = "with another roll steer and anti-squat than these figures"
_OF_THIS: Final = "which the figures are of"


def hold_words(study: Study[Any], decimal: str = ".") -> str:
    """Return what holds the height, each way alone, cheapest first; empty where nothing must."""
    found = holds(study)
    ways = [_way(study, hold, decimal) for hold in found]
    if any(hold.moves_axle for hold in found):
        notes = [_OTHER_AXLE if hold.moves_axle else _OF_THIS for hold in found]
        ways = [f"{way} ({note})" for way, note in zip(ways, notes, strict=True)]
    return _or(ways)


def _way(study: Study[Any], hold: Hold, decimal: str) -> str:
    units, end = study.setup.units, study.system.key
    if hold.key == PACKER:
        return f"a packer of {_taped(hold.value, units, decimal)} under each {end} coil"
    name = hold.key.rpartition(".")[2]
    if name == "block" and abs(hold.value) < 0.05:
        return f"the block of {length_words(-hold.by, units, decimal)} left out"
    kind, places = "torque" if name == "preload" else "length", 0 if units == "mm" else 2
    now, was = _both(hold, kind, units, decimal, places)
    if now == was:
        now, was = _both(hold, kind, units, decimal, places + 1)
    words = _WAYS[name].format(now=now, was=was)
    return f"{words} (as weighed: none is given)" if hold.is_weighed else words


def _taped(length: float, units: Units, decimal: str) -> str:
    words = length_words if units == "mm" else bench_length
    return words(length, units, decimal)


def _both(hold: Hold, kind: str, units: Units, decimal: str, places: int) -> tuple[str, str]:
    """Return a value and what it was before, as they are said."""
    now, was = hold.value, hold.value - hold.by
    if kind == "length" and units == "in":
        return bench_length(now, units, decimal), bench_length(was, units, decimal)
    return (
        format_value(now, kind, units, decimal=decimal, places=places),
        format_value(was, kind, units, decimal=decimal, places=places),
    )


def _or(ways: Sequence[str]) -> str:
    return " or ".join(filter(None, [", ".join(ways[:-1]), *ways[-1:]]))

"""What holds a height, in a shop's words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from app.document.units import format_value
from app.systems.answers import Study
from app.systems.holding import PACKER, Hold, holds
from app.words.lengths import length_words

_WAYS: Final = {  # by the end of a key: what it is called
    "free_length": "coils {now} free instead of {was}",
    "preload": "torsion bars set to {now} at the measured height instead of {was}",
    "free_arch": "springs re-arched to {now} of free arch instead of {was}",
    "block": "a block of {now} instead of {was}",
}


def hold_words(study: Study[Any], decimal: str = ".") -> str:
    """Return what holds the height, each way alone; empty where nothing must."""
    told, others = [], []
    for hold in holds(study):
        (others if hold.moves_axle else told).append(_way(study, hold, decimal))
    words = _or(told)
    if not others:
        return words
    another = f"{_or(others)}, with a roll steer and anti-squat that aren't told here"
    return f"{words}, which the figures are of, or {another}" if words else another


def _way(study: Study[Any], hold: Hold, decimal: str) -> str:
    units, end = study.setup.units, study.system.key
    if hold.key == PACKER:
        return f"a packer of {length_words(hold.value, units, decimal)} under each {end} coil"
    name = hold.key.rpartition(".")[2]
    if name == "block" and abs(hold.value) < 0.05:
        return f"the block of {length_words(-hold.by, units, decimal)} left out"
    kind = "torque" if name == "preload" else "length"
    now, was = (
        format_value(value, kind, units, decimal=decimal, places=0 if units == "mm" else 2)
        for value in (hold.value, hold.value - hold.by)
    )
    words = _WAYS[name].format(now=now, was=was)
    return f"{words} (as weighed: none is given)" if hold.is_weighed else words


def _or(ways: Sequence[str]) -> str:
    return " or ".join(filter(None, [", ".join(ways[:-1]), *ways[-1:]]))

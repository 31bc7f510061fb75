"""Arrays of many cars or poses on the last axis, inside whatever holds them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import is_dataclass
from typing import Any, TypeVar

import numpy as np

from geometry.vectors import Array

Held = TypeVar("Held")


def repeated(held: Held, count: int, times: int) -> Held:
    """Repeat each of `count` on the last axis, `times` one behind the other."""
    return _mapped(held, count, lambda array: np.repeat(array, times, axis=-1))


def chosen(held: Held, count: int, index: Any) -> Held:
    """Return some of `count` on the last axis: an index, a slice or a mask."""
    return _mapped(held, count, lambda array: array[..., index])


def _mapped(held: Any, count: int, change: Callable[[Array], Array]) -> Any:
    """Change the arrays whose last axis is so long, and leave everything else."""
    if isinstance(held, np.ndarray):
        return change(held) if held.ndim and held.shape[-1] == count else held
    if isinstance(held, tuple):
        return tuple([_mapped(part, count, change) for part in held])
    if isinstance(held, dict):
        return {key: _mapped(part, count, change) for key, part in held.items()}
    if not is_dataclass(held):
        return held
    names = held.__dataclass_fields__
    return type(held)(**{name: _mapped(getattr(held, name), count, change) for name in names})

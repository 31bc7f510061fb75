"""Arrays of many cars or poses on the last axis, inside whatever holds them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import is_dataclass
from typing import Any, TypeVar

import numpy as np

from geometry.vectors import Array

Held = TypeVar("Held")


class Cut(Mapping[str, Array]):
    """Results of some of the poses that were worked out together, cut out as they are asked for."""

    def __init__(self, whole: Mapping[str, Array], part: slice) -> None:
        self._whole, self._part = whole, part

    def __getitem__(self, key: str) -> Array:
        return self._whole[key][..., self._part]

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole)

    def __len__(self) -> int:
        return len(self._whole)


def repeated(held: Held, count: int, times: int) -> Held:
    """Repeat each of `count` on the last axis, `times` one behind the other.

    Parameters
    ----------
    held
        Arrays, or tuples, dicts and dataclasses of them.
    count
        Length of the last axis of those that are repeated.
    times
        How often each is repeated.
    """
    if times == 1:
        return held

    def longer(array: Array) -> Array:
        return np.repeat(array, times, axis=-1) if _counts(array, count) else array

    return changed(held, longer)


def chosen(held: Held, count: int, index: Any) -> Held:
    """Return some of `count` on the last axis: an index, a slice or a mask.

    Parameters
    ----------
    held
        Arrays, or tuples, dicts and dataclasses of them.
    count
        Length of the last axis of those that are chosen from.
    index
        An index, a slice or a mask of that axis.
    """
    return changed(held, lambda array: array[..., index] if _counts(array, count) else array)


def first_row(held: Held) -> Held:
    """Keep of arrays with a row for either side the left one."""
    return changed(held, lambda array: array[:1] if array.ndim == 2 else array)


def arrays_in(held: Any) -> Iterator[Array]:
    """Go through the arrays, wherever they are."""
    if isinstance(held, np.ndarray):
        yield held
        return
    if is_dataclass(held):
        held = {name: getattr(held, name) for name in held.__dataclass_fields__}
    parts = held.values() if isinstance(held, dict) else held
    for part in parts if isinstance(held, dict | tuple) else ():
        yield from arrays_in(part)


def changed(held: Any, change: Callable[[Array], Array]) -> Any:
    """Change every array and leave everything else.

    Parameters
    ----------
    held
        An array, or a tuple, a dict or a dataclass with arrays in it.
    change
        What is done to each array.
    """
    if isinstance(held, np.ndarray):
        return change(held)
    if isinstance(held, tuple):
        return tuple([changed(part, change) for part in held])
    if isinstance(held, dict):
        return {key: changed(part, change) for key, part in held.items()}
    if not is_dataclass(held) or isinstance(held, type):
        return held
    names = held.__dataclass_fields__
    return type(held)(**{name: changed(getattr(held, name), change) for name in names})


def by_car(values: Array, count: int) -> Array:
    """Lay out poses that stand one car behind the other: (m, n), or (m, 2, n) of both sides.

    Parameters
    ----------
    values
        Of m·n poses, shape (m·n,) or (2, m·n).
    count
        Cars, m.
    """
    if values.ndim == 1:
        return values.reshape(count, -1)
    return values.reshape(len(values), count, -1).swapaxes(0, 1)


def stacked(items: Sequence[Any], times: int) -> Any:
    """Return objects of one shape as one, each number an array with `times` of every object's.

    Parameters
    ----------
    items
        Numbers, or tuples and dataclasses of them; None where the first has None.
    times
        How often each object's number is repeated.
    """
    first = items[0]
    if isinstance(first, tuple):
        parts = [stacked(column, times) for column in zip(*items, strict=True)]
        return type(first)(*parts) if hasattr(first, "_fields") else tuple(parts)
    if is_dataclass(first) and not isinstance(first, type):
        names = first.__dataclass_fields__
        columns = {name: [getattr(item, name) for item in items] for name in names}
        return type(first)(**{name: stacked(column, times) for name, column in columns.items()})
    return first if first is None else np.repeat(items, times)


def _counts(array: Array, count: int) -> bool:
    return array.ndim > 0 and array.shape[-1] == count

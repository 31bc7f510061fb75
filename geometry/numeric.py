"""What absurd numbers do: quiet infinities, singular systems, and points out of all proportion."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import wraps
from itertools import combinations
from math import dist
from typing import Final, ParamSpec, TypeVar

import numpy as np
from numpy.typing import NDArray

from geometry.errors import TooFarApart
from geometry.vectors import Array

Given = ParamSpec("Given")
Answer = TypeVar("Answer")

FARTHEST: Final = 1e6
"""Distance between two points of one suspension that is none [mm]: a kilometre."""


def quietly(function: Callable[Given, Answer]) -> Callable[Given, Answer]:
    """Let a function divide by zero and overflow without a warning.

    What is solved beyond reach is refused as such afterwards; its numbers mean nothing.
    """

    @wraps(function)
    def quiet(*given: Given.args, **named: Given.kwargs) -> Answer:
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            return function(*given, **named)

    return quiet


def solved(matrices: Array, right: Array) -> Array:
    """Solve linear systems, (..., n, n) by (..., n, m); NaN where a matrix is singular.

    Parameters
    ----------
    matrices
        Shape (..., n, n).
    right
        Right-hand sides, shape (..., n, m).
    """
    try:
        return np.asarray(np.linalg.solve(matrices, right), dtype=float)
    except np.linalg.LinAlgError:
        if matrices.ndim == 2:
            return np.full_like(right, np.nan, dtype=float)
        return np.array([solved(*pair) for pair in zip(matrices, right, strict=True)])


def first_of_each(values: Array) -> NDArray[np.intp]:
    """Return the index of the first of each value, in the rising order of the values.

    numpy's `unique` would load its masked arrays with it, in the middle of a start or a drag.

    Parameters
    ----------
    values
        Numbers, none of them NaN, shape (n,).
    """
    order = np.argsort(values, kind="stable")
    rising = values[order]
    return order[np.concatenate([[True], rising[1:] != rising[:-1]])[: rising.size]]


def refuse_far_points(points: Mapping[str, Sequence[float]], end: str = "") -> None:
    """Refuse points of one suspension that are a kilometre apart, or nowhere.

    Parameters
    ----------
    points
        Coordinates by name [mm].
    end
        What the setup's keys have before these names.

    Raises
    ------
    TooFarApart
        Names the first two.
    """
    if np.ptp(np.array(list(points.values())), axis=0).max() < 0.5 * FARTHEST:
        return
    for (first, one), (second, other) in combinations(points.items(), 2):
        if not dist(one, other) <= FARTHEST:
            raise TooFarApart(f"{end}{first}", f"{end}{second}", FARTHEST)

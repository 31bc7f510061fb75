"""Answers of many setups at once: what bands, searches and alignments ask for."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.standing import Stands
from geometry.vectors import Array

ManyStanding = Callable[[Array | None], Stands]
"""From the travels at which m cars' springs carry their load to where that end of each stands."""


@dataclass(frozen=True)
class ManyAnswers:
    """Results of m setups in n poses; NaN where a pose isn't reached or a car can't be built.

    Parameters
    ----------
    values
        By key: of wheels (m, 2, n), of an axle (m, n), of a car (m,); to be read alone. Results
        that need data that the setups don't give are left out.
    reached
        Which poses could be taken, (m, n).
    """

    values: dict[str, NDArray[np.float64]]
    reached: NDArray[np.bool_]


def poses_asked(*drivers: ArrayLike) -> Sequence[NDArray[np.float64]]:
    """Return travel [mm], roll [rad] and steer [mm] as arrays of as many poses, (n,) or (m, n)."""
    arrays = [np.atleast_1d(np.asarray(driver, dtype=float)) for driver in drivers]
    count = max(array.shape[-1] for array in arrays)
    return [np.broadcast_to(array, (*array.shape[:-1], count)) for array in arrays]

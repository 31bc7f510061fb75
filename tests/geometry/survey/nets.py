"""An invented floor with points and tapes between them, for tests of the adjustment."""

from __future__ import annotations

import numpy as np

from geometry.survey.adjustment import Distances
from geometry.vectors import Array

PLACES = np.array(
    [
        [0.0, 620.0, 560.0],  # ball joints, pivots and two marks on the floor
        [-12.0, 650.0, 215.0],
        [105.0, 372.0, 585.0],
        [-95.0, 374.0, 575.0],
        [180.0, 330.0, 240.0],
        [-160.0, 335.0, 232.0],
        [500.0, 300.0, 0.0],
        [-500.0, 300.0, 0.0],
    ]
)
SPREAD = np.full((8, 3), 0.75)
SPREAD[:, 2] = 1.5
SPREAD[6:] = 0.0
PAIRS = [(0, 1), (0, 2), (0, 3), (1, 4), (1, 5), (2, 3), (4, 5), (0, 6), (1, 7), (0, 1), (2, 6)]
ENDS = np.array(PAIRS)
MIRRORED = np.zeros((len(PAIRS), 2), dtype=bool)
MIRRORED[9, 1] = True  # from the left upper ball joint across to the right lower one
MIRRORED[10, 0] = True


def tapes(lengths: Array | None = None, deviation: float = 0.25) -> Distances:
    """Return the tapes of the floor, as they should read unless other lengths are given."""
    blank = np.zeros(len(ENDS))
    known = Distances(ENDS, MIRRORED, blank, blank + deviation)
    true = known.between(PLACES) if lengths is None else lengths
    return Distances(ENDS, MIRRORED, true, blank + deviation)

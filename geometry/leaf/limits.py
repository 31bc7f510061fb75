"""Why an axle on leaf springs can't take a pose, as an error with keys and distances."""

from __future__ import annotations

from geometry.errors import ShackleOutOfReach
from geometry.leaf.reach import out_of_reach
from geometry.leaf.rear import LeafRear


def leaf_limit(leaf: LeafRear, travel: float) -> ShackleOutOfReach:
    """Say what a travel [mm] of a level axle asks of the shackle; leaning, the solver says it.

    Parameters
    ----------
    leaf
        The axle on leaves.
    travel
        Wheel travel [mm], bump positive.
    """
    return out_of_reach(leaf.loop, travel, leaf.reference.datum[1])

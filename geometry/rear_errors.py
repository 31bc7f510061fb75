"""What can't be built or reached at the rear, as values that build their own sentence."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.errors import GeometryError


@dataclass
class ImpossiblePack(GeometryError):
    """A pack that can't be built.

    Parameters
    ----------
    leaf
        Number of the leaf, the main leaf is 1; 0 for the pack as a whole.
    reason
        What is wrong and what to do, a half-sentence.
    """

    leaf: int
    reason: str

    def __str__(self) -> str:
        return f"Leaf {self.leaf} {self.reason}." if self.leaf else f"The pack {self.reason}."


@dataclass
class ShackleOutOfReach(GeometryError):
    """A travel at which the shackle can't join its body pivot and the spring's rear eye.

    Parameters
    ----------
    travel
        Travel asked for [mm], + in bump.
    limit
        Last travel that can be reached towards it [mm].
    shackle
        Length of the shackle [mm].
    needed
        Length that it would need there [mm].
    """

    travel: float
    limit: float
    shackle: float
    needed: float

    def __str__(self) -> str:
        return (
            f"At {self.travel:+.1f} mm of travel the shackle would have to be {self.needed:.1f} mm "
            f"long to join its body pivot and the spring's rear eye; it is {self.shackle:.1f} mm. "
            f"The axle stops at {self.limit:+.1f} mm: "
            "move the shackle's body pivot, or make the shackle longer."
        )

"""A pack of leaves as taped and calipered, and what a spring maker needs to cut it.

Lengths are measured along the leaf from the centre bolt, each way. The first leaf is the main leaf
and carries the eyes. A composite leaf is a leaf with its own modulus and limit; a helper is a leaf
with a contact travel.
"""

from __future__ import annotations

from math import inf
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.errors import ImpossiblePack, PackFlaw
from geometry.vectors import Array


@dataclass(frozen=True)
class Leaf:
    """One leaf.

    Parameters
    ----------
    thickness
        At the clamp [mm].
    front, rear
        Half-lengths from the centre bolt to the tip, or to the eye for the main leaf [mm].
    clipped
        Held to the main leaf by a clip, so that it also carries when an eye load reverses.
    contact
        Spring travel from free at which it starts to carry [mm]; 0 carries from the start.
    parabolic
        Thickness falls with the square root of the distance to the tip.
    nip
        Gap to the leaf above, at the centre, before the centre bolt draws them together [mm].
    modulus
        Young's modulus [MPa]; None takes the pack's.
    limit
        Bending stress not to be exceeded [MPa]; None takes the pack's.
    """

    thickness: float
    front: float
    rear: float
    clipped: bool = False
    contact: float = 0.0
    parabolic: bool = False
    nip: float = 0.0
    modulus: float | None = None
    limit: float | None = None


Ends = Literal["square", "diamond", "tapered"]
"""Shape of the leaves' ends: cut square, cut to a point, or drawn out thin to the tip."""


@dataclass(frozen=True)
class LeafPack:
    """The leaves of one spring, from the main leaf down.

    Parameters
    ----------
    leaves
        Main leaf first.
    width
        Of every leaf [mm].
    clamp
        Length held rigid by the U-bolts and the seat, both sides of the bolt together [mm].
    free_arch
        Height of the line of the eyes above the main leaf at the bolt, unloaded [mm]; None where
        nobody measured it: then that with which the pack carries its load is meant.
    modulus
        Young's modulus of leaves without their own [MPa]; 200 to 210 GPa for steel.
    limit
        Bending stress of leaves without their own limit [MPa]; infinite when none is stated.
    ends
        Shape of the ends of all leaves but those of full length; from the tip of the next shorter
        leaf on, or for the shortest from the clamp.

    Raises
    ------
    ImpossiblePack
        No leaf, a size that isn't positive, a leaf longer than the main leaf or ending inside the
        clamp, a main leaf given as helper.
    """

    leaves: tuple[Leaf, ...]
    width: float
    clamp: float = 0.0
    free_arch: float | None = None
    modulus: float = 206_000.0
    limit: float = inf
    ends: Ends = "square"

    def __post_init__(self) -> None:
        _check_pack(self)
        for number, leaf in enumerate(self.leaves, start=1):
            _check_leaf(self, number, leaf)

    @property
    def main(self) -> Leaf:
        """The leaf with the eyes."""
        return self.leaves[0]

    @property
    def length(self) -> float:
        """Eye to eye along the main leaf [mm]."""
        return self.main.front + self.main.rear

    @property
    def thicknesses(self) -> Array:
        """Thickness of each leaf at the clamp [mm], shape (n,)."""
        return np.array([leaf.thickness for leaf in self.leaves])

    @property
    def half_lengths(self) -> Array:
        """Free half-lengths from the clamp's edge [mm], front and rear row, shape (2, n)."""
        taped = np.array([[leaf.front, leaf.rear] for leaf in self.leaves])
        return taped.T - self.clamp / 2

    @property
    def end_lengths(self) -> Array:
        """Length of the shaped end of each half-leaf [mm], shape (2, n); 0 where it is square.

        Uniform strength asks for just this: an end carries the force at its tip, and from the next
        tip on the leaf below takes what is more. Leaves of full length hold the eye, or wrap it,
        and stay whole; a parabolic leaf has its own taper.
        """
        lengths = self.half_lengths
        if self.ends == "square":
            return np.zeros_like(lengths)
        below = np.concatenate([lengths[:, 1:], np.zeros((2, 1))], axis=1)
        below = np.maximum.accumulate(below[:, ::-1], axis=1)[:, ::-1]  # the longest further down
        whole = self.parabolic | (lengths >= lengths[:, :1])
        return np.where(whole, 0.0, np.maximum(lengths - below, 0.0))

    @property
    def moduli(self) -> Array:
        """Young's modulus of each leaf [MPa], shape (n,)."""
        return np.array([self.modulus if x.modulus is None else x.modulus for x in self.leaves])

    @property
    def limits(self) -> Array:
        """Bending stress limit of each leaf [MPa], shape (n,)."""
        return np.array([self.limit if x.limit is None else x.limit for x in self.leaves])

    @property
    def parabolic(self) -> NDArray[np.bool_]:
        """Whether each leaf is of parabolic thickness, shape (n,)."""
        return np.array([leaf.parabolic for leaf in self.leaves])

    @property
    def bending_stiffness(self) -> Array:
        """E·I of each leaf at the clamp [N·mm²], shape (n,)."""
        stiffness: Array = self.moduli * self.width * self.thicknesses**3 / 12
        return stiffness


def _check_pack(pack: LeafPack) -> None:
    if not pack.leaves:
        raise ImpossiblePack(PackFlaw.NO_LEAF)
    if not (pack.width > 0 and pack.modulus > 0):
        raise ImpossiblePack(PackFlaw.NO_SECTION)
    if pack.clamp < 0:
        raise ImpossiblePack(PackFlaw.CLAMP, value=pack.clamp)
    if pack.main.contact > 0:
        raise ImpossiblePack(PackFlaw.HELPER_ON_TOP, 1, "contact", pack.main.contact)


def _check_leaf(pack: LeafPack, number: int, leaf: Leaf) -> None:
    if not leaf.thickness > 0:
        raise ImpossiblePack(PackFlaw.THICKNESS, number, "thickness", leaf.thickness)
    if leaf.contact < 0:
        raise ImpossiblePack(PackFlaw.CONTACT, number, "contact", leaf.contact)
    for end, half, longest in (
        ("front", leaf.front, pack.main.front),
        ("rear", leaf.rear, pack.main.rear),
    ):
        if half <= pack.clamp / 2:
            raise ImpossiblePack(PackFlaw.INSIDE_CLAMP, number, end, half, pack.clamp / 2)
        if half > longest + 1e-9:
            raise ImpossiblePack(PackFlaw.TOO_LONG, number, end, half, longest)


@dataclass(frozen=True)
class Cut:
    """One line of the cutting list.

    Parameters
    ----------
    number
        Of the leaf, the main leaf is 1.
    thickness, width
        Of the bar [mm].
    front, rear, length
        From the bolt hole to each end, and over all [mm]; the main leaf is given eye to eye, what
        its eyes take to roll comes on top.
    mass
        [kg], for uniform bar; two thirds of it for a parabolic leaf.
    count
        Pieces, for both springs of the car.
    clipped, eyes
        Whether it has clips, and whether it has the eyes.
    """

    number: int
    thickness: float
    width: float
    front: float
    rear: float
    length: float
    mass: float
    count: int
    clipped: bool
    eyes: bool


STEEL_DENSITY = 7.85e-6
"""Of spring steel [kg/mm³] (common practice, no source)."""


def cutting_list(pack: LeafPack, density: float = STEEL_DENSITY) -> tuple[Cut, ...]:
    """List what has to be cut for the two springs of a car.

    Parameters
    ----------
    pack
        One spring.
    density
        [kg/mm³].
    """
    return tuple(_cut(pack, i, leaf, density) for i, leaf in enumerate(pack.leaves, start=1))


def _cut(pack: LeafPack, number: int, leaf: Leaf, density: float) -> Cut:
    length = leaf.front + leaf.rear
    mass = density * pack.width * leaf.thickness * length * (2 / 3 if leaf.parabolic else 1.0)
    return Cut(
        number=number,
        thickness=leaf.thickness,
        width=pack.width,
        front=leaf.front,
        rear=leaf.rear,
        length=length,
        mass=mass,
        count=2,
        clipped=leaf.clipped,
        eyes=number == 1,
    )

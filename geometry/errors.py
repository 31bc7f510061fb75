"""What can't be built or reached, as values: numbers and the setup's keys, never a sentence.

Lengths are in mm, angles in rad, forces in N. A key without a side, "front.lower_ball", is either
side's. Whoever shows an error words it in the units of the one who reads it.
"""

from __future__ import annotations

from enum import Enum, auto

from geometry.dataclass import dataclass


class GeometryError(ValueError):
    """Base of every error of the kernel that a user's geometry can cause."""

    @property
    def keys(self) -> tuple[str, ...]:
        """Setup keys of what has to be looked at; none where no single value is to blame."""
        return ()

    def __str__(self) -> str:
        """Return the class and its numbers, for developers."""
        return repr(self)


class Flaw(Enum):
    """Why two points can't stand as they do."""

    NO_PIVOT_LINE = auto()  # in one place
    NO_KINGPIN = auto()  # in one place
    NO_TIE_ROD = auto()  # in one place
    NO_SHACKLE = auto()  # in one place
    NOTHING_HANGS = auto()  # in one place: a shackle's pin in the spring's fixed eye
    AGAINST = auto()  # as the arm rises, the wheel falls
    NO_COMMON_HEIGHT = auto()  # not to be brought to the measured height together
    NO_ROOM = auto()  # for the clamp between the eyes
    CANT_RISE = auto()  # from where the axle is
    NEVER_CARRIES = auto()  # the spring finds no height at which it carries its load


@dataclass(frozen=False)
class DegenerateGeometry(GeometryError):
    """Points that define nothing: two pivots in one place, an axle that can't rise.

    Parameters
    ----------
    first, second
        Keys of the two points.
    flaw
        Why they can't define anything.
    """

    first: str
    second: str
    flaw: Flaw

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the two points."""
        return self.first, self.second


@dataclass(frozen=False)
class OnOneLine(GeometryError):
    """Three points on one line that must span something.

    Parameters
    ----------
    point
        Key of the point that has to stand off the line.
    start, end
        Keys of the two points that the line goes through.
    """

    point: str
    start: str
    end: str

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the three points."""
        return self.point, self.start, self.end


@dataclass(frozen=False)
class TooFarApart(GeometryError):
    """Two points of one suspension out of all proportion, or nowhere.

    Parameters
    ----------
    first, second
        Keys of the two points.
    most
        Distance that they are further apart than [mm].
    """

    first: str
    second: str
    most: float

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the two points."""
        return self.first, self.second


@dataclass(frozen=False)
class Unreachable(GeometryError):
    """A pose that the linkage can't take.

    Parameters
    ----------
    first, second
        Keys of the two points that can't be brought to their distance.
    wanted
        Distance that the part between them needs [mm].
    available
        Nearest distance that they can take there [mm].
    travel
        Wheel travel asked for [mm], + in bump.
    limit
        Wheel travel at which it starts [mm], None when no travel is reachable.
    rack
        Steer asked for [mm], + to the car's left.
    """

    first: str
    second: str
    wanted: float
    available: float
    travel: float
    limit: float | None = None
    rack: float = 0.0

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the two points."""
        return self.first, self.second


@dataclass(frozen=False)
class LegsDontMeet(GeometryError):
    """Pivots of one arm so far apart, or so close, that its two legs can't meet at the ball joint.

    Parameters
    ----------
    first, second
        Keys of the arm's front and rear pivot.
    wanted
        Nearest distance between the pivots at which the legs meet [mm].
    available
        Distance between the pivots [mm].
    """

    first: str
    second: str
    wanted: float
    available: float

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the arm's two pivots."""
        return self.first, self.second


@dataclass(frozen=False)
class AxleUnreachable(GeometryError):
    """A pose that the links can't take without being stretched beyond reason.

    Parameters
    ----------
    first, second
        Keys of the ends of the link that strains most.
    wanted
        Length of the link [mm].
    available
        Distance that its ends would have [mm].
    travel
        Rise of the axle asked for [mm], + in bump.
    roll
        Body roll asked for [rad], + to the right.
    """

    first: str
    second: str
    wanted: float
    available: float
    travel: float
    roll: float = 0.0

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the link's two ends."""
        return self.first, self.second


@dataclass(frozen=False)
class AxlePoseRefused(GeometryError):
    """A pose that the links' solver doesn't find, though no link strains too much.

    Parameters
    ----------
    travel
        Rise of the axle asked for [mm], + in bump.
    roll
        Body roll asked for [rad], + to the right.
    """

    travel: float
    roll: float


@dataclass(frozen=False)
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
        Distance between its two ends there [mm].
    """

    travel: float
    limit: float
    shackle: float
    needed: float

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the shackle's two ends."""
        return "rear.rear_eye", "rear.shackle_body"


class FreeMotion(Enum):
    """A motion of the axle, beside rise and roll, that stretches no link."""

    FORE_AND_AFT = auto()
    SIDEWAYS = auto()
    STEER = auto()
    PINION_ANGLE = auto()


@dataclass(frozen=False)
class LinksLoose(GeometryError):
    """Links that leave the axle a free motion beside rise and roll.

    Parameters
    ----------
    motion
        The free one.
    """

    motion: FreeMotion


@dataclass(frozen=False)
class NoUpperLink(GeometryError):
    """An axle on links with none above: nothing holds it against its own torque."""

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the upper link's ends."""
        return "rear.upper_body", "rear.upper_axle"


@dataclass(frozen=False)
class CoilsNeverCarry(GeometryError):
    """Coils that find no height at which they carry their load.

    Parameters
    ----------
    load
        On both wheels [N].
    """

    load: float

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the coil's values."""
        return "rear.spring.rate", "rear.spring.free_length"


class PackFlaw(Enum):
    """Why a pack can't be built."""

    NO_LEAF = auto()
    NO_SECTION = auto()  # no width or no modulus
    CLAMP = auto()  # below zero
    NO_RATE = auto()  # none that can be worked out
    HELPER_ON_TOP = auto()  # the main leaf has a contact
    THICKNESS = auto()  # zero or less
    CONTACT = auto()  # below zero
    INSIDE_CLAMP = auto()  # a half that ends there
    TOO_LONG = auto()  # a half longer than the main leaf's


_PACK_KEYS = {
    PackFlaw.NO_SECTION: ("rear.pack.width", "rear.pack.modulus"),
    PackFlaw.CLAMP: ("rear.pack.clamp_length",),
    PackFlaw.NO_RATE: ("rear.pack.leaf", "rear.pack.modulus"),
}


@dataclass(frozen=False)
class ImpossiblePack(GeometryError):
    """A pack that can't be built.

    Parameters
    ----------
    flaw
        What is wrong.
    leaf
        Number of the leaf, the main leaf is 1; 0 for the pack as a whole.
    field
        Name of the leaf's value that is wrong: "thickness", "contact", "front" or "rear".
    value
        That value, or the clamp's length [mm].
    bound
        What the value has to pass, or may not pass [mm].
    """

    flaw: PackFlaw
    leaf: int = 0
    field: str = ""
    value: float = 0.0
    bound: float = 0.0

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the pack's values; leaves have one together."""
        return _PACK_KEYS.get(self.flaw, ("rear.pack.leaf",))

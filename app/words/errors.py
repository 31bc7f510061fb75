"""What the kernel can't build or reach, said in the units shown and with the points' titles."""

from __future__ import annotations

from dataclasses import field
from math import isfinite
from typing import Final

from app.document.model import Units
from app.document.named_lines import Address
from app.document.plain_text import lower_first
from app.document.point_names import Evidence, point_title, point_words
from app.document.units import format_value
from app.words.pack_errors import pack_words
from geometry.dataclass import dataclass
from geometry.errors import (
    AxlePoseRefused,
    AxleUnreachable,
    CoilsNeverCarry,
    DegenerateGeometry,
    Flaw,
    FreeMotion,
    GeometryError,
    ImpossiblePack,
    LegsDontMeet,
    LinksLoose,
    NoUpperLink,
    OnOneLine,
    ShackleOutOfReach,
    TooFarApart,
    Unreachable,
)

_FLAWS: Final = {
    Flaw.NO_PIVOT_LINE: "are in one place, so they are no pivot line",
    Flaw.NO_KINGPIN: "are in one place, so there is no kingpin axis",
    Flaw.NO_TIE_ROD: "are in one place, so there is no tie rod",
    Flaw.NO_SHACKLE: "are in one place: give the shackle",
    Flaw.NOTHING_HANGS: "are in one place: no shackle hangs from the front eye",
    Flaw.AGAINST: "move against each other: as the arm rises, the wheel falls",
    Flaw.NO_COMMON_HEIGHT: "can't be brought to the measured height together",
    Flaw.NO_ROOM: "leave no room for the clamp between the eyes",
    Flaw.CANT_RISE: "stand so that the axle can't rise from where it is",
    Flaw.NEVER_CARRIES: "stand so that the spring finds no height at which it carries its load",
}
_MOTIONS: Final = {
    FreeMotion.FORE_AND_AFT: "fore and aft",
    FreeMotion.SIDEWAYS: "sideways",
    FreeMotion.STEER: "in steer",
    FreeMotion.PINION_ANGLE: "in pinion angle",
}

_ARMS: Final = {"front.upper_front": "Upper arm", "front.lower_front": "Lower arm"}


@dataclass(frozen=True, slots=True)
class _Units:
    """How numbers and points are said."""

    units: Units
    decimal: str
    evidence: Evidence = field(default_factory=dict)  # of the car whose points are named

    def point(self, key: str) -> str:
        """Return a point's title inside a sentence."""
        return point_words(key, self.evidence)

    def pair(self, first: str, second: str) -> str:
        """Return two points by their titles: "Upper ball joint and lower ball joint"."""
        return f"{point_title(first, self.evidence)} and {self.point(second)}"

    def length(self, value: float) -> str:
        return format_value(value, "length", self.units, decimal=self.decimal)

    def travel(self, value: float) -> str:
        return format_value(value, "length", self.units, decimal=self.decimal, plus=True)

    def roll(self, value: float) -> str:
        return format_value(value, "angle", self.units, decimal=self.decimal, plus=True)

    def force(self, value: float) -> str:
        return format_value(value, "force", self.units, decimal=self.decimal)


def geometry_words(
    error: GeometryError, units: Units, decimal: str = ".", evidence: Evidence | None = None
) -> str:
    """Return the sentence for an error of the geometry; `evidence` is of the car it is about."""
    say = _Units(units, decimal, evidence or {})
    match error:
        case DegenerateGeometry():
            return f"{say.pair(error.first, error.second)} {_FLAWS[error.flaw]}."
        case OnOneLine():
            points = say.pair(error.point, error.start)
            return f"{points} lie on one line with {say.point(error.end)}."
        case TooFarApart():
            return _far_words(error, say)
        case Unreachable():
            return _unreachable_words(error, say)
        case LegsDontMeet():
            return _legs_words(error, say)
        case ShackleOutOfReach():
            return _shackle_words(error, say)
        case ImpossiblePack():
            return pack_words(error, units, decimal)
    return _link_axle_words(error, say)


def error_keys(error: GeometryError | None) -> tuple[str, ...]:
    """Return the setup keys of what an error names: its points, or the values of the pack."""
    return () if error is None else error.keys


def error_addresses(error: GeometryError) -> tuple[Address, ...]:
    """Return where in a setup what an error names stands: its keys, a leaf down to its field."""
    if isinstance(error, ImpossiblePack) and error.leaf:
        return tuple((key, error.leaf - 1, error.field) for key in error.keys)
    return tuple((key,) for key in error.keys)


def _link_axle_words(error: GeometryError, say: _Units) -> str:
    """Return the sentence for what only an axle on links can't do."""
    match error:
        case AxleUnreachable():
            return _axle_words(error, say)
        case AxlePoseRefused(travel, roll):
            pose = f"{say.travel(travel)} of travel with {say.roll(roll)} of roll"
            return f"The links can't take this pose: {pose}."
        case LinksLoose(motion):
            return (
                f"The links leave the axle free to move {_MOTIONS[motion]}. Check that the upper "
                f"links stand away from the lower ones and that the lateral link lies across the "
                f"car."
            )
        case NoUpperLink():
            return (
                "Both upper links are missing, so nothing holds the axle against its own torque. "
                "Give at least one."
            )
        case CoilsNeverCarry(load):
            return (
                f"The coils find no height at which they carry {say.force(load)}: check their "
                f"rates and free lengths."
            )
    raise NotImplementedError(f"no words for {error!r}")


def _far_words(error: TooFarApart, say: _Units) -> str:
    most = "a kilometre" if say.units == "mm" else say.length(error.most)
    return f"{say.pair(error.first, error.second)} are over {most} apart."


def _unreachable_words(error: Unreachable, say: _Units) -> str:
    gap, limit = error.available - error.wanted, error.limit
    points = say.pair(error.first, error.second)
    if limit is not None and abs(gap) < 0.05:
        return (
            f"{say.travel(error.travel)} of travel is out of reach: the arms come to the end of "
            f"theirs at {say.travel(limit)} ({lower_first(points)}, "
            f"{say.length(error.wanted)} apart)."
        )
    where = "at the measured height" if limit is None else f"at {say.travel(error.travel)}"
    if error.rack:
        side = "left" if error.rack > 0 else "right"
        where = f"{where}, steered {say.length(abs(error.rack))} to the {side}"
    if not isfinite(gap):
        length = say.length(error.wanted)
        return f"{points} find no place {where}: the part between them is {length} long."
    start = "" if limit is None else f" It starts at {say.travel(limit)} of travel."
    word = "too far apart" if gap > 0 else "too close together"
    return (
        f"{points} are {say.length(abs(gap))} {word} {where}: the part between them is "
        f"{say.length(error.wanted)} long and the nearest they come to that is "
        f"{say.length(error.available)}.{start}"
    )


def _legs_words(error: LegsDontMeet, say: _Units) -> str:
    far = error.available > error.wanted
    only, most = ("", "at most") if far else ("only ", "at least")
    return (
        f"{_ARMS[error.first]}: its front and rear legs can't meet at the ball joint. "
        f"{say.pair(error.first, error.second)} are {only}{say.length(error.available)} apart, and "
        f"the legs need {most} {say.length(error.wanted)}: move a pivot back, or make new parts "
        f"to fit."
    )


def _axle_words(error: AxleUnreachable, say: _Units) -> str:
    points = lower_first(say.pair(error.first, error.second))
    return (
        f"The axle can't go to {say.travel(error.travel)} with {say.roll(error.roll)} of roll: "
        f"{points} would be {say.length(error.available)} apart, and the link between them is "
        f"{say.length(error.wanted)} long. Move a link's end, or ask for less."
    )


def _shackle_words(error: ShackleOutOfReach, say: _Units) -> str:
    return (
        f"The axle stops at {say.travel(error.limit)} of travel: the shackle has swung too far "
        f"towards the line of the spring. At {say.travel(error.travel)} its two ends would be "
        f"{say.length(error.needed)} apart, and it is {say.length(error.shackle)} long: move its "
        f"body pin, or make it longer."
    )

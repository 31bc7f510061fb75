"""Which points of the body are holes that a shop drills anew, and which go on one template."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, Literal

from app.document.model import Setup
from app.document.point_names import point_title
from geometry.dataclass import dataclass

Face = Literal["lengthwise", "across", "level"]
AS_OLD: Final = "Size of the holes: as the old ones; measure those."
BOLT: Final = "rear.links.bolt_diameter"


@dataclass(frozen=True)
class Drilled:
    """Points of the body, one or a pair, that one template is for, by their left-hand keys.

    Parameters
    ----------
    keys
        Of the setup; of a pair the front one first.
    title
        What the template is called.
    names
        What each point is called on it; of one alone empty.
    face
        The plane in which the metal of such a mount usually lies: upright along the car or across
        it, or level (common practice, no source).
    is_hole
        Whether the point is the middle of the hole itself. Of a rack or a steering box it isn't:
        the holes of its bolts move as it does.
    has_size
        Whether the setup's one hole size is meant for it: that is of the front arms' pivots.
    is_new
        Whether the car as found hasn't got it: a mount of an axle that will be fitted.
    far_end
        The point at the other end of its part, empty where there is none.
    has_bolt
        Whether a new one is for a bolt of the links, whose size the setup may give.
    """

    keys: tuple[str, ...]
    title: str
    names: tuple[str, ...]
    face: Face
    is_hole: bool = True
    has_size: bool = False
    is_new: bool = False
    far_end: str = ""
    has_bolt: bool = False


def lone(
    setup: Setup,
    key: str,
    face: Face = "lengthwise",
    *,
    is_hole: bool = True,
    has_size: bool = False,
) -> Drilled:
    """Return what is drilled at a point by itself; it is called what the point is."""
    return Drilled((key,), point_title(key, setup.evidence), ("",), face, is_hole, has_size)


def link_end(setup: Setup, key: str, far_end: str, face: Face, is_new: bool) -> Drilled:
    """Return what is drilled for one end of a link."""
    return replace(lone(setup, key, face), is_new=is_new, far_end=far_end, has_bolt=True)

"""A text as it was typed into a field, and where it counts from."""

from __future__ import annotations

from app.document.model import Units
from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Base:
    """Where one axis is measured from: its usual zero, another point, or a plane of one's own."""

    point: str = ""  # the other point's key
    plane: str = ""  # the plane's name, as "lower face of the chassis leg"
    offset: str = ""  # where the plane is, as typed
    is_plane: bool = False
    is_across: bool = False  # the whole width to the same point on the right: half of it counts


@dataclass(frozen=True, slots=True)
class TypedText:
    """A text as typed, in the units that were shown then; switching back shows it unchanged."""

    text: str
    units: Units = "mm"
    base: Base = Base()

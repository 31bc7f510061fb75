"""What a point is called on a car: one name in window, guide, sheet, tables and errors."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from app.document.address import is_right, left_of
from app.document.keys import KEYS
from app.document.model import Value
from app.document.plain_text import lower_first

Evidence = Mapping[str, Value]

_ROD: Final = ("front.lower_arm", "link and strut rod")
_OF_ROD: Final = {"front.lower_front": "strut rod", "front.lower_rear": "lateral link"}


def point_title(key: str, evidence: Evidence) -> str:
    """Return a key's title; a point of a link and a strut rod is called after the part it holds."""
    part = point_part(key, evidence)
    if not part:
        return KEYS[key].title
    side = ", right" if is_right(key) else ""
    return f"{part[0].upper()}{part[1:]}, body bush{side}"


def point_words(key: str, evidence: Evidence) -> str:
    """Return a key's title as it stands inside a sentence."""
    return lower_first(point_title(key, evidence))


def workshop_words(key: str, evidence: Evidence) -> str:
    """Return a point, and its like on the other side, in a sentence to the shop."""
    part = point_part(key, evidence)
    return f"the {part}'s body bush" if part else KEYS[key].workshop


def are_two_bushes(keys: Iterable[str], evidence: Evidence) -> bool:
    """Tell whether points that elsewhere are one arm's pivots hold a strut rod and a link here."""
    parts = {point_part(key, evidence) for key in keys}
    return parts == set(_OF_ROD.values())


def point_part(key: str, evidence: Evidence) -> str:
    """Return the part of a link and a strut rod that a point holds; empty for any other point."""
    return _OF_ROD.get(left_of(key), "") if evidence.get(_ROD[0]) == _ROD[1] else ""

"""The parts of the guide, one a system of the car: the only place that lists them."""

from __future__ import annotations

from typing import Final

from app.document.ends import end_of
from app.entry.front.part import FrontPart
from app.entry.part import GuidePart
from app.entry.rear.part import RearPart
from app.entry.typed import Draft

PARTS: Final[tuple[GuidePart, ...]] = (FrontPart(), RearPart())
_BY_END: Final = {part.system.key: part for part in PARTS}


def part_of(key: str) -> GuidePart | None:
    """Return the part that a key or a step belongs to, None for one of the whole car."""
    return _BY_END.get(end_of(key)) or next((part for part in PARTS if key in part.lessons), None)


def given_parts(draft: Draft) -> tuple[GuidePart, ...]:
    """Return the parts whose systems are being measured."""
    return tuple(part for part in PARTS if part.gives(draft))


def purposes_of(key: str) -> str:
    """Return which results a value of the whole car is for, in words."""
    return ", ".join(dict.fromkeys(filter(None, (part.purposes(key) for part in PARTS))))

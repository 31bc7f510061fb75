"""What parts of a car take up, as envelopes, and how near two of them may come to each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from app.document.ends import BODY, key_in
from geometry.dataclass import dataclass

Place = tuple[float, float, float]

CAPSULE: Final = "capsule"
CYLINDER: Final = "cylinder"
BOX: Final = "box"
TYRE: Final = "tyre"
EDGE: Final = "edge"
KINDS: Final = (CAPSULE, CYLINDER, BOX, TYRE, EDGE)
WIDEST_GAP: Final = 500.0  # that anybody asks for [mm]
SIDES: Final = ("both", "left", "right")


@dataclass(frozen=True, slots=True)
class Envelope:
    """What a part takes up: a line from one end to the other with a size about it, in mm.

    An end is a point of the car by its left-hand key, and goes where that goes, on the right where
    the right-hand one goes; or coordinates as measured on the left, on the right alone for `side`
    "right", which go with the part `moves_with`. A tyre is about its wheel centre and has no
    ends; of one, what isn't given is as the file has it. An edge is where the metal ends that
    holes are drilled in.
    """

    end: str  # of the car
    name: str
    kind: str
    start: str | Place = ""
    finish: str | Place = ""
    radius: float | None = None
    width: float | None = None
    height: float | None = None
    moves_with: str = BODY
    side: str = "both"

    @property
    def points(self) -> Iterator[str]:
        """The keys of the points that it ends at."""
        return (place for place in (self.start, self.finish) if isinstance(place, str) and place)


@dataclass(frozen=True, slots=True)
class Clearance:
    """Two envelopes of one end of the car, and how near they may come, in mm; None: untold."""

    end: str  # of the car
    between: tuple[str, str]
    at_least: float | None = None
    by: str = ""


def built_in(end: str, values: Mapping[str, object]) -> tuple[Envelope, ...]:
    """Return the envelopes that an end has without being told: the tyre, of a known width."""
    if all(key_in(end, name) in values for name in ("tyre_width", "tyre_radius")):
        return (Envelope(end, TYRE, TYRE),)
    return ()


def envelopes_by_name(
    end: str, envelopes: tuple[Envelope, ...], values: Mapping[str, object]
) -> dict[str, Envelope]:
    """Return every envelope of an end by its name; the file's own come before built-in ones."""
    own = [envelope for envelope in envelopes if envelope.end == end]
    return {envelope.name: envelope for envelope in (*built_in(end, values), *own)}


def can_stand(envelope: Envelope, values: Mapping[str, object]) -> bool:
    """Tell whether all is measured that an envelope hangs on."""
    if envelope.kind == TYRE:
        return envelope.width is not None or key_in(envelope.end, "tyre_width") in values
    return all(key in values for key in envelope.points)

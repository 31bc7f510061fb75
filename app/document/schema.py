"""The description of a setup key: its place, kind of quantity, words, and when it is needed."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.plain_text import lower_first
from app.document.quantities import QUANTITIES
from geometry.dataclass import dataclass

Range = tuple[float, float]
LEAF_KINDS: Final = {  # of the fields of a leaf, named as in the model
    "thickness": "length",
    "front": "length",
    "rear": "length",
    "clipped": "switch",
    "contact": "length",
    "nip": "length",
    "taper": "choice",
    "modulus": "stress",
    "limit_stress": "stress",
    "note": "text",
}
LEAF_USUAL: Final[dict[str, Range]] = {  # common practice, no source
    "thickness": (2.5, 16.0),
    "front": (60.0, 1000.0),
    "rear": (60.0, 1200.0),
    "contact": (-100.0, 150.0),
    "nip": (0.0, 40.0),
    "modulus": (2e4, 2.2e5),
    "limit_stress": (200.0, 1800.0),
}
LEAF_WITHIN_USUAL: Final[dict[str, Range]] = {  # how well a leaf's numbers are read; no source
    "thickness": (0.01, 1.0),
    "front": (0.1, 10.0),
    "rear": (0.1, 10.0),
    "contact": (0.5, 20.0),
    "nip": (0.1, 5.0),
    "modulus": (100.0, 2e4),
    "limit_stress": (5.0, 200.0),
}
MAIN_LEAF_USUAL: Final[dict[str, Range]] = {"front": (300.0, 1000.0), "rear": (300.0, 1200.0)}
TAPERS: Final = ("none", "parabolic")
HALVES: Final = ("front", "rear")  # of a leaf, from its centre bolt
EVERY: Final = frozenset({"double wishbone", "leaf axle", "five-link axle"})
FRONT: Final = frozenset({"double wishbone"})
LEAF: Final = frozenset({"leaf axle"})
LINKS: Final = frozenset({"five-link axle"})
REAR: Final = LEAF | LINKS


@dataclass(frozen=True, slots=True)
class Key:
    """One key: everything the file, the panels and the questions need to know about it.

    `needs` says when the key must be there: () never; ("front.spring",) as soon as anything
    under that name is given; ("front.kind", "double wishbone") when that key has that value.
    `pair` is the other end of the part that this point is one end of: neither goes without.
    `usual` (inside units; for points one pair per axis) only leads to questions, `over`, `least`
    and `most` are faults. `torsion` is the kind of quantity when the spring is a torsion bar, and
    `torsion_usual` what is usual then.
    """

    name: str
    kind: str  # of quantity, or "point", "direction", "text", "date", "choice", "leaves"
    title: str
    purpose: str = ""
    fits: frozenset[str] = EVERY
    needs: tuple[str, ...] = ()
    usual: Range | tuple[Range, Range, Range] | None = None
    over: float | None = None
    least: float | None = None
    most: float | None = None
    choices: tuple[str, ...] = ()
    torsion: str = ""
    torsion_usual: Range | None = None
    on_part: bool = False  # a point on an arm, knuckle or axle, not on the body
    settable: bool = True  # by a change
    pair: str = ""
    short: str = ""  # how a change's name begins: "Spring" 55 N/mm
    workshop: str = ""  # a point, and its like on the other side, in a sentence to the shop

    @property
    def place(self) -> tuple[str, ...]:
        """Return the path in the file: points live in tables of their own."""
        parts = tuple(self.name.split("."))
        if self.kind != "point":
            return parts
        if parts[1] == "right":
            return (parts[0], "points_right", *parts[2:])
        return (parts[0], "points", *parts[1:])

    @property
    def in_sentence(self) -> str:
        """The title as it stands inside a sentence."""
        return lower_first(self.title)

    @property
    def is_number(self) -> bool:
        """Tell whether the value is one number with a unit."""
        return self.kind in QUANTITIES


def point(
    name: str,
    title: str,
    workshop: str,
    purpose: str,
    fits: frozenset[str],
    usual: tuple[Range, Range, Range],
    needs: tuple[str, ...] = (),
    on_part: bool = False,
    pair: str = "",
) -> Key:
    """Return the row of a point; `usual` holds x, y and z."""
    row = Key(name, "point", title, purpose, fits, needs, usual, on_part=on_part, pair=pair)
    return replace(row, workshop=workshop)

"""What a result is: its names, its kind of quantity, what its signs mean, and who says so.

A *wheel* result has a value per wheel (arrays of shape (2, n)), an *axle* result one per pose
(n,), a *car* result one per study. Kinds are quantities: "length" is mm inside, "angle" rad,
"angle per length" rad/mm, "spring rate" N/mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Scope = Literal["wheel", "axle", "car"]


@dataclass(frozen=True)
class Result:
    """One result of the front: what it is called, what + means, what it is and who says so.

    Parameters
    ----------
    key
        Its name everywhere in code; with the kind's suffix its name in machine-readable output.
    title
        Words for people.
    kind
        Kind of quantity, as in the setup's units.
    scope
        Per wheel, per axle or once.
    group
        Head under which panels and sheet show it.
    plus, minus
        What a positive and a negative value mean, in words.
    definition, source
        What it is; where that comes from.
    needs
        Setup keys without which it doesn't exist.
    decimals
        Digits after the point in mm and degrees.
    """

    key: str
    title: str
    kind: str
    scope: Scope
    group: str
    plus: str
    minus: str
    definition: str
    source: str
    needs: tuple[str, ...] = ()
    decimals: int = 2


SUFFIX: Final = {
    "length": "_mm",
    "angle": "_deg",
    "angle per length": "_deg_per_mm",
    "length per length": "_mm_per_mm",
    "spring rate": "_n_per_mm",
    "force": "_n",
    "torque": "_n_m",
    "percent": "_percent",
    "frequency": "_hz",
    "ratio": "",
    "stress": "_n_per_mm2",
    "torsional rate": "_n_m_per_deg",
}
"""Unit suffix of machine-readable names, by kind."""

ANGLES: Final = "Wheel angles"
MOVING: Final = "As the wheel moves"
CENTRES: Final = "Centres"
GROUND: Final = "On the ground"
LEANING: Final = "Body roll and steer"
SPRING: Final = "Spring and ride"
JOINTS: Final = "Joints"


def machine_name(result: Result) -> str:
    """Return the result's name with its unit, as in machine-readable output."""
    return result.key + SUFFIX[result.kind]

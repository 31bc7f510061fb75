"""Why a leaf pack can't be built, said in the units shown."""

from __future__ import annotations

from typing import Final

from app.document.model import Units
from app.document.units import format_value
from geometry.errors import ImpossiblePack, PackFlaw

_FINE: Final = 2  # decimals of a thickness in mm


def pack_words(error: ImpossiblePack, units: Units, decimal: str = ".") -> str:
    """Return the sentence for a pack that can't be: what is wrong, and what to do."""
    who = f"Leaf {error.leaf}" if error.leaf else "The pack"
    return f"{who} {_flaw_words(error, units, decimal)}."


def _flaw_words(error: ImpossiblePack, units: Units, decimal: str) -> str:
    def length(size: float, places: int | None = None) -> str:
        return format_value(size, "length", units, decimal=decimal, places=places)

    value, bound = length(error.value), length(error.bound)
    match error.flaw:
        case PackFlaw.NO_LEAF:
            return "has no leaf: give at least the main leaf"
        case PackFlaw.NO_SECTION:
            return "needs a width and a modulus above zero"
        case PackFlaw.CLAMP:
            return f"has a clamp of {value}: zero or more is needed"
        case PackFlaw.NO_RATE:
            return "has no rate that can be worked out: check its leaves and modulus"
        case PackFlaw.HELPER_ON_TOP:
            return "is the main leaf and can't be a helper: take its contact away"
        case PackFlaw.THICKNESS:
            fine = length(error.value, _FINE if units == "mm" else None)
            return f"is {fine} thick: more than zero is needed"
        case PackFlaw.CONTACT:
            return f"has a contact travel of {value}, below zero"
        case PackFlaw.INSIDE_CLAMP:
            return (
                f"ends {value} from the bolt at the {error.field}, inside the clamp ({bound}): "
                f"lengthen it, or leave it out"
            )
        case PackFlaw.TOO_LONG:
            longest = f"longer than the main leaf's {bound}"
            return f"is {value} long at the {error.field}, {longest}"

"""How near to its place a hole must be drilled, in words."""

from __future__ import annotations

from app.document.model import Units
from app.document.units import number_of, unit_of


def drill_words(within: float, units: Units, decimal: str = ".") -> str:
    """Say within what each new hole must be drilled; 0 where that helps no more [mm]."""
    if within == 0.0:
        return (
            "Drill within: as it was measured the car doesn't keep all its limits with 95 %, "
            "however well it is drilled. Measure again first."
        )
    places = 1 if units == "mm" else 2
    text = number_of(_down(within, units, places), "length", units, decimal=decimal, places=places)
    return (
        f"Drill within {text} {unit_of('length', units)} in every direction: then all limits are "
        "kept with 95 %."
    )


def _down(within: float, units: Units, places: int) -> float:
    """Round down to what is shown, so that what is promised holds [mm]."""
    step = 10.0**-places * (1.0 if units == "mm" else 25.4)
    return max(within // step, 1.0) * step

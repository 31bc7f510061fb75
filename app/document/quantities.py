"""The kinds of quantity a setup holds, and what a number of the file is worth inside.

Inside: mm, N, kg, rad and what they make (N/mm, N·mm, N·mm/rad, kg·mm², N/mm²). The factors are
exact definitions (international yard and pound, 1959; standard gravity, 3rd CGPM 1901); a test
compares them with scipy.constants, whose import would cost 80 ms of every start. A gain per mm is
too small to be read: it is typed and shown over about an inch, 25 mm or 1 in.
"""

from __future__ import annotations

from math import pi
from typing import Final

from app.document.model import Units
from geometry.dataclass import dataclass

INCH: Final = 25.4  # mm
FOOT: Final = 12 * INCH  # mm
POUND: Final = 0.45359237  # kg
POUND_FORCE: Final = 0.45359237 * 9.80665  # N
DEGREE: Final = pi / 180.0  # rad
GAIN_OVER: Final = 25.0  # mm of travel, in a file in mm


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of quantity: its unit and factor to inside units, in a file in mm and in inches."""

    kind: str
    mm_unit: str
    mm_factor: float
    inch_unit: str
    inch_factor: float

    def unit(self, units: Units) -> str:
        """Return the unit's sign in a file of these units."""
        return self.mm_unit if units == "mm" else self.inch_unit

    def factor(self, units: Units) -> float:
        """Return what the file's number is multiplied by to get the value inside."""
        return self.mm_factor if units == "mm" else self.inch_factor


_ROWS: Final = (
    Quantity("length", "mm", 1.0, "in", INCH),
    Quantity("angle", "°", DEGREE, "°", DEGREE),
    Quantity("mass", "kg", 1.0, "lb", POUND),
    Quantity("force", "N", 1.0, "lbf", POUND_FORCE),
    Quantity("spring rate", "N/mm", 1.0, "lbf/in", POUND_FORCE / INCH),
    Quantity("torque", "N·m", 1000.0, "lbf·ft", POUND_FORCE * FOOT),
    Quantity("torsional rate", "N·m/°", 1000.0 / DEGREE, "lbf·ft/°", POUND_FORCE * FOOT / DEGREE),
    Quantity("damping", "N·s/mm", 1.0, "lbf·s/in", POUND_FORCE / INCH),
    Quantity("inertia", "kg·m²", 1e6, "lb·ft²", POUND * FOOT**2),
    Quantity("stress", "N/mm²", 1.0, "lbf/in²", POUND_FORCE / INCH**2),
    Quantity("angle per length", "°/25 mm", DEGREE / GAIN_OVER, "°/in", DEGREE / INCH),
    Quantity("length per angle", "mm/°", 1.0 / DEGREE, "in/°", INCH / DEGREE),
    Quantity("length per length", "mm/25 mm", 1.0 / GAIN_OVER, "in/in", 1.0),
    Quantity("angle per angle", "°/°", 1.0, "°/°", 1.0),
    Quantity("per length", "1/mm", 1.0, "1/in", 1.0 / INCH),
    Quantity("acceleration", "g", 1.0, "g", 1.0),
    Quantity("frequency", "Hz", 1.0, "Hz", 1.0),
    Quantity("percent", "%", 1.0, "%", 1.0),
    Quantity("ratio", "", 1.0, "", 1.0),
    Quantity("plain", "", 1.0, "", 1.0),  # a number whose kind isn't known: kept as typed
)
QUANTITIES: Final = {row.kind: row for row in _ROWS}


def to_inside(number: float, kind: str, units: Units) -> float:
    """Return the value inside of a number in the file's units."""
    return number * QUANTITIES[kind].factor(units)


def from_inside(value: float, kind: str, units: Units) -> float:
    """Return the number in the file's units of a value inside."""
    return value / QUANTITIES[kind].factor(units)

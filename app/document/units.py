"""Numbers as people read them: unit, decimals, decimal sign, minus sign, fractions of an inch."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from functools import cache, lru_cache
from math import copysign, floor, gcd
from typing import Final

from app.document.model import Units, Vec
from app.document.quantities import INCH, QUANTITIES
from app.document.toml_text import number_text
from geometry.dataclass import dataclass

MINUS: Final = "−"
NO_VALUE: Final = "–"
BEYOND: Final = 1e15  # what has more digits than that means nothing on a car
_FRACTION: Final = 32  # of an inch: what a shop's rule shows
_ON_THE_LINE: Final = 0.0005  # in; how near a value must be to be said as a fraction


@dataclass(frozen=True, slots=True)
class Shown:
    """How a kind of quantity is shown in one system: unit, its size inside, decimals."""

    unit: str
    size: float
    places: int


_PLACES: Final = {  # kind: decimals in mm and in inches
    "length": (1, 3),
    "angle": (2, 2),
    "mass": (1, 1),
    "force": (0, 0),
    "spring rate": (1, 1),
    "torque": (1, 1),
    "torsional rate": (2, 2),
    "damping": (2, 1),
    "inertia": (2, 1),
    "stress": (0, 0),
    "angle per length": (3, 3),
    "length per angle": (2, 3),
    "length per length": (2, 4),
    "per length": (5, 4),
    "angle per angle": (3, 3),
    "acceleration": (2, 2),
    "frequency": (2, 2),
    "percent": (1, 1),
    "ratio": (3, 3),
    "plain": (3, 3),
}


@cache
def shown(kind: str, units: Units) -> Shown:
    """Return how a kind of quantity is shown in these units."""
    quantity = QUANTITIES[kind]
    places = _PLACES[kind][0 if units == "mm" else 1]
    return Shown(quantity.unit(units), quantity.factor(units), places)


def unit_of(kind: str, units: Units) -> str:
    """Return the unit's sign as shown beside a column of values."""
    return shown(kind, units).unit


@lru_cache(maxsize=4096)
def number_of(
    value: float,
    kind: str,
    units: Units,
    *,
    decimal: str = ".",
    places: int | None = None,
    plus: bool = False,
) -> str:
    """Return a value as a number in the shown unit, without the unit.

    One that is beyond all sense is as good as infinite, and isn't shown.
    """
    how = shown(kind, units)
    if not abs(value / how.size) < BEYOND:
        return NO_VALUE
    step = Decimal(1).scaleb(-(how.places if places is None else places))
    number = Decimal(f"{value / how.size:.13g}").quantize(step, ROUND_HALF_UP)
    return _signed(f"{abs(number):f}", number < 0, plus and number > 0).replace(".", decimal)


def format_value(
    value: float,
    kind: str,
    units: Units,
    *,
    decimal: str = ".",
    places: int | None = None,
    plus: bool = False,
    fractions: bool = False,
) -> str:
    """Return a value with its unit: "12.5 mm", "−0.50°", "1 1/4 in"."""
    unit = unit_of(kind, units)
    fraction = inch_fraction(value / INCH) if fractions and _is_inches(kind, units) else None
    if fraction is not None:
        is_plus = plus and fraction != "0" and not fraction.startswith(MINUS)
        number = _signed(fraction, False, is_plus)
    else:
        number = number_of(value, kind, units, decimal=decimal, places=places, plus=plus)
    if not unit or number == NO_VALUE:
        return number
    return f"{number}{'' if unit.startswith('°') else ' '}{unit}"


def half_of(total: float, kind: str, units: Units, places: int) -> tuple[float, int]:
    """Return half of a figure, and the decimals at which twice it is the figure as it is told.

    Half of a total of 0.05 is 0.025, since two wheels of 0.03 come to more.
    """
    size = shown(kind, units).size / 10.0**places
    steps = floor(abs(total) / size + 0.5)
    return copysign(0.5 * steps * size, total), places + steps % 2


def exact_number(value: float, kind: str, units: Units, *, decimal: str = ".") -> str:
    """Return a number with all the decimals it needs, for a field in which it can be changed."""
    quantity = QUANTITIES[kind]
    text = number_text(value / quantity.factor(units), tolerance=1e-10)
    text = text.removesuffix(".0")
    return _signed(text.removeprefix("-"), text.startswith("-"), False).replace(".", decimal)


@lru_cache(maxsize=512)
def format_point(point: Vec, units: Units, *, decimal: str = ".", places: int | None = None) -> str:
    """Return a point's coordinates: "105.0, 372.0, 585.0 mm", with ; where a comma is decimal."""
    between = "; " if decimal == "," else ", "
    numbers = (number_of(n, "length", units, decimal=decimal, places=places) for n in point)
    return f"{between.join(numbers)} {unit_of('length', units)}"


def inch_fraction(inches: float) -> str | None:
    """Return inches as a shop says them, "1 1/4", where a line of the rule is that near."""
    if not abs(inches) < BEYOND:
        return None
    count = round(abs(inches) * _FRACTION)
    if abs(abs(inches) * _FRACTION - count) > _ON_THE_LINE * _FRACTION:
        return None
    whole, remainder = divmod(count, _FRACTION)
    step = gcd(remainder, _FRACTION)
    parts = [str(whole)] if whole or not remainder else []
    parts += [f"{remainder // step}/{_FRACTION // step}"] if remainder else []
    return _signed(" ".join(parts), inches < 0 and count > 0, False)


def _is_inches(kind: str, units: Units) -> bool:
    return kind == "length" and units == "in"


def _signed(text: str, negative: bool, plus: bool) -> str:
    return f"{MINUS if negative else '+' if plus else ''}{text}"

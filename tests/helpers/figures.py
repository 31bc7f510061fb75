"""Figures as a sheet should show them, written by this file's own few rules.

Nothing of the program is asked: a table that shows another figure, or in another unit, is found.
Definitions: international inch and pound (1959), standard gravity (3rd CGPM, 1901).
"""

from __future__ import annotations

from math import floor, gcd, pi

POUND = 0.45359237  # kg
POUND_FORCE = POUND * 9.80665  # N
DEGREE = pi / 180.0

# Kind of quantity: in mm and in inches, what one shown unit is inside, its decimals, its sign.
KINDS = {
    "length": ((1.0, 1, "mm"), (25.4, 3, "in")),
    "angle": ((DEGREE, 2, "°"), (DEGREE, 2, "°")),
    "mass": ((1.0, 1, "kg"), (POUND, 1, "lb")),
    "force": ((1.0, 0, "N"), (POUND_FORCE, 0, "lbf")),
    "spring rate": ((1.0, 1, "N/mm"), (POUND_FORCE / 25.4, 1, "lbf/in")),
    "torque": ((1000.0, 1, "N·m"), (POUND_FORCE * 304.8, 1, "lbf·ft")),
    "torsional rate": (
        (1000.0 / DEGREE, 2, "N·m/°"),
        (POUND_FORCE * 304.8 / DEGREE, 2, "lbf·ft/°"),
    ),
    "stress": ((1.0, 0, "N/mm²"), (POUND_FORCE / 25.4**2, 0, "lbf/in²")),
    "angle per length": ((DEGREE / 25.0, 3, "°/25 mm"), (DEGREE / 25.4, 3, "°/in")),
    "length per length": ((1.0 / 25.0, 2, "mm/25 mm"), (1.0, 4, "in/in")),
    "length per angle": ((1.0 / DEGREE, 2, "mm/°"), (25.4 / DEGREE, 3, "in/°")),
    "angle per angle": ((1.0, 3, "°/°"), (1.0, 3, "°/°")),
    "per length": ((1.0, 5, "1/mm"), (1.0 / 25.4, 4, "1/in")),
    "frequency": ((1.0, 2, "Hz"), (1.0, 2, "Hz")),
    "percent": ((1.0, 1, "%"), (1.0, 1, "%")),
    "ratio": ((1.0, 3, ""), (1.0, 3, "")),
    "plain": ((1.0, 3, ""), (1.0, 3, "")),
}
DASH = "–"


def unit(kind: str, units: str) -> str:
    return KINDS[kind][units == "in"][2]


def figure(
    value: float | None,
    kind: str,
    units: str,
    places: int | None = None,
    plus: bool = False,
    decimal: str = ".",
) -> str:
    """Return a number without its unit; halves are rounded away from zero."""
    if value is None:
        return DASH
    size, usual, _ = KINDS[kind][units == "in"]
    places = usual if places is None else places
    count = floor(abs(value) / size * 10**places + 0.5 + 1e-7)
    digits = f"{count:0{places + 1}d}"
    text = f"{digits[:-places]}{decimal}{digits[-places:]}" if places else digits
    sign = "−" if value < 0 else "+" if plus and value > 0 else ""
    return f"{sign}{text}" if count else text


def with_unit(text: str, kind: str, units: str) -> str:
    sign = unit(kind, units)
    if text == DASH or not sign:
        return text
    return f"{text}{sign}" if sign.startswith("°") else f"{text} {sign}"


def fraction(length: float) -> str | None:
    """Return a length as a rule with 32nds of an inch shows it, None between its lines."""
    count = round(abs(length) / 25.4 * 32)
    if abs(abs(length) / 25.4 - count / 32) > 0.0005:
        return None
    whole, rest = divmod(count, 32)
    step = gcd(rest, 32)
    parts = ([str(whole)] if whole or not rest else []) + (
        [f"{rest // step}/{32 // step}"] if rest else []
    )
    return " ".join(parts)


def bench(length: float, units: str) -> str:
    """Return a length to work to: to a tenth, or the nearest 64th of an inch.

    Where a 64th is off by more than a twentieth of so thin a thing, it is in thousandths.
    """
    parts = abs(length) / 25.4 * 64
    nearest = round(parts)
    if units == "mm" or abs(parts - nearest) > max(0.05 * parts, 0.0005 * 64):
        return figure(length, "length", units)
    whole, rest = divmod(nearest, 64)
    step = gcd(rest, 64)
    words = ([str(whole)] if whole or not rest else []) + (
        [f"{rest // step}/{64 // step}"] if rest else []
    )
    return f"{'−' if length < 0 and nearest else ''}{' '.join(words)}"


def ruled(length: float, units: str) -> str:
    """Return a place or a tolerance: to a tenth, or the nearest 64th of an inch however small."""
    if units == "mm":
        return figure(length, "length", units)
    return bench(round(length / 25.4 * 64) / 64 * 25.4, "in")


def taped(length: float, units: str) -> str:
    """Return a length as a tape reads it: to the mm, or the nearest 32nd."""
    if units == "mm":
        return f"{figure(length, 'length', 'mm', places=0)} mm"
    nearest = floor(length / 25.4 * 32 + 0.5) / 32 * 25.4
    return f"{fraction(nearest)} in"


def shortest(length: float, units: str) -> str:
    """Return a length with as few decimals as it needs, as moves are told."""
    text = bench(abs(length), units)
    return text if "/" in text or "." not in text else text.rstrip("0").rstrip(".")

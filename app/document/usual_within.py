"""How well a number is usually measured, offered beside its field and never taken by itself.

All of it is k = 2 and common practice, no source: an angle gauge or a level reads to 0.1°, a rate
comes out within 2 %, a tape within 1 mm (1/32 in), a caliper within 0.1 mm, a scale within 1 %.
The inertias are estimates from tape and scales (`docs/measuring.md` says how).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor, inf, log10
from typing import Final

from app.document.bounds import LEAF_ENDS
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS
from app.document.leaf_parts import leaf_part
from app.document.model import Units, Value, Within
from app.document.quantities import DEGREE, INCH, from_inside, to_inside

_SIZES: Final = {"angle": 0.1 * DEGREE, "length": 1.0}
_SHARES: Final = {"spring rate": 0.02, "torsional rate": 0.02, "mass": 0.01}
_OWN_SIZES: Final = {  # mm or a share of the car: what isn't read by a tape or isn't read so well
    "car.front_share": 0.01,
    "car.cg_height": 20.0,
    "rear.block": 0.1,
    "rear.pack.width": 0.1,
    "rear.pack.eye_diameter": 0.1,
    "rear.links.bolt_diameter": 0.1,
    "rear.traction_bar.gap": 0.1,
}
_OWN_SHARES: Final = {
    "car.front_unsprung": 0.05,
    "car.rear_unsprung": 0.05,
    "rear.axle.pitch_inertia": 0.25,
    "rear.axle.roll_inertia": 0.15,
    "front.tyre_rate": 0.1,
    "rear.tyre_rate": 0.1,
    "rear.damper.rate": 0.1,
}
_OF_LEAVES: Final = {"thickness": 0.1, "contact": 3.0, "nip": 0.5}  # mm
CHOSEN: Final = frozenset({"front.toe_diameter", "front.bump_steer_travel"})
"""Lengths that are chosen and not measured."""
_INCH_TAPE: Final = INCH / 32.0


def usual_within(name: str, value: float, kind: str, units: Units) -> float | None:
    """Return how well a number is usually known, k = 2 and in round figures; None where unsaid.

    `kind` is the value's kind of quantity on this car, `units` those in which it is read.
    """
    if name in CHOSEN:
        return None
    part = leaf_part(name)
    size = _OWN_SIZES.get(name) if part is None else _OF_LEAVES.get(part.name)
    share = _OWN_SHARES.get(name)
    if size is None and share is None:
        size, share = _SIZES.get(kind), _SHARES.get(kind)
    if size == _SIZES["length"] and kind == "length" and units == "in":
        return _INCH_TAPE
    if size is None and share is not None:
        size = share * abs(value)
    return _in_round_figures(size, kind, units) if size else None


def _in_round_figures(size: float, kind: str, units: Units) -> float:
    """Return a size with two figures in the units shown."""
    number = from_inside(size, kind, units)
    return to_inside(round(number, 1 - floor(log10(number))), kind, units)


def most_within(name: str, value: float) -> float:
    """Return how far a number may be off at most: what can't be below 0 by no more than itself."""
    part, least = leaf_part(name), None
    if part is not None:
        least = LEAF_ENDS[part.name].get("over")
    elif name in KEYS and KEYS[name].is_number:
        least = KEYS[name].least if KEYS[name].over is None else KEYS[name].over
    return value - least if least is not None and 0.0 <= least < value else inf


def parse_within(
    text: str, name: str, kind: str, value: float | None, units: Units, *, decimal: str = "."
) -> float:
    """Return the uncertainty of a value as typed: in its unit, or as a share of it: "2 %".

    Raises
    ------
    EntryError
        The text can't be read, it is below 0, or wider than what can't be below 0; 0 is exact.
    """
    plain = text.strip()
    if plain.endswith("%") and kind != "percent":
        number = parse_value(plain.removesuffix("%"), "percent", units, decimal=decimal) / 100.0
        if kind == "ratio":  # a share of the car, as the value is typed
            within = number
        elif value is None:
            raise EntryError("A share needs the value that it is of.")
        else:
            within = number * abs(value)
    else:
        within = parse_value(plain, kind, units, decimal=decimal)
    if within < 0.0:
        raise EntryError("The uncertainty can't be below 0; 0 is exact.")
    if value is not None and within > most_within(name, value):
        raise EntryError("The uncertainty can't be more than the value itself.")
    return within


def of_all_points(values: Mapping[str, Value]) -> float | None:
    """Return how well points are known that say nothing of their own; None where nobody says."""
    within = values.get("sheet.measured_within")
    return float(within) if isinstance(within, int | float) else None


def as_one_or_three(
    alike: float | None, each: Sequence[float | None], else_: float | None = None
) -> Within | None:
    """Return what is said of all axes and of single ones, which say more; None where nothing is.

    `else_` is of the axes of which nothing is said where something is said of another.

    Raises
    ------
    EntryError
        Only some axes have one.
    """
    if all(one is None for one in each):
        return alike
    others = else_ if alike is None else alike
    x, y, z = (others if one is None else one for one in each)
    if x is None or y is None or z is None:
        raise EntryError("Say it for the other axes too, or for all three alike.")
    return x if x == y == z else (x, y, z)

"""What physics allows of a number in a setup: beyond it, it is a fault and no measurement.

Wide on purpose: what is merely odd is asked about (`plausible.py`), never refused. Without these
ends a slip of the keyboard gives numbers that no result can be worked out from.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from app.document.model import Units
from app.document.quantities import DEGREE, QUANTITIES
from app.document.schema import LEAF_KINDS

_ENDS: Final[dict[str, tuple[float, float]]] = {  # kind: least size of one over 0, greatest size
    "length": (0.01, 20_000.0),  # mm: no car is longer than 20 m
    "angle": (0.0, 360.0 * DEGREE),
    "mass": (0.01, 1e5),  # kg
    "force": (0.0, 1e8),  # N
    "spring rate": (1e-4, 1e7),  # N/mm: a solid steel link has about 1e5
    "torque": (1.0, 1e9),  # N·mm
    "torsional rate": (1.0, 1e12),  # N·mm/rad
    "damping": (1e-5, 1e4),  # N·s/mm
    "inertia": (1.0, 1e12),  # kg·mm²
    "stress": (0.01, 1e7),  # N/mm²: soft rubber has 1, diamond 1e6
    "angle per length": (0.0, 1e3),
    "length per angle": (0.0, 1e7),
    "length per length": (0.0, 1e6),
    "angle per angle": (0.0, 1e6),
    "per length": (0.0, 1e6),
    "acceleration": (0.0, 1e3),
    "frequency": (0.0, 1e6),
    "percent": (0.0, 1e6),
    "ratio": (1e-3, 1e3),
    "plain": (0.0, 1e9),
}
LEAF_ENDS: Final[dict[str, dict[str, float]]] = {  # of the numbers of one leaf
    "thickness": {"over": 0.0, "least": 0.01, "most": 1000.0},  # mm
    "front": {"over": 0.0, "least": 1.0, "most": 5000.0},
    "rear": {"over": 0.0, "least": 1.0, "most": 5000.0},
    "contact": {"least": -1000.0, "most": 1000.0},
    "nip": {"least": -500.0, "most": 500.0},
    "modulus": {"over": 0.0},
    "limit_stress": {"over": 0.0},
}
_OF_RESULTS: Final = 1e3  # times the greatest size: a result may run far away, its limit with it

Ends = tuple[float | None, float, float]


def ends_of(kind: str, over: float | None, least: float | None, most: float | None) -> Ends:
    """Return a number's exclusive minimum, if any, minimum and maximum, in inside units.

    What a key doesn't say itself is said by its kind of quantity.
    """
    small, great = _ENDS[kind]
    if least is None:
        least = -great if over is None else over + small
    return over, least, great if most is None else most


def limit_ends(kind: str) -> tuple[float, float]:
    """Return the least and the most that a result's limit may be, inside units."""
    great = _OF_RESULTS * _ENDS[kind][1]
    return -great, great


ROUNDED: Final = 1e-9
"""Share of a bound that a number may be beyond it: a file's digits end somewhere."""


def bound_words(
    value: float,
    over: float | None,
    least: float | None,
    most: float | None,
    kind: str,
    units: Units,
) -> str:
    """Say which bound a value in inside units violates, in shown units; empty if none."""
    factor = QUANTITIES[kind].factor(units)
    over, least, most = ends_of(kind, over, least, most)
    if over is not None and value <= over:
        return f"more than {_plain(over / factor)}"
    if not least - abs(least) * ROUNDED <= value <= most + abs(most) * ROUNDED:
        return f"at least {_plain(least / factor)}, at most {_plain(most / factor)}"
    return ""


def _plain(number: float) -> str:
    """Return a number in full, without a power of ten."""
    return f"{Decimal(f'{number:.6g}'):f}"


def leaf_bound_words(name: str, value: float, units: Units) -> str:
    """Say which bound a number of a leaf violates; `name` is as in the file."""
    ends = LEAF_ENDS[name]
    limits = (ends.get("over"), ends.get("least"), ends.get("most"))
    return bound_words(value, *limits, LEAF_KINDS[name], units)

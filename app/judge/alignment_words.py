"""What an alignment asks for, in a shop's words: packs, turns, what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees
from typing import Final

from app.document.address import Side, key_of
from app.document.ends import ALIGNED_END, key_in, name_in_end
from app.document.model import Units
from app.document.plain_text import upper_first
from app.document.plan_pieces import TIE_ROD
from app.document.point_names import point_words
from app.document.quantities import INCH
from app.document.units import MINUS, format_value, half_of, number_of, unit_of
from app.judge.alignment import Alignment, Effect, WheelAlignment
from app.words.lengths import FINEST, ruled_number

TITLES: Final = {"camber": "Camber", "caster": "Caster", "toe": "Toe-in"}
SIGNS: Final = {
    "camber": ("top leans out", "top leans in"),
    "caster": ("kingpin's top rearward", "kingpin's top forward"),
    "toe": ("toe-in", "toe-out"),
}
TOTAL: Final = "toe_total"
_STILL: Final = 0.005  # mm or turns
_EXACT: Final = 5e-7  # of the unit shown: sizes that aren't further apart are one
_MOST_PLACES: Final = 6  # a 64th of an inch
_THOUSANDTHS: Final = 3
_ON_THE_LINE: Final = 1e-6  # of a 64th of an inch


def knob_words(alignment: Alignment, key: str, side: Side = "left") -> str:
    """Return what a knob is called in a sentence: a bolt by its point, a rod by itself."""
    knob = alignment.knobs.get(key)
    if knob is None or not knob.point:
        return name_in_end(key).replace("_", " ")
    point = key_of(ALIGNED_END, side, name_in_end(knob.point))
    return point_words(point, alignment.setup.readings)


def jobs_of(
    alignment: Alignment, side: Side, units: Units, decimal: str = "."
) -> Iterator[tuple[str, str]]:
    """Yield what is done on a wheel, in the order of work: what for, and the job."""
    wheel = alignment.wheels[side]
    for key in alignment.order(side):
        what = "toe" if key == TIE_ROD else "caster and camber"
        words = upper_first(knob_words(alignment, key, side))
        yield what, f"{words}: {_done(alignment, wheel, key, side, units, decimal)}"


def _done(
    alignment: Alignment,
    wheel: WheelAlignment,
    key: str,
    side: Side,
    units: Units,
    decimal: str,
) -> str:
    if key in wheel.packs:
        return pack_words(wheel.packs[key], alignment.now(key, side), units, decimal)
    move = wheel.moves[key]
    if abs(move) < _STILL:
        return "stays"
    length = f"{turned_text(move, units, decimal)} {unit_of('length', units)}"
    if key in wheel.turns:
        turns = f"{abs(wheel.turns[key]):.2f}".replace(".", decimal)
        return f"{turns} turns {'longer' if move > 0 else 'shorter'} ({length})"
    angle = degrees(alignment.eccentric_angle(key, move + alignment.done(key, side)))
    turned = f"{abs(angle):.0f}°".replace(".", decimal)
    return (
        f"{length} {'inboard' if move > 0 else 'outboard'}, the eccentric {turned} from its middle"
    )


def pack_words(pack: Sequence[float], fitted: float, units: Units, decimal: str) -> str:
    """Return a whole new pack, and what it is against the one that is fitted."""
    total = sum(pack)
    more = total - fitted
    places = _printed((*pack, fitted), units)
    whole = format_value(total, "length", units, decimal=decimal, places=places)
    if abs(more) < _STILL:
        return f"{whole} as fitted"
    pieces = " + ".join(_length(piece, units, decimal, places) for piece in pack)
    size = format_value(abs(more), "length", units, decimal=decimal, places=places)
    pieces_words = f" ({pieces})" if len(pack) > 1 else ""
    return f"{whole}{pieces_words}, {size} {'more' if more > 0 else 'less'} than fitted"


def turned_text(move: float, units: Units, decimal: str) -> str:
    """Return how far a rod or an eccentric is moved, without sign and unit: a hundredth of a mm."""
    places = 2 if units == "mm" else 3
    return number_of(abs(move), "length", units, decimal=decimal, places=places)


def effect_words(
    alignment: Alignment, each: Effect, units: Units, decimal: str = "."
) -> tuple[str, list[str]]:
    """Return what is put in or turned, and the degrees of camber, caster and toe that it makes."""
    words, share = upper_first(knob_words(alignment, each.knob)), 1.0
    if each.per == "turn":
        what = f"{words}, one turn longer"
    elif each.per == "shim":
        (text,) = length_texts((each.size,), units, decimal)
        shim, arm = f"{text} {unit_of('length', units)}", words.partition(",")[0]
        what = {
            "here": f"{words}, {shim} more",
            "both": f"{arm}, {shim} more at both",
            "to front": f"{arm}, {shim} from rear to front",
        }[each.where]
    elif units == "in":
        what, share = f"{words}, 1/32 in inboard", INCH / 32
    else:
        what = f"{words}, 1 mm inboard"
    angles = (each.camber, each.caster, each.toe)
    return what, [angle_text(angle * share, decimal, plus=True) for angle in angles]


def angle_text(angle: float, decimal: str = ".", plus: bool = False) -> str:
    """Return an angle in degrees with two decimals."""
    return number_of(angle, "angle", "mm", decimal=decimal, places=2, plus=plus)


def aim_texts(alignment: Alignment, name: str, decimal: str = ".") -> tuple[str, str]:
    """Return an angle that is aimed at, of each wheel, and how near; empty of what isn't.

    Of a total, half of it as it is told: both wheels together are never more.
    """
    values = (alignment.aims.values, alignment.aims.within)
    if name not in values[0]:
        return "", ""
    if name != "toe" or key_in(ALIGNED_END, TOTAL) not in alignment.setup.aims:
        first, second = (angle_text(each[name], decimal) for each in values)
        return first, second
    halves = (half_of(2.0 * each[name], "angle", "mm", 2) for each in values)
    first, second = (
        number_of(half, "angle", "mm", decimal=decimal, places=places) for half, places in halves
    )
    return first, second


def sign_of(name: str, angle: float) -> str:
    """Return what the sign of an angle means; nothing at zero."""
    if not angle_text(angle).strip(f"{MINUS}0."):
        return ""
    return SIGNS[name][0 if angle > 0 else 1]


def _length(value: float, units: Units, decimal: str, places: int) -> str:
    return number_of(value, "length", units, decimal=decimal, places=places)


def places_of(sizes: Sequence[float], units: Units) -> int:
    """Return the decimals that write each of these exactly, so that what is printed adds up."""
    usual, inch = (1, 1.0) if units == "mm" else (3, INCH)
    return next(
        (
            places
            for places in range(usual, _MOST_PLACES)
            if all(abs(round(size / inch, places) - size / inch) < _EXACT for size in sizes)
        ),
        _MOST_PLACES,
    )


def _printed(sizes: Sequence[float], units: Units) -> int:
    """Return the decimals of lengths that add up; metric ones in inches to a micrometer's last."""
    places = places_of(sizes, units)
    return _THOUSANDTHS if units == "in" and places > _THOUSANDTHS + 1 else places


def length_texts(lengths: Sequence[float], units: Units, decimal: str) -> list[str]:
    """Return lengths that add up as printed: all in 64ths of an inch, or all in decimals.

    Metric ones in inches add up to the last decimal that a micrometer shows.
    """
    parts = [length / INCH * FINEST for length in lengths]
    if units == "in" and all(abs(part - round(part)) < _ON_THE_LINE for part in parts):
        return [ruled_number(length, units, decimal) for length in lengths]
    places = _printed(lengths, units)
    return [number_of(each, "length", units, decimal=decimal, places=places) for each in lengths]

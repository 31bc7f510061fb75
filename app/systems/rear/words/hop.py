"""What a proposal does to hop, tramp and wind-up, and why: which motion no damper resists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import Units
from app.document.units import format_value, number_of
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity
from geometry.leaf.hop import LAYOUTS, Damper, Modes
from geometry.leaf.single import Hop

LOW: Final = 0.08  # damping ratio below which a motion hardly dies out (common practice)
_NEAR: Final = 1.35  # frequencies closer than this factor mix (common practice, no source)
_AT_AXLE: Final = 20.0  # mm: less of an offset counts as none
_SHOWN: Final = 0.01
_NAMES: Final = (("hop", 1), ("tramp", 2), ("wind_up", 3))
_SAID: Final = {"hop": "Hop", "tramp": "Tramp", "wind_up": "Wind-up"}


def hop_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what is hardly damped, and what changes."""
    now = tell.study.proposed.hop
    if now is None:
        return
    for name, _ in _NAMES:
        yield from _mode(tell, name)
    if any(now.own.damping[index] < LOW for _, index in _NAMES) or tell.moved(
        "wind_up_damping", _SHOWN
    ):
        yield Sentence(why_words(now, tell.units, tell.decimal), "plain", "wind_up_damping")


def _mode(tell: RearTelling, name: str) -> Iterator[Sentence]:
    key = f"{name}_damping"
    after, before = tell.after(key), tell.before(key)
    if after is None:
        return
    title, ratio = _SAID[name], _ratio(tell, key, after)
    severity: Severity = "watch" if after < LOW else "plain"
    if tell.study.changed and before is not None and tell.moved(key, _SHOWN):
        words = f"{title}'s damping ratio goes from {_ratio(tell, key, before)} to {ratio}"
        yield Sentence(f"{words}{_low(after, tell.decimal)}.", severity, key)
    elif after < LOW:
        yield Sentence(
            f"{title} has a damping ratio of {ratio}{_low(after, tell.decimal)}.", severity, key
        )


def ratio_places(value: float) -> int:
    """Return the decimals that tell a damping ratio from none, and from the least that will do."""
    return 3 if value < 0.01 or value < LOW <= round(value, 2) else 2


def _ratio(tell: RearTelling, key: str, value: float) -> str:
    return tell.text(key, value, places=ratio_places(value))


def _low(ratio: float, decimal: str) -> str:
    if ratio <= 0:
        return ": it grows by itself"
    least = f"{LOW}".replace(".", decimal)
    return f": below {least} it hardly dies out" if ratio < LOW else ""


# --- why ------------------------------------------------------------------------------------------


def layout_of(dampers: tuple[Damper, ...]) -> str:
    """Return which of `LAYOUTS` a car's dampers are in."""
    left, right = (damper.at[0] for damper in dampers[:2])
    if max(abs(left), abs(right)) < _AT_AXLE:
        return LAYOUTS[3]
    if left * right < 0:
        return LAYOUTS[2]
    return LAYOUTS[0] if left + right > 0 else LAYOUTS[1]


def why_words(hop: Hop, units: Units, decimal: str = ".") -> str:
    """Return why the modes are damped as they are, from where the dampers stand."""
    bars = " The traction bars are taken as touching." if hop.axle.bars is not None else ""
    return f"{_why(hop, units, decimal)}{bars}"


def _why(hop: Hop, units: Units, decimal: str) -> str:
    layout, modes = layout_of(hop.dampers), hop.own
    if layout == LAYOUTS[3]:
        return (
            "Both dampers stand at the axle: they take hold of bounce and tramp, and hardly of "
            "its turning: wind-up is left undamped."
        )
    if layout == LAYOUTS[2]:
        return _staggered(modes, decimal)
    where = "ahead of" if layout == LAYOUTS[0] else "behind"
    reach = sum(abs(damper.at[0]) for damper in hop.dampers) / len(hop.dampers)
    length = format_value(reach, "length", units, decimal=decimal, places=0 if units == "mm" else 1)
    words = f"Both dampers stand {length} {where} the axle: neither resists a motion that turns "
    words += "about their lower eyes"
    pair = _pair(modes, 1, 3, decimal)
    if _are_near(modes, 1, 3):
        return f"{words}. Hop and wind-up are close, {pair}, so they join into it."
    return f"{words}. Hop and wind-up are apart, {pair}, so it is met only in part."


def _staggered(modes: Modes, decimal: str) -> str:
    words = "One damper stands ahead of the axle, one behind: in bounce and wind-up one of them "
    words += "always works. What neither resists is a tramp mixed with wind-up"
    pair = _pair(modes, 2, 3, decimal)
    if _are_near(modes, 2, 3):
        return f"{words}: tramp and wind-up are close, {pair}, so they join into it."
    return f"{words}: they are apart, {pair}, so it is met only in part."


def _are_near(modes: Modes, one: int, other: int) -> bool:
    low, high = sorted((float(modes.frequency[one]), float(modes.frequency[other])))
    return high < _NEAR * low


def _pair(modes: Modes, one: int, other: int, decimal: str) -> str:
    first, second = (
        number_of(float(modes.frequency[mode]), "frequency", "mm", decimal=decimal, places=1)
        for mode in (one, other)
    )
    return f"{first} and {second} Hz"

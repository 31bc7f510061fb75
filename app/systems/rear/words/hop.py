"""What a proposal does to hop, tramp and wind-up, and why: which motion no damper resists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import Units
from app.document.plain_text import upper_first
from app.document.units import format_value, number_of
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity
from geometry.leaf.hop import LAYOUTS, MODE_NAMES, Damper, Modes
from geometry.leaf.single import Hop

LOW: Final = 0.08  # damping ratio below which a motion hardly dies out (common practice)
BAR_STATES: Final = ("bars open", "bars closed")
_NEAR: Final = 1.35  # frequencies closer than this factor mix (common practice, no source)
_AT_AXLE: Final = 20.0  # mm: less of an offset counts as none
_SHOWN: Final = 0.01
_NAMES: Final = (("hop", 1), ("tramp", 2), ("wind_up", 3))
_LEAST: Final = 0.01  # a damping ratio below it is told as next to none


def mode_name(modes: Modes, index: int) -> str:
    """Return a motion's name, with what it is mixed with: "tramp with wind-up"."""
    partner = int(modes.named.partner[index])
    name = MODE_NAMES[index]
    return name if partner < 0 else f"{name} with {MODE_NAMES[partner]}"


def hop_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what is hardly damped, and what changes."""
    now = tell.study.proposed.hop
    if now is None:
        return
    for name, _ in _NAMES:
        yield from _mode(tell, name)
    if any(now.own.named.damping[index] < LOW for _, index in _NAMES) or tell.moved(
        "wind_up_damping", _SHOWN
    ):
        yield Sentence(why_words(now, tell.units, tell.decimal), "plain", "wind_up_damping")


def _mode(tell: RearTelling, name: str) -> Iterator[Sentence]:
    key = f"{name}_damping"
    after, before = tell.after(key), tell.before(key)
    if after is None:
        return
    title, ratio = _titled(tell, name), ratio_words(after, tell.decimal)
    severity: Severity = "watch" if after < LOW else "plain"
    if tell.study.changed and before is not None and tell.moved(key, _SHOWN):
        was = ratio_words(before, tell.decimal)
        words = f"{title}: damping ratio from {was} to {ratio}"
        yield Sentence(f"{words}{_low(after, tell.decimal)}.", severity, key)
    elif after < LOW:
        words = f"{title}: damping ratio {ratio}"
        yield Sentence(f"{words}{_low(after, tell.decimal)}.", severity, key)


def _titled(tell: RearTelling, name: str) -> str:
    """Return a motion's name and, with traction bars, the state that its figures are of."""
    hop = tell.study.proposed.hop
    if hop is None:
        return name
    title = upper_first(mode_name(hop.own, dict(_NAMES)[name]))
    return title if hop.closed is None else f"{title}, {BAR_STATES[hop.closed]}"


def ratio_text(value: float, decimal: str = ".") -> str:
    """Return a damping ratio with what is known of it: hundredths, and "<0.01" for next to none.

    How far the eyes' bushes give, which nobody measures, moves a low one by half of itself.
    """
    if 0.0 < value < _LEAST:
        return f"<{_LEAST}".replace(".", decimal)
    # One that is too low must not read as the least that will do.
    shown = min(value, LOW - _LEAST) if value < LOW else value
    return number_of(shown, "ratio", "mm", decimal=decimal, places=2)


def ratio_words(value: float, decimal: str = ".") -> str:
    """Return a damping ratio as it is said: "about 0.05", "under 0.01"."""
    text = ratio_text(value, decimal)
    return f"under {text[1:]}" if text.startswith("<") else f"about {text}"


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
    return f"{_why(hop, units, decimal)}{_bar_words(hop, decimal)}"


def _bar_words(hop: Hop, decimal: str) -> str:
    """Say which state of the traction bars the figures are of, and what the other one does."""
    if hop.closed is None or hop.other is None:
        return ""
    hertz = number_of(
        float(hop.other.named.frequency[3]), "frequency", "mm", decimal=decimal, places=1
    )
    ratio = ratio_words(float(hop.other.named.damping[3]), decimal)
    state, other = BAR_STATES[hop.closed], BAR_STATES[not hop.closed]
    why = "where the car stands the snubbers touch" if hop.closed else "at small motion"
    words = f" These are with {state}, {why}; with {other} wind-up is at {hertz} Hz"
    return f"{words}, damping ratio {ratio}."


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
    low, high = sorted(float(modes.named.frequency[mode]) for mode in (one, other))
    return high < _NEAR * low


def _pair(modes: Modes, one: int, other: int, decimal: str) -> str:
    first, second = (
        number_of(float(modes.named.frequency[mode]), "frequency", "mm", decimal=decimal, places=1)
        for mode in (one, other)
    )
    return f"{first} and {second} Hz"

"""What a proposal does to hop, tramp and wind-up, and why: which motion no damper resists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from app.document.model import Units
from app.document.plain_text import upper_first
from app.document.units import format_value, number_of
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity
from geometry.links.axle import LINK_RATE
from geometry.modes.dampers import LAYOUTS, Damper, damper_arm
from geometry.modes.hop import RESULT_NAMES, Hop
from geometry.modes.modes import HOP, MODE_NAMES, TRAMP, WIND_UP, Modes

LOW: Final = 0.08  # damping ratio below which a motion hardly dies out (common practice)
BAR_STATES: Final = ("bars open", "bars closed")
_NEAR: Final = 1.35  # frequencies closer than this factor mix (common practice, no source)
TABLE_TITLE: Final = "Hop, tramp and wind-up by where the dampers are"
MIXED: Final = "two modes share it; their mean frequency and the least of both damping ratios."
_AT_AXLE: Final = 20.0  # mm: less of an offset counts as none
_SHOWN: Final = 0.01
_LEAST: Final = 0.01  # a damping ratio below it is told as next to none
_MOVED: Final = 0.05  # share of a frequency, a change by which is told

LOW_IS_ROUGH: Final = (
    "A low damping ratio may be half or twice as much: it hangs on the give of the eyes' bushes."
)
BY_BUSHES: Final = (
    "On links wind-up hangs on the bushes: the damping ratio told is the dampers' part alone; the "
    "bushes' rubber does more."
)
NO_BUSHES: Final = (
    "On links whose bush rates aren't given wind-up isn't told, and hop and tramp take them as "
    f"{LINK_RATE:.0f} N/mm."
)


def mode_name(modes: Modes, index: int) -> str:
    """Return a motion's name, with what it is mixed with: "tramp with wind-up"."""
    partner = int(modes.named.partner[index])
    name = MODE_NAMES[index]
    return name if partner < 0 else f"{name} with {MODE_NAMES[partner]}"


def is_low(hop: Hop, modes: Modes, index: int) -> bool:
    """Tell whether a motion hardly dies out; not of what bushes damp, whose part isn't known."""
    is_by_bushes = hop.on_links and index == WIND_UP
    return bool(modes.named.damping[index] < LOW) and not is_by_bushes


def not_in_it(hops: Sequence[Hop]) -> str:
    """Say what the figures of some cars' modes leave out."""
    has_leaves, has_links = _kinds(hops)
    parts = ["grip"]
    parts += ["the leaves' friction"] if has_leaves else []
    parts += ["what the links' bushes damp"] if has_links else []
    return f"A linear indication: {', '.join(parts)} and the body's own motion are not in it."


def how_sure(hops: Sequence[Hop]) -> str:
    """Say how sure the figures of some cars' modes are."""
    has_leaves, has_links = _kinds(hops)
    words = [LOW_IS_ROUGH] if has_leaves else []
    if has_links:
        are_known = all(WIND_UP in hop.known for hop in hops)
        words.append(BY_BUSHES if are_known else NO_BUSHES)
    return " ".join(words)


def _kinds(hops: Sequence[Hop]) -> tuple[bool, bool]:
    return any(not hop.on_links for hop in hops), any(hop.on_links for hop in hops)


def hop_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what is hardly damped, and what changes."""
    now = tell.study.proposed.hop
    if now is None:
        return
    was = tell.study.measured.hop
    is_switched = was is not None and was.on_links != now.on_links
    told = [name for name in RESULT_NAMES if name != "wind_up" or not now.on_links]
    for name in told:
        yield from _mode(tell, name, not (name == "wind_up" and is_switched))
    if now.on_links or is_switched:
        yield from _wind_up_frequency(tell, now, is_switched)
    key = f"{told[-1]}_damping"  # of wind-up, on links of tramp
    is_any_low = any(is_low(now, now.own, RESULT_NAMES[name]) for name in told)
    if is_any_low or tell.moved(key, _SHOWN):
        yield Sentence(why_words(now, tell.units, tell.decimal), "plain", key)


def _wind_up_frequency(tell: RearTelling, now: Hop, is_switched: bool) -> Iterator[Sentence]:
    """Tell where wind-up has gone to: between leaves and links its damping can't be compared."""
    key = "wind_up_frequency"
    after, before = tell.after(key), tell.before(key)
    if after is None or before is None or not tell.study.changed:
        return
    if abs(after - before) < _MOVED * before:
        return
    words = f"Wind-up: from {_hertz(before, tell.decimal)} to {_hertz(after, tell.decimal)} Hz"
    if is_switched:
        what = "links hold" if now.on_links else "leaves alone hold"
        words = f"{words}: the {what} the axle against turning"
    yield Sentence(f"{words}.", "plain", key)


def _mode(tell: RearTelling, name: str, is_compared: bool) -> Iterator[Sentence]:
    key = f"{name}_damping"
    after, before = tell.after(key), tell.before(key)
    if after is None:
        return
    title, ratio = _titled(tell, name), ratio_words(after, tell.decimal)
    severity: Severity = "watch" if after < LOW else "plain"
    if is_compared and before is not None and tell.study.changed and tell.moved(key, _SHOWN):
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
    title = upper_first(mode_name(hop.own, RESULT_NAMES[name]))
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
    hertz = _hertz(float(hop.other.named.frequency[WIND_UP]), decimal)
    ratio = ratio_words(float(hop.other.named.damping[WIND_UP]), decimal)
    state, other = BAR_STATES[hop.closed], BAR_STATES[not hop.closed]
    why = "where the car stands the snubbers touch" if hop.closed else "at small motion"
    words = f" These are with {state}, {why}; with {other} wind-up is at {hertz} Hz"
    return f"{words}, damping ratio {ratio}."


def _why(hop: Hop, units: Units, decimal: str) -> str:
    layout, modes = layout_of(hop.dampers), hop.own
    if hop.on_links and not any(_are_near(modes, mode, WIND_UP) for mode in (HOP, TRAMP)):
        return _why_on_links(hop, units, decimal)
    if layout == LAYOUTS[3]:
        return (
            "Both dampers stand at the axle: they take hold of bounce and tramp, and hardly of "
            "its turning: wind-up is left undamped."
        )
    if layout == LAYOUTS[2]:
        return _staggered(modes, decimal)
    where = "ahead of" if layout == LAYOUTS[0] else "behind"
    reach = sum(abs(damper.at[0]) for damper in hop.dampers) / len(hop.dampers)
    length = _length(reach, units, decimal)
    words = f"Both dampers stand {length} {where} the axle: neither resists a motion that turns "
    words += "about their lower eyes"
    pair = _pair(modes, HOP, WIND_UP, decimal)
    if _are_near(modes, HOP, WIND_UP):
        return f"{words}. Hop and wind-up are close, {pair}, so they join into it."
    return f"{words}. Hop and wind-up are apart, {pair}, so it is met only in part."


def _staggered(modes: Modes, decimal: str) -> str:
    words = "One damper stands ahead of the axle, one behind: in bounce and wind-up one of them "
    words += "always works. What neither resists is a tramp mixed with wind-up"
    pair = _pair(modes, TRAMP, WIND_UP, decimal)
    if _are_near(modes, TRAMP, WIND_UP):
        return f"{words}: tramp and wind-up are close, {pair}, so they join into it."
    return f"{words}: they are apart, {pair}, so it is met only in part."


def _are_near(modes: Modes, one: int, other: int) -> bool:
    low, high = sorted(float(modes.named.frequency[mode]) for mode in (one, other))
    return high < _NEAR * low


def _pair(modes: Modes, one: int, other: int, decimal: str) -> str:
    first, second = (_hertz(float(modes.named.frequency[mode]), decimal) for mode in (one, other))
    return f"{first} and {second} Hz"


def _why_on_links(hop: Hop, units: Units, decimal: str) -> str:
    """Say how well the dampers take hold of tramp, and why they don't of wind-up."""
    arm = _length(damper_arm(hop.dampers), units, decimal)
    words = f"In tramp the dampers work on an arm of {arm} from the middle, their lean counted: "
    words += "the farther out and the more upright they stand, the more of it they take out. "
    if WIND_UP not in hop.known:
        return f"{words}{NO_BUSHES}"
    hertz = _hertz(float(hop.own.named.frequency[WIND_UP]), decimal)
    words += f"The links hold the axle against turning: wind-up is at {hertz} Hz, far from hop and "
    return f"{words}tramp, and the rubber of the bushes damps it more than the dampers do."


def _hertz(value: float, decimal: str) -> str:
    return number_of(value, "frequency", "mm", decimal=decimal, places=1)


def _length(value: float, units: Units, decimal: str) -> str:
    return format_value(value, "length", units, decimal=decimal, places=0 if units == "mm" else 1)

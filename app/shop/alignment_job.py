"""An alignment that is a change, as one job: packs, eccentrics and rods, with a box for each."""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, degrees
from typing import Final

from app.document.address import SIDES, Side
from app.document.ends import name_in_end
from app.document.model import Setup
from app.document.plan_pieces import TIE_ROD
from app.document.point_names import workshop_words
from app.document.units import unit_of
from app.judge.adjuster_words import AtPoint, knobs_by_key
from app.judge.aligning_work import aligning, amounts_in, rods_turned
from app.judge.alignment_words import length_texts, turned_text
from app.systems.jobs import Job

HOW: Final = (
    "Shims, eccentrics and threads alone: nothing is drilled for it. Take the spring's load off "
    "first, as the workshop manual says."
)
_STILL: Final = 0.005  # mm


def alignment_jobs(setup: Setup, decimal: str = ".") -> Iterator[Job]:
    """Yield the job of the changes that align; none where there are none."""
    own = aligning(setup)
    if not own:
        return
    amounts = amounts_in(setup)
    if tells_tie_rods(setup):
        rods = rods_turned(setup)
        amounts = {side: {**amounts[side], TIE_ROD: rods[side]} for side in SIDES}
    parts = [
        words
        for knob in knobs_by_key(setup, setup.units).values()
        if knob.key in amounts["left"]  # else the last job turns them
        if (words := _knob_words(setup, knob, {s: amounts[s][knob.key] for s in SIDES}, decimal))
    ]
    names = " and ".join(f"“{change.name}”" for change in own)
    details = (
        f"{names}. {HOW}",
        *(line for c in own for line in c.note.split("\n") if line.strip()),
    )
    if parts:
        yield Job(" ".join(parts), details, tuple(parts))


def tells_tie_rods(setup: Setup) -> bool:
    """Tell whether the job of an alignment turns the tie rods: by what the gauge read of the toe.

    The last job then only has them checked, so that nobody turns them twice.
    """
    is_read = any(
        gauge.toe is not None or gauge.toe_length is not None for gauge in setup.gauge.values()
    )
    return bool(aligning(setup)) and TIE_ROD in setup.adjusters and is_read


def _knob_words(setup: Setup, knob: AtPoint, amounts: dict[Side, float], decimal: str) -> str:
    """Return what is done at a knob on both wheels, or on each by itself."""
    told = {
        side: _done(setup, knob, side, amount, decimal)
        for side, amount in amounts.items()
        if abs(amount) >= _STILL
    }
    if not told:
        return ""
    what = _what(setup, knob)
    if len(told) == len(SIDES) and len(set(told.values())) == 1:
        return f"{what}: {told['left']}, both sides."
    return f"{what}: {'; '.join(f'{side} {words}' for side, words in told.items())}."


def _what(setup: Setup, knob: AtPoint) -> str:
    if knob.is_rod:
        return f"Turn the {name_in_end(knob.key).replace('_', ' ')}"
    point = workshop_words(knob.point, setup.evidence)
    return f"Shims at {point}" if knob.is_pack else f"Turn the eccentric at {point}"


def _done(setup: Setup, knob: AtPoint, side: Side, amount: float, decimal: str) -> str:
    unit, units = unit_of("length", setup.units), setup.units
    if knob.is_pack:
        fitted = knob.fitted(side)
        before, after = length_texts((fitted, fitted + amount), units, decimal)
        return f"{before} {unit} to {after} {unit}"
    size = turned_text(amount, units, decimal)
    if knob.is_rod:
        turns = f"{abs(amount) / (2.0 * knob.step):.2f}".replace(".", decimal)
        return f"{turns} turns {'longer' if amount > 0.0 else 'shorter'} ({size} {unit})"
    low, high = knob.adjuster.reach or (-1.0, 1.0)
    share = max(-1.0, min(1.0, amount / max(abs(low), abs(high))))
    way = "inboard" if amount > 0.0 else "outboard"
    return f"{size} {unit} {way}, {abs(degrees(asin(share))):.0f}° from its middle"

"""What an adjuster at a point does, how far it is, and whether it can be turned on; in words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache
from typing import Final

from app.document.address import SIDES, Point, Side, left_of
from app.document.ends import name_in_end
from app.document.model import Setup, Units
from app.document.plan_pieces import STRUT_ROD, TIE_ROD
from app.document.plans import Adjuster
from app.document.quantities import INCH
from app.document.units import unit_of
from app.judge.aligning_cars import angles_of, knobs_of, with_amounts
from app.judge.aligning_work import (
    adjusters_of,
    aligning,
    amounts_in,
    rods_turned,
    toe_in,
    toe_per_mm,
    turned,
    without_alignment,
)
from app.judge.alignment_words import angle_text, length_texts, turned_text
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

_OF_RODS: Final = {
    STRUT_ROD: ("front.lower_front", "front.strut_joint"),
    TIE_ROD: ("front.tie_inner", "front.tie_outer"),
}
_CLOSE: Final = 1e-6  # mm
_STAYS: Final = 0.005  # mm: nobody turns less
_TRIED: Final = 0.5  # mm by which a knob is tried


@dataclass(frozen=True)
class AtPoint:
    """A knob at a point, and the step by which a hand turns it on [mm]."""

    key: str
    adjuster: Adjuster
    step: float
    point: str = ""  # the left-hand pivot that it moves; empty for a rod

    @property
    def is_pack(self) -> bool:
        """Whether it is a pack of shims."""
        return bool(self.adjuster.sizes)

    def fitted(self, side: Side) -> float:
        """Return how thick the pack is without the changes that are on [mm]."""
        return self.adjuster.packs(side == "right")[self.adjuster.at.index(self.point)]

    @property
    def is_rod(self) -> bool:
        """Whether it is a threaded rod."""
        return self.key in _OF_RODS


def knobs_at(setup: Setup, point: str, units: Units) -> Iterator[AtPoint]:
    """Yield the knobs at a point of either side."""
    place = left_of(point)
    for key, knob in knobs_by_key(setup, units).items():
        if place in _OF_RODS.get(key, (knob.point,)):
            yield knob


def knobs_by_key(setup: Setup, units: Units) -> dict[str, AtPoint]:
    """Return all knobs of the front, the tie rods last."""
    adjusters = adjusters_of(setup)
    usual = 1.0 if units == "mm" else INCH / 32
    knobs: dict[str, AtPoint] = {}
    for knob in knobs_of(adjusters):
        adjuster = adjusters[knob.adjuster]
        half = 0.5 * (adjuster.pitch or 1.0)
        step = min(adjuster.sizes, default=usual) if knob.point else half
        knobs[knob.key] = AtPoint(knob.key, adjuster, step, knob.point)
    if (rod := adjusters.get(TIE_ROD)) is not None:
        knobs[TIE_ROD] = AtPoint(TIE_ROD, rod, 0.5 * (rod.pitch or 1.0))
    return knobs


def stands(setup: Setup, knob: AtPoint, side: Side) -> float:
    """Return a pack's thickness with the changes that are on [mm], or how far a knob is turned."""
    if knob.key == TIE_ROD:
        return rods_turned(setup)[side] if aligning(setup) else 0.0
    amount = amounts_in(setup)[side][knob.key]
    return amount + (knob.fitted(side) if knob.is_pack else 0.0)


def refusal(setup: Setup, knob: AtPoint, sides: Collection[Side], step: float) -> str:
    """Return why a knob can't be turned on by a step on some wheels; nothing where it can."""
    try:
        after = turned(setup, knob.key, sides, step)
        return next((why for side in sides if (why := _limit(after, knob, side))), "")
    except GeometryError:
        return "the car can't be built so"


def _limit(setup: Setup, knob: AtPoint, side: Side) -> str:
    now, adjuster = stands(setup, knob, side), knob.adjuster
    if not knob.is_pack:
        low, high = adjuster.reach or (0.0, 0.0)
        return "" if low - _CLOSE <= now <= high + _CLOSE else "it reaches no further"
    if now < -_CLOSE:
        return "no shim is left"
    if adjuster.most is not None and now > adjuster.most + _CLOSE:
        return "the pack is as thick as it may be"
    if adjuster.apart is not None and len(adjuster.at) == 2:
        both = [stands(setup, other, side) for other in _pair(knob)]
        if abs(both[0] - both[1]) > adjuster.apart + _CLOSE:
            return "the two packs are as far apart as they may be"
    return ""


def _pair(knob: AtPoint) -> Iterator[AtPoint]:
    start = knob.key.rpartition(" ")[0]
    for point in knob.adjuster.at:
        yield AtPoint(f"{start} {Point.at(point).name}", knob.adjuster, knob.step, point)


def note_lines(setup: Setup, point: str, units: Units, decimal: str) -> list[str]:
    """Return what a hand at a point can adjust, and what one shim or turn does."""
    side = Point.at(point).side
    try:
        return [
            _note(setup, knob, "right" if side == "right" else "left", units, decimal)
            for knob in knobs_at(setup, point, units)
        ]
    except GeometryError:
        return []


def _note(setup: Setup, knob: AtPoint, side: Side, units: Units, decimal: str) -> str:
    camber, caster, toe = _effects(without_alignment(setup))[knob.key]
    size = knob.step if not knob.is_rod else 2.0 * knob.step
    (step,) = length_texts((size,), units, decimal)
    unit = unit_of("length", units)
    angles = {"camber": camber * size, "caster": caster * size}
    if knob.key == TIE_ROD:
        angles = {"toe-in": toe * size}
    does = ", ".join(
        f"{name} {angle_text(angle, decimal, plus=True)}°" for name, angle in angles.items()
    )
    now = where_words(setup, knob, side, units, decimal)
    if knob.is_pack:
        return f"shims here, {now}: {step} {unit} more makes {does}"
    if knob.is_rod:
        name = name_in_end(knob.key).replace("_", " ")
        return f"{name}, {now}: a turn longer makes {does}"
    return f"eccentric here, {now}: {step} {unit} inboard makes {does}"


def where_words(setup: Setup, knob: AtPoint, side: Side, units: Units, decimal: str) -> str:
    """Return how thick a pack is, or how far what is turned is from where it was gauged."""
    now, unit = stands(setup, knob, side), unit_of("length", units)
    if knob.is_pack:
        (text,) = length_texts((now,), units, decimal)
        return f"{text} {unit}"
    if abs(now) < _STAYS:
        return "as it is"
    size = f"{turned_text(now, units, decimal)} {unit}"
    if not knob.is_rod:
        return f"{size} {'inboard' if now > 0.0 else 'outboard'} now"
    turns = f"{abs(now) / (2.0 * knob.step):.2f}".replace(".", decimal)
    return f"{turns} turns {'longer' if now > 0.0 else 'shorter'} now"


@lru_cache(maxsize=2)
def _effects(setup: Setup) -> Mapping[str, tuple[float, float, float]]:
    """Return camber, caster and toe that a mm of each knob makes on a wheel [rad/mm].

    Both wheels alike; the toe of the tie rods alone, which set it after all else.
    """
    knobs, toe = knobs_of(adjusters_of(setup)), toe_in(setup)
    steps = [{}, *({knob.key: _TRIED} for knob in knobs)]
    cars = [with_amounts(setup, knobs, dict.fromkeys(SIDES, step), toe) for step in steps]
    angles = angles_of(cars)
    effects = {
        knob.key: (
            float(angles["camber"][place, 0] - angles["camber"][0, 0]) / _TRIED,
            float(angles["caster"][place, 0] - angles["caster"][0, 0]) / _TRIED,
            0.0,
        )
        for place, knob in enumerate(knobs, start=1)
    }
    return {**effects, TIE_ROD: (0.0, 0.0, toe_per_mm(setup, toe)["left"])}

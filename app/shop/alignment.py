"""An alignment as rows for window and paper: packs, turns, order of work, angles. No Qt."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import sin
from typing import Final

from app.document.address import SIDES, Side
from app.document.ends import ALIGNED_END, key_in
from app.document.model import Setup, Units
from app.document.plain_text import upper_first
from app.document.plan_pieces import STRUT_ROD, TIE_ROD, TOE_AIMS
from app.document.same import same_setup
from app.document.units import NO_VALUE, number_of, unit_of
from app.judge.aligning_work import adjusters_of, taken
from app.judge.alignment import Alignment, toe_diameter
from app.judge.alignment_words import (
    aim_texts,
    angle_text,
    effect_words,
    jobs_of,
    knob_words,
    length_texts,
    sign_of,
)
from geometry.dataclass import dataclass

GAUGED_AFTER: Final = "The gauge was read with an alignment done already:"
FEWEST: Final = "Shims that come out count too, as the fewest that make each pack: look first."
NO_GAUGE: Final = "No gauge was read: this starts from the angles that the model gives."
STAYS: Final = "stays"
PURPOSES: Final = {True: "toe", False: "caster and camber"}
_STILL: Final = 0.005  # mm: nobody turns or shims less
_NAMES: Final = {"camber": "Camber", "caster": "Caster", "toe": "Toe-in, each wheel"}
ANGLES: Final = "°"
STANDING: Final = (
    "The car on stands, on level ground, wheels chocked. The coil or bar is loaded: take its load "
    "off the arm as the workshop manual says before a bolt of the arm is undone; an arm that is "
    "let go can maim.",
    "Torques, thread left in each rod's end, lock nuts and new self-locking nuts: workshop manual.",
    "Steering and suspension are safety parts: no test drive before a second person has checked "
    "every bolt and lock nut that was undone, an inspector where the law asks for one.",
)
GAUGE_AGAIN: Final = (
    "Roll the car back and forth, bounce it, and gauge it again with the wheels straight: what is "
    "above is worked out, what the gauge then reads counts."
)


@dataclass(frozen=True)
class WorkCell:
    """What is done on one wheel: `before` and `after` of a pack, what it is made of, or a turn."""

    before: str
    after: str
    made_of: str
    step: str  # "2.0 mm more", "0.27 turns shorter"; STAYS
    is_done: bool
    inwards: int = 0  # +1 where the pivot goes inboard, -1 outboard


@dataclass(frozen=True)
class WorkRow:
    """A bolt, an eccentric or a rod in the order of work, on both wheels."""

    number: int
    what: str
    purpose: str
    is_pack: bool
    left: WorkCell
    right: WorkCell


@dataclass(frozen=True)
class ReadRow:
    """An angle: what it shall be, and of each wheel what was read, is then read, and remains.

    A total has its figures under `left` alone.
    """

    title: str
    target: str
    within: str
    left: tuple[str, str, str]
    right: tuple[str, str, str]
    signs: tuple[str, str]  # in words, of what is then read
    is_met: tuple[bool, bool]
    is_total: bool = False


@dataclass(frozen=True)
class EffectRow:
    """What a single shim or turn does to camber, caster and toe, in degrees."""

    what: str
    angles: tuple[str, str, str]


@dataclass(frozen=True)
class AlignmentRows:
    """All that is told of an alignment."""

    work: tuple[WorkRow, ...]
    reads: tuple[ReadRow, ...]
    effects: tuple[EffectRow, ...]
    notes: tuple[str, ...]
    unmet: tuple[Side, ...]
    unit: str


def alignment_rows(alignment: Alignment, units: Units, decimal: str = ".") -> AlignmentRows:
    """Return an alignment as rows, in units."""
    told = _Told(alignment, units, decimal)
    return AlignmentRows(
        tuple(told.work()),
        tuple(told.reads()),
        tuple(told.effects()),
        tuple(told.notes()),
        tuple(side for side in SIDES if not alignment.wheels[side].met),
        unit_of("length", units),
    )


def as_change_words(alignment: Alignment, setup: Setup) -> str:
    """Return whether a job of the work order is this alignment; nothing where there is none.

    A change that was then altered by hand says something else, and that is told.
    """
    names = [change.name for change in setup.changes if change.aligns and change.on]
    if not names:
        return ""
    jobs = " and ".join(f"“{name}”" for name in names)
    if any(alignment.gauged_amounts.values()):
        return f"{jobs} on the work order counts from as found; here, from where it was gauged."
    if same_setup(taken(alignment, setup), setup):
        return f"{jobs} on the work order is this work: do it once."
    return f"{jobs} on the work order isn't what comes out here: ask which holds."


@dataclass(frozen=True)
class _Told:
    alignment: Alignment
    units: Units
    decimal: str

    @property
    def setup(self) -> Setup:
        return self.alignment.setup

    # --- the work ---

    def work(self) -> Iterator[WorkRow]:
        left = self.alignment.wheels["left"]
        for number, key in enumerate(self.alignment.order("left"), start=1):
            is_pack = key in left.packs
            cells = [self._pack(key, s) if is_pack else self._turn(key, s) for s in SIDES]
            what = upper_first(knob_words(self.alignment, key))
            yield WorkRow(number, what, PURPOSES[key == TIE_ROD], is_pack, *cells)

    def _pack(self, key: str, side: Side) -> WorkCell:
        pack, fitted = self.alignment.wheels[side].packs[key], self.alignment.now(key, side)
        more = sum(pack) - fitted
        before, after, step, *pieces = length_texts(
            (fitted, sum(pack), abs(more), *pack), self.units, self.decimal
        )
        if abs(more) < _STILL:
            return WorkCell(before, after, "", STAYS, False)
        inwards = 1 if (more > 0.0) == self.alignment.knobs[key].inboard else -1
        way = "more" if more > 0.0 else "less"
        unit = unit_of("length", self.units)
        made = " + ".join(f"{n} × {p}" if n > 1 else p for p, n in Counter(pieces).items())
        return WorkCell(before, after, made, f"{step} {unit} {way}", True, inwards)

    def _turn(self, key: str, side: Side) -> WorkCell:
        move = self.alignment.wheels[side].moves[key]
        if abs(move) < _STILL:
            return WorkCell("", "", "", STAYS, False)
        jobs = dict(
            zip(
                self.alignment.order(side),
                jobs_of(self.alignment, side, self.units, self.decimal),
                strict=True,
            )
        )
        step = jobs[key][1].partition(": ")[2]
        is_rod = key in (TIE_ROD, STRUT_ROD)
        return WorkCell("", "", "", step, True, 0 if is_rod else 1 if move > 0 else -1)

    # --- what is read ---

    def reads(self) -> Iterator[ReadRow]:
        alignment = self.alignment
        wheels = [alignment.wheels[side] for side in SIDES]
        for name in _NAMES:
            has_aim = name in alignment.aims.values
            within = alignment.aims.within.get(name, 0.0)
            target, near = aim_texts(alignment, name, self.decimal)
            cells = [
                (
                    angle_text(wheel.read[name], self.decimal),
                    angle_text(wheel.reached[name], self.decimal),
                    angle_text(wheel.remaining[name], self.decimal, plus=True) if has_aim else "",
                )
                for wheel in wheels
            ]
            yield ReadRow(
                f"{_NAMES[name]}, {ANGLES}",
                target or NO_VALUE,
                near,
                cells[0],
                cells[1],
                (sign_of(name, wheels[0].reached[name]), sign_of(name, wheels[1].reached[name])),
                (
                    not has_aim or abs(wheels[0].remaining[name]) <= within * (1.0 + 1e-9),
                    not has_aim or abs(wheels[1].remaining[name]) <= within * (1.0 + 1e-9),
                ),
            )
        yield from self._toe_as_wanted()

    def _toe_as_wanted(self) -> Iterator[ReadRow]:
        """Yield toe as its target says it, in total or as a length."""
        kind = next((n for n in TOE_AIMS if key_in(ALIGNED_END, n) in self.setup.aims), "toe")
        if kind == "toe":
            return
        aim, is_length = self.setup.aims[key_in(ALIGNED_END, kind)], kind.endswith("_mm")
        wheels = [self.alignment.wheels[side] for side in SIDES]
        size = toe_diameter(self.setup)

        def said(angle: float) -> float:
            return sin(angle) * size if is_length else angle

        def text(value: float, plus: bool = False) -> str:
            if not is_length:
                return angle_text(value, self.decimal, plus)
            places = 1 if self.units == "mm" else 3
            return number_of(
                value, "length", self.units, decimal=self.decimal, places=places, plus=plus
            )

        pairs = [[said(w.read["toe"]) for w in wheels], [said(w.reached["toe"]) for w in wheels]]
        title = f"Toe-in{self._over(size) if is_length else f', {ANGLES}'}"
        if "total" in kind:
            read, reached = map(sum, pairs)
            cell = (text(read), text(reached), text(aim.value - reached, True))
            is_met = abs(aim.value - reached) <= aim.within * (1.0 + 1e-9)
            name = title.replace("Toe-in", "Toe-in, total", 1)
            row = (cell, ("", "", ""), ("", ""), (is_met, is_met))
            yield ReadRow(name, text(aim.value), text(aim.within), *row, is_total=True)
            return
        cells = [
            (text(was), text(then), text(aim.value - then, True))
            for was, then in zip(*pairs, strict=True)
        ]
        met = [abs(aim.value - then) <= aim.within * (1.0 + 1e-9) for then in pairs[1]]
        name = title.replace("Toe-in", "Toe-in, each wheel", 1)
        yield ReadRow(
            name, text(aim.value), text(aim.within), cells[0], cells[1], ("", ""), (met[0], met[1])
        )

    def _over(self, size: float) -> str:
        unit = unit_of("length", self.units)
        (over,) = length_texts((round(size, 3),), self.units, self.decimal)
        return f", {unit} over {over.removesuffix(f'{self.decimal}0')} {unit}"

    # --- what one does, and what is to be minded ---

    def effects(self) -> Iterator[EffectRow]:
        for each in self.alignment.effects:
            what, texts = effect_words(self.alignment, each, self.units, self.decimal)
            yield EffectRow(what, (texts[0], texts[1], texts[2]))

    def notes(self) -> Iterator[str]:
        if not self.alignment.is_gauged:
            yield NO_GAUGE
        if any(self.alignment.gauged_amounts.values()):
            yield f"{GAUGED_AFTER} packs and turns count from how it then was."
        unit = unit_of("length", self.units)
        for adjuster in adjusters_of(self.setup).values():
            if not adjuster.sizes:
                continue
            limits = []
            if adjuster.most is not None:
                (most,) = length_texts((adjuster.most,), self.units, self.decimal)
                limits.append(f"no pack thicker than {most} {unit}")
            if adjuster.apart is not None and len(adjuster.at) == 2:
                (apart,) = length_texts((adjuster.apart,), self.units, self.decimal)
                limits.append(f"the two of a wheel no more than {apart} {unit} apart")
            way = "inboard" if adjuster.inboard else "outboard"
            words = [f"A shim moves the pivot {way}", *limits]
            yield f"{'; '.join(words)}."
        if pieces := self._pieces():
            yield f"Shims for the new packs, both wheels: {pieces}."
            if any(adjuster.have for adjuster in self.setup.adjusters.values()):
                yield FEWEST

    def _pieces(self) -> str:
        counts = Counter(
            shim
            for wheel in self.alignment.wheels.values()
            for side, own in self.alignment.wheels.items()
            if own is wheel
            for key, pack in wheel.packs.items()
            if abs(sum(pack) - self.alignment.now(key, side)) >= _STILL
            for shim in pack
        )
        sizes = sorted(counts)
        texts = length_texts(sizes, self.units, self.decimal)
        unit = unit_of("length", self.units)
        parts = [f"{counts[size]} of {text}" for size, text in zip(sizes, texts, strict=True)]
        return f"{', '.join(parts)} {unit}" if parts else ""

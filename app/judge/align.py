"""From what a gauge read to the shims that go in and the turns that are made, on each wheel.

The model says how much each shim and turn changes the angles, the gauge where they start. Every
candidate is a whole car that settles by itself, its toe set anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import asin
from typing import Final, TypeVar

import numpy as np
from scipy.optimize import least_squares

from app.document.address import SIDES, Side
from app.document.ends import ALIGNED_END, key_in, of_end
from app.document.model import Setup
from app.document.plan_pieces import ANGLES, TIE_ROD
from app.document.plans import Adjuster, Gauge
from app.judge.aligning_cars import Amounts, Knob, angles_of, knobs_of, tie_lengths, with_amounts
from app.judge.aligning_work import adjusters_of, gauged_amounts, without_alignment
from app.judge.alignment import (
    AlignError,
    Alignment,
    Effect,
    Sensitivity,
    WheelAlignment,
    aims_of,
    toe_diameter,
)
from app.judge.alignment_effects import tried_effects
from app.judge.shared_packs import Tried, best_together, nearest_of, packs_of
from geometry.front.wheel import caster_from_locks
from geometry.vectors import Array

MOST_PACKS: Final = 1000  # pairs that are all solved
_PASSES: Final = 4
_STEP: Final = 0.5  # mm by which a knob is tried
_NEAR: Final = 1e-9
Given = TypeVar("Given")


def aligned(setup: Setup) -> Alignment:
    """Work out an alignment of the car with the changes that are on done, but one that aligns.

    Raises
    ------
    AlignError
        The setup says no targets or no adjusters, or targets that no adjuster is for.
    GeometryError
        The car as proposed can't be built.
    """
    job = _Job(without_alignment(setup))
    return job.alignment()


class _Job:
    """One alignment being worked out."""

    def __init__(self, setup: Setup) -> None:
        self.setup = setup
        self.adjusters = adjusters_of(setup)
        if not self.adjusters:
            raise AlignError("the front has no adjusters: give them under [front.adjusters].")
        self.knobs = knobs_of(self.adjusters)
        self.aims = aims_of(setup)
        self.read = self._readings()
        self.toe: dict[Side, float] = {
            side: self.aims.values.get("toe", self.read[side]["toe"]) for side in SIDES
        }
        self.done = gauged_amounts(setup)  # absolute amounts, as all of them here
        start = self._car(self.done, {s: self.read[s]["toe"] for s in SIDES})
        self.start_angles = angles_of([start])
        self.start_rods = tie_lengths(start)

    def alignment(self) -> Alignment:
        """Return the whole of it."""
        amounts: dict[Side, Amounts] = {side: self.done[side] for side in SIDES}
        packs: dict[Side, dict[str, list[float]]] = {}
        for _ in range(_PASSES):
            before = amounts
            amounts, packs = self._wheels(before)
            if all(_alike(amounts[side], before[side]) for side in SIDES):
                break
        rods = self._rods(amounts)
        wheels = {side: self._told(side, amounts, packs[side], rods[side]) for side in SIDES}
        gauged = any(gauge.is_read for gauge in of_end(ALIGNED_END, self.setup.gauge).values())
        knobs = {knob.key: knob for knob in self.knobs}
        per_mm = self._toe_per_mm()
        slopes = tuple(self._sensitivities(per_mm))
        effects = tuple(self._effects(per_mm))
        return Alignment(self.setup, knobs, wheels, slopes, effects, self.aims, gauged, self.done)

    # --- what was read ---

    def _readings(self) -> dict[Side, dict[str, float]]:
        """Return what each wheel reads [rad]; what wasn't read is the model's own."""
        model_angles = angles_of([self.setup])
        gauged_angles: dict[Side, dict[str, float]] = {}
        for place, side in enumerate(SIDES):
            gauge = self.setup.gauge.get(key_in(ALIGNED_END, side), Gauge())
            model = {key: float(model_angles[key][0, place]) for key in model_angles}
            gauged_angles[side] = {
                "camber": model["camber"] if gauge.camber is None else gauge.camber,
                "caster": _caster(gauge, model),
                "toe": self._toe_read(gauge, model["toe"]),
            }
        return gauged_angles

    def _toe_read(self, gauge: Gauge, model: float) -> float:
        if gauge.toe_length is not None:
            return asin(gauge.toe_length / toe_diameter(self.setup))
        return model if gauge.toe is None else gauge.toe

    # --- both wheels ---

    def _wheels(
        self, amounts: Mapping[Side, Amounts]
    ) -> tuple[dict[Side, Amounts], dict[Side, dict[str, list[float]]]]:
        """Return what is best on each wheel while the other one stays, and their packs."""
        chosen: dict[Side, dict[str, float]] = {
            s: {k.key: self.done[s].get(k.key, 0.0) for k in self.knobs} for s in SIDES
        }
        packs: dict[Side, dict[str, list[float]]] = {side: {} for side in SIDES}
        for key, adjuster in self.adjusters.items():
            if not adjuster.sizes:
                continue
            knobs = [knob for knob in self.knobs if knob.adjuster == key]
            left, right = (self._tried(side, key, amounts, chosen[side]) for side in SIDES)
            best = best_together((left, right), adjuster.sizes, adjuster.have)
            for side, tried, (place, shims) in zip(SIDES, (left, right), best, strict=True):
                pack_changes = tried.packs[place] - adjuster.packs(side == "right")
                chosen[side] |= _of_knobs(knobs, pack_changes.tolist())
                packs[side] |= _of_knobs(knobs, shims)
        smooth = [knob for knob in self.knobs if not self.adjusters[knob.adjuster].sizes]
        for side in SIDES if smooth else ():
            if not self._is_met(self._misses(side, [chosen[side]], amounts)[0]):
                chosen[side] |= self._smooth(side, smooth, chosen[side], amounts)
        return {side: chosen[side] for side in SIDES}, packs

    def _tried(
        self, side: Side, key: str, amounts: Mapping[Side, Amounts], chosen: Amounts
    ) -> Tried:
        """Return the packs of an adjuster that may stand on a wheel, those that are fitted first.

        Fitted ones that meet the targets are left alone. All pairs are solved in one batch; where
        there are too many, those that are nearest by the sensitivities are.
        """
        knobs = [knob for knob in self.knobs if knob.adjuster == key]
        was, adjuster = self.adjusters[key].packs(side == "right"), self._as_gauged(key)
        fitted = np.array(adjuster.packs(side == "right"))
        packs = np.vstack([fitted, packs_of(adjuster, fitted)])
        if len(packs) > MOST_PACKS:
            scores = self._told_by_line(side, knobs, packs - was, amounts, chosen)
            packs = nearest_of(Tried(fitted, packs, scores), adjuster, MOST_PACKS)
        candidates = [{**chosen, **_of_knobs(knobs, moved)} for moved in (packs - was).tolist()]
        misses = self._misses(side, candidates, amounts)
        alone = slice(1) if self._is_met(misses[0]) else slice(None)
        return Tried(fitted, packs[alone], self._score(misses)[alone])

    def _as_gauged(self, key: str) -> Adjuster:
        """Return an adjuster with the packs that were fitted when the car was gauged."""
        adjuster, knobs = self.adjusters[key], [k for k in self.knobs if k.adjuster == key]
        left, right = (
            tuple(
                round(pack + self.done[side].get(knob.key, 0.0), 6)
                for knob, pack in zip(knobs, adjuster.packs(side == "right"), strict=True)
            )
            for side in SIDES
        )
        return replace(adjuster, fitted=left, fitted_right=right)

    def _smooth_keys(self) -> list[str]:
        return [k.key for k in self.knobs if not self.adjusters[k.adjuster].sizes]

    def _told_by_line(
        self,
        side: Side,
        knobs: Sequence[Knob],
        moved: Array,
        amounts: Mapping[Side, Amounts],
        chosen: Amounts,
    ) -> Array:
        """Return how far packs would miss the targets if each mm did the same, (m,)."""
        steps = [chosen, *({**chosen, knob.key: _STEP} for knob in knobs)]
        misses = self._misses(side, steps, amounts)
        slopes = (misses[1:] - misses[0]) / _STEP
        return self._score(misses[0] + moved @ slopes)

    def _smooth(
        self, side: Side, knobs: Sequence[Knob], chosen: Amounts, amounts: Mapping[Side, Amounts]
    ) -> dict[str, float]:
        """Return what eccentrics and the strut rod move, inside their reach."""
        reaches = np.array([self.adjusters[knob.adjuster].reach for knob in knobs])

        def misses(moves: Array) -> Array:
            turned = {knob.key: float(move) for knob, move in zip(knobs, moves, strict=True)}
            missed = self._misses(side, [{**chosen, **turned}], amounts)
            return np.asarray(missed[0])

        now = [chosen.get(knob.key, 0.0) for knob in knobs]
        start = np.clip(now, reaches[:, 0], reaches[:, 1])
        solution = least_squares(
            misses, start, bounds=(reaches[:, 0], reaches[:, 1]), diff_step=1e-4, xtol=1e-10
        )
        return {knob.key: float(move) for knob, move in zip(knobs, solution.x, strict=True)}

    def _car(self, amounts: Mapping[Side, Amounts], toe: Mapping[Side, float]) -> Setup:
        return with_amounts(self.setup, self.knobs, amounts, toe)

    def _reached(self, amounts: Sequence[Mapping[Side, Amounts]]) -> dict[str, Array]:
        """Return the angles of cars as the gauge would read them, (m, 2)."""
        after = angles_of([self._car(each, self.toe) for each in amounts])
        start = {key: np.array([self.read[side][key] for side in SIDES]) for key in ANGLES}
        return {key: start[key] + after[key] - self.start_angles[key] for key in ANGLES}

    def _misses(
        self, side: Side, candidates: Sequence[Amounts], amounts: Mapping[Side, Amounts]
    ) -> Array:
        """Return how far candidates of a wheel miss camber and caster, in `within`s, (m, k)."""
        reached = self._reached([{**amounts, side: each} for each in candidates])
        place = SIDES.index(side)
        return np.column_stack(
            [
                (reached[key][:, place] - self.aims.values[key]) / self.aims.within[key]
                for key in ANGLES
                if key in self.aims.values
            ]
            or [np.zeros(len(candidates))]
        )

    def _score(self, misses: Array) -> Array:
        scores = np.square(misses).sum(axis=1)
        return np.asarray(np.where(np.isfinite(scores), scores, np.inf))

    def _is_met(self, misses: Array) -> bool:
        return bool((np.abs(misses) <= 1.0 + _NEAR).all())

    # --- toe, and what is told ---

    def _rods(self, amounts: Mapping[Side, Amounts]) -> dict[Side, float]:
        """Return how much longer each tie rod becomes [mm], as far as it reaches."""
        lengths = tie_lengths(self._car(amounts, self.toe))
        rod = self.adjusters.get(TIE_ROD)
        low, high = rod.reach if rod is not None and rod.reach is not None else (0.0, 0.0)
        turned_before = np.array([self.done[side].get(TIE_ROD, 0.0) for side in SIDES])
        longer = np.clip(
            np.subtract(lengths, self.start_rods), low - turned_before, high - turned_before
        )
        return dict(zip(SIDES, longer.tolist(), strict=True))

    def _toe_reached(self, amounts: Mapping[Side, Amounts], side: Side, longer: float) -> float:
        """Return a wheel's toe with a tie rod as long as it goes [rad], by a straight line."""
        place, step = SIDES.index(side), 1e-3
        longer_by = tie_lengths(self._car(amounts, self.toe))[place] - self.start_rods[place]
        if abs(longer_by - longer) < 1e-6:
            return self.toe[side]
        more = {each: toe + step for each, toe in self.toe.items()}
        slope = (
            tie_lengths(self._car(amounts, more))[place] - self.start_rods[place] - longer_by
        ) / step
        return self.toe[side] + (longer - longer_by) / slope

    def _told(
        self,
        side: Side,
        amounts: Mapping[Side, Amounts],
        packs: Mapping[str, list[float]],
        longer: float,
    ) -> WheelAlignment:
        place, turned = SIDES.index(side), amounts[side]
        angles = self._reached([amounts])
        reached = {key: float(angles[key][0, place]) for key in ANGLES}
        reached["toe"] = self._toe_reached(amounts, side, longer)
        remaining = {key: self.aims.values[key] - reached[key] for key in self.aims.values}
        met = all(
            abs(left) <= self.aims.within[key] * (1.0 + _NEAR) for key, left in remaining.items()
        )
        moves = {
            key: turned.get(key, 0.0) - self.done[side].get(key, 0.0) for key in self._smooth_keys()
        }
        if TIE_ROD in self.adjusters:
            moves[TIE_ROD] = longer
        turns = {
            key: move / pitch
            for key, move in moves.items()
            if key in self.adjusters and (pitch := self.adjusters[key].pitch) is not None
        }
        return WheelAlignment(self.read[side], packs, moves, turns, reached, remaining, met)

    def _sensitivities(self, per_mm: float) -> Iterator[Sensitivity]:
        """Yield what each knob does, both wheels' alike, and what a turn of the tie rod does."""
        steps = [{knob.key: _STEP} for knob in self.knobs]
        for knob, angles in zip(self.knobs, self._done_by(steps, per_mm), strict=True):
            pitch = self.adjusters[knob.adjuster].pitch
            camber, caster, toe = (angle / _STEP * (pitch or 1.0) for angle in angles)
            yield Sensitivity(knob.key, "turn" if pitch else "mm", camber, caster, toe)
        if (rod := self.adjusters.get(TIE_ROD)) is not None:
            yield Sensitivity(TIE_ROD, "turn", 0.0, 0.0, per_mm * (rod.pitch or 1.0))

    def _effects(self, per_mm: float) -> Iterator[Effect]:
        """Yield what one shim of each size, one mm or one turn does, both wheels' alike."""
        has_link = self.setup.evidence.get("front.lower_arm") == "link and strut rod"
        tried = list(tried_effects(self.knobs, self.adjusters, has_link))
        angle_changes = self._done_by([amounts for _, amounts in tried], per_mm)
        for (effect, _), (camber, caster, toe) in zip(tried, angle_changes, strict=True):
            yield replace(effect, camber=camber, caster=caster, toe=toe)
        if (rod := self.adjusters.get(TIE_ROD)) is not None:
            pitch = rod.pitch or 1.0
            yield Effect(TIE_ROD, "turn", pitch, "here", 0.0, 0.0, per_mm * pitch)

    def _done_by(self, steps: Sequence[Amounts], per_mm: float) -> list[tuple[float, float, float]]:
        """Return camber, caster and toe before the tie rods are set that each of these makes."""
        both = [dict.fromkeys(SIDES, step) for step in ({}, *steps)]
        cars = [self._car(each, self.toe) for each in both]
        angles = angles_of(cars)
        rods = np.array([tie_lengths(car)[0] for car in cars])
        camber, caster = (angles[key][1:, 0] - angles[key][0, 0] for key in ANGLES)
        toe = -per_mm * (rods[1:] - rods[0])
        return list(zip(camber.tolist(), caster.tolist(), toe.tolist(), strict=True))

    def _toe_per_mm(self) -> float:
        """Return the toe that a mm of tie rod makes [rad/mm]."""
        step, untouched = 1e-3, dict[Side, Amounts]({side: {} for side in SIDES})
        ends = [
            tie_lengths(self._car(untouched, {side: toe + way for side, toe in self.toe.items()}))[
                0
            ]
            for way in (-step, step)
        ]
        return 2.0 * step / (ends[1] - ends[0])


def _of_knobs(knobs: Sequence[Knob], each: Sequence[Given]) -> dict[str, Given]:
    return {knob.key: given for knob, given in zip(knobs, each, strict=True)}


def _alike(one: Amounts, other: Amounts) -> bool:
    return one.keys() == other.keys() and all(abs(one[k] - other[k]) < 1e-4 for k in one)


def _caster(gauge: Gauge, model: Mapping[str, float]) -> float:
    if gauge.locks is not None and gauge.locks_camber is not None:
        return caster_from_locks(gauge.locks, gauge.locks_camber, model["kingpin_inclination"])
    return model["caster"] if gauge.caster is None else gauge.caster

"""Of the rear: why a value isn't there, and what else is to be known to read the figures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from app.document.keys import KEYS
from app.document.model import Setup
from app.document.moves import proposed_settings
from app.document.units import format_value
from app.systems.answers import FURTHEST, Driver, Pose, Study, value_at_rest
from app.systems.naming import (
    NEVER_SETTLES,
    SIDE_VIEW,
    TOO_FAR,
    Naming,
    holes,
    lost_words,
    missing_notes,
    names,
    title_of,
    where,
)
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.inputs import own_right_points
from app.systems.rear.words.hop import BAR_STATES
from app.systems.spring_check import SpringCheck, coil_check, leaf_check
from app.systems.study_results import results_of, value_of
from app.words.errors import geometry_words
from geometry.catalogue.front import Result
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS, REAR_RESULTS
from geometry.leaf.rear import LeafRear

_BARS: Final = (
    *("bars_close_at", "anti_squat_bars", "wheel_rate_bars"),
    *("bars_close_travel", "bars_wheel_rate", "bars_roll_rate", "bars_turn_bump"),
    *("bars_push_full", "bars_lift_full"),
)
_OTHER_WHY: Final = {
    "ride_frequency": "the rate there is none that a car could stand on",
    "settled_travel": NEVER_SETTLES,
    "stress_bump": "the axle doesn't reach full bump",
    "stress_margin": "the axle doesn't reach full bump",
    "bars_close_at": "driving never closes them",
    "damper_stroke": "a damper is past its ends where the car stands",
    "damper_bump_travel": "no damper closes within the travel, or one doesn't fit",
    "damper_droop_travel": "no damper opens to its end within the travel, or one doesn't fit",
    "damper_bump_roll": "no damper closes within the roll swept, or one doesn't fit",
    "damper_droop_roll": "no damper opens to its end within the roll swept, or one doesn't fit",
    "bars_close_travel": "bump never closes them",
    "bars_wheel_rate": "bump never closes them",
    "bars_roll_rate": "bump never closes them",
    "bars_turn_bump": "bump never closes them",
}
_FROM_HEIGHT: Final = ("settled_travel", "stress_bump", "stress_margin")
_HALF_OFF: Final = 4.0  # mm; more than tape along a leaf and plumb bob on the car disagree by


def of_kind(kind: str) -> tuple[Result, ...]:
    """Return the results of a kind of rear."""
    return LEAF_RESULTS if kind == "leaf axle" else LINK_RESULTS


def applies(result: Result, study: Study[RearAnswers]) -> bool:
    """Tell whether a result means anything on this car: without bars nothing closes."""
    return result.key not in _BARS or _has_bars(study)


def check(study: Study[RearAnswers]) -> SpringCheck | None:
    """Compare the springs with the weight; None where one of them isn't given."""
    car = study.measured
    if car.leaf is not None:
        return leaf_check(car.leaf)
    return None if car.links is None else coil_check(car.links)


def setup_notes(study: Study[RearAnswers], naming: Naming) -> Iterator[str]:
    """Return notes on the measured data: what it lacks, and the springs against the weight."""
    yield from missing_notes(
        {REAR_RESULTS[key]: keys for key, keys in study.missing.items()},
        lambda result: applies(result, study),
        naming,
        study.setup.evidence,
    )
    off = [result for result in results_of(study) if not applies(result, study)]
    if off and naming is not title_of:  # people aren't shown them at all
        yield f"Not of this car, which has no traction bars: {names(off, naming)}."
    checked = check(study)
    if checked is not None:
        yield checked.words(study.setup.units)
    if study.measured.leaf is not None:
        yield from _taped_halves(study.measured.leaf, study.setup)
    if _has_leaves(study) and _ends_assumed(study):
        yield (
            "The leaves' ends are taken as square, since rear.pack.ends isn't given: cut to a "
            "point or drawn out thin they make a softer pack."
        )
    if _has_leaves(study) and own_right_points(study.setup, True):
        yield (
            "The right spring's own points give thrust angle, wheelbase side to side and how the "
            "body leans; curves, rates and stresses take both springs as the left one, at the "
            "height where that settles. A second pack can't be given."
        )
        yield from _lean_note(study)
    askew = value_of(study.proposed, REAR_RESULTS["wheelbase_difference"])
    if askew and "front.wheel_centre" not in study.setup.evidence:
        yield (
            "The front's wheel centres aren't in the file: wheelbase, left less right, is the rear "
            "axle's own stagger."
        )
    yield from _engine_alone(study)
    hop = study.proposed.hop
    if hop is not None and hop.closed is not None:
        state = BAR_STATES[hop.closed]
        yield f"Hop, tramp and wind-up are those at small motion where the car stands: {state}."


def _lean_note(study: Study[RearAnswers]) -> Iterator[str]:
    """Say by what model the body's lean is worked out."""
    lean = study.system.lean(study)
    if lean is None:
        return
    words = "The body's lean: each spring is settled by itself under half the axle's load; "
    if lean.held_by:
        yield (
            f"{words}the springs of both ends then share the couple by their roll stiffness, as in "
            "the balance. Stabiliser bars, tyres and leaves' twist, which hold more, aren't in it."
        )
    else:
        yield f"{words}what the front holds isn't known, so the body follows them freely here."


def rest_notes(study: Study[RearAnswers], car: RearAnswers, naming: Naming) -> Iterator[str]:
    """Return notes on one car's results at rest and on those it has once."""
    yield from absent_notes(study, car.rest, naming)
    own_results = of_kind(car.kind)
    own_names = {result.identity for result in own_results}
    others = [result for result in results_of(study) if result.identity not in own_names]
    if others:
        on = "leaf springs" if car.kind == "leaf axle" else "links"
        yield f"Not of an axle on {on}: {names(others, naming)}."
    has_bars = car.leaf is not None and car.leaf.car.bars is not None
    without = [result for result in own_results if result.key in _BARS]
    if not has_bars and _has_bars(study) and car.leaf is not None:
        yield f"Not of this car, which has no traction bars: {names(without, naming)}."
    for result in own_results:
        is_explained = result.key in study.missing or result.key in SIDE_VIEW
        is_explained = is_explained or (result.key in _BARS and not has_bars)
        if value_at_rest(car, result) is None and not is_explained and applies(result, study):
            yield f"{naming(result)}: {_why(result, car)}."


def _why(result: Result, car: RearAnswers) -> str:
    if result.key in _FROM_HEIGHT and car.leaf is not None and car.leaf.settled_travel is None:
        return "how far the car settles isn't known, since its load as measured isn't"
    return _OTHER_WHY.get(result.key, "the data that the car has don't give it")


def absent_notes(study: Study[RearAnswers], sweep: RearSweep, naming: Naming) -> Iterator[str]:
    """Return why results don't exist in poses that are reached."""
    rows = [(key, holes(sweep, key)) for key in SIDE_VIEW if key in sweep.values]
    out_of_reach = np.logical_or.reduce([row for _, row in rows])
    if out_of_reach.any():
        result_names = names([REAR_RESULTS[key] for key, row in rows if row.any()], naming)
        places = where(study.setup, sweep, np.flatnonzero(out_of_reach))
        yield (
            f"{result_names}: the axle doesn't pitch as it rises: "
            f"the centre is at infinity{places}."
        )


def reach_notes(study: Study[RearAnswers], car: RearAnswers, sweep: RearSweep) -> Iterator[str]:
    """Return why poses of a sweep can't be reached, once for each way."""
    return lost_words(study.setup, sweep, lambda driver, at: _reason(study, car, driver, at))


def _reason(study: Study[RearAnswers], car: RearAnswers, driver: Driver, at: float) -> str:
    """Say what keeps a pose from being reached."""
    if abs(at) > FURTHEST[driver]:
        return TOO_FAR
    if car.leaf is not None and driver == "roll":
        return "the shackle of one spring comes to the end of its reach."
    pose = Pose(roll=at) if driver == "roll" else Pose(travel=at)
    return geometry_words(car.reason(pose), study.setup.units)


def _taped_halves(leaf: LeafRear, setup: Setup) -> Iterator[str]:
    """Compare the main leaf's halves as taped with those that the points ask for."""
    main, loop = leaf.car.pack.main, leaf.loop
    for end, taped, asked_half in (
        ("front", main.front, loop.front_arm),
        ("rear", main.rear, loop.rear_arm),
    ):
        if abs(taped - asked_half) > _HALF_OFF:
            taped_words, points = (
                format_value(half, "length", setup.units) for half in (taped, asked_half)
            )
            yield (
                f"The main leaf's {end} half is {taped_words} long by the tape, "
                f"{points} by the points: measure again whichever was harder to reach."
            )


def _engine_alone(study: Study[RearAnswers]) -> Iterator[str]:
    """Say that full thrust is the engine's alone where the tyres' share of it isn't known."""
    settings = proposed_settings(study.setup)
    needed = ("rear.drive.grip", "car.mass", "car.front_share")
    lacking = [KEYS[key].in_sentence for key in needed if key not in settings]
    if lacking and "full_thrust" in study.proposed.single:
        yield (
            "Thrust, full is all that the engine gives: what the tyres hold isn't known without "
            f"{' and '.join(lacking)}."
        )


def _has_leaves(study: Study[RearAnswers]) -> bool:
    return study.measured.leaf is not None or study.proposed.leaf is not None


def _ends_assumed(study: Study[RearAnswers]) -> bool:
    """Tell whether a pack of several leaves says nothing of their ends."""
    cars = [car.leaf for car in (study.measured, study.proposed) if car.leaf is not None]
    several = any(len(leaf.car.pack.leaves) > 1 for leaf in cars)
    return several and "rear.pack.ends" not in proposed_settings(study.setup)


def _has_bars(study: Study[RearAnswers]) -> bool:
    return any(
        car.leaf is not None and car.leaf.car.bars is not None
        for car in (study.measured, study.proposed)
    )

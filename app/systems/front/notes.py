"""Of the front: why a value isn't there, and what else is to be known to read the figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import radians, tan
from typing import Final, cast

import numpy as np

from app.document.model import Setup
from app.document.moves import proposed_number
from app.document.units import format_value
from app.systems.answers import FURTHEST, Driver, Study
from app.systems.front.study import FrontAnswers
from app.systems.front.words.travel import is_whole, travel_told
from app.systems.naming import (
    NEVER_SETTLES,
    SIDE_VIEW,
    TOO_FAR,
    Naming,
    beyond_stops,
    driver_words,
    holes,
    lost_words,
    missing_notes,
    names,
    need,
    title_of,
    where,
)
from app.systems.spring_check import spring_check
from app.words.errors import geometry_words
from geometry.catalogue.front import BY_KEY, RESULTS, Result
from geometry.front.axle import Front
from geometry.front.limits import explain
from geometry.front.road import survey_axle
from geometry.front.sweeps import FrontStudy, Sweep
from geometry.vectors import Array

_COIL_ONLY: Final = ("spring_length", "spring_force", "spring_motion_ratio", "coil_bind_travel")
_BAR_ONLY: Final = ("bar_twist", "bar_motion_ratio", "bar_torque")
_MASS: Final = ("car.mass", "car.front_share", "car.front_unsprung")
_FRONT_VIEW: Final = ("instant_centre_y", "instant_centre_z", "swing_arm_length")
_ROLL_CENTRES: Final = (
    "roll_centre_height",
    "roll_centre_lateral",
    "roll_centre_construction",
    "roll_centre_construction_lateral",
    "roll_centre_force",
)
_BY_MOTION_AND_LINES: Final = (
    ("roll_centre_height", "roll_centre_construction"),
    ("roll_centre_lateral", "roll_centre_construction_lateral"),
)
_PARTED: Final = 1.0  # mm
_BRISK: Final = radians(3.05)  # roll of a hard corner; further both centres run away
_WHY: Final = (
    (_FRONT_VIEW, "the arms are parallel in front view: the centre is at infinity"),
    (SIDE_VIEW, "the arms are parallel in side view: the centre is at infinity"),
    (("ackermann_steer", "ackermann_track_steer"), "the inner wheel is steered less than 5°"),
    (_ROLL_CENTRES, "the two wheels' lines are parallel: they meet nowhere"),
)
_SINGLE_WHY: Final = {
    "bump_steer_range": "the wheels don't reach the stated travel each way",
    "caster_turn_plates": "a wheel doesn't reach the steer at which turn plates are read",
    "toe_out_on_turns": "the inner wheel doesn't reach 20° of steer",
    "ackermann": "the inner wheel doesn't reach 20° of steer",
    "ackermann_track": "the outer wheel doesn't reach 10° of steer",
    "coil_bind_travel": "the coil doesn't bind within the travel",
    "damper_bump_travel": "the damper doesn't close within the travel",
    "damper_droop_travel": "the damper doesn't open to its end within the travel",
    "settled_travel": NEVER_SETTLES,
}


def applies(result: Result, setup: Setup) -> bool:
    """Tell whether a result means anything on this car: a coil has no twist."""
    kind = setup.evidence.get("front.spring.kind")
    if result.key in _COIL_ONLY:
        return kind != "torsion bar"
    return result.key not in _BAR_ONLY or kind == "torsion bar"


def setup_notes(study: Study[FrontAnswers], naming: Naming) -> Iterator[str]:
    """Return notes on the measured data: what it lacks, and the spring against the weight."""
    yield from missing_notes(
        {BY_KEY[key]: keys for key, keys in study.missing.items()},
        lambda result: applies(result, study.setup),
        naming,
        study.setup.evidence,
    )
    loadless = [*_without_load(study)]
    if loadless:
        yield (
            f"Missing data: {names(loadless, naming)} {need(loadless)} the spring's load: "
            f"{', '.join(_MASS)}, or {_declared(study.setup)}."
        )
    off = [result for result in RESULTS if not applies(result, study.setup)]
    if off and naming is not title_of:  # people aren't shown them at all
        kind = "a torsion bar" if off[0].key in _COIL_ONLY else "a coil"
        yield f"Not of this car, whose spring is {kind}: {names(off, naming)}."
    check = spring_check(study.measured.front)
    if check is not None:
        yield check.words(study.setup.units)


def rest_notes(study: Study[FrontAnswers], car: FrontAnswers, naming: Naming) -> Iterator[str]:
    """Return notes on one car's results at rest and on those it has once."""
    yield from absent_notes(study, car.rest, naming)
    for key, why in _SINGLE_WHY.items():
        absent = key not in car.single and key not in study.missing
        if absent and applies(BY_KEY[key], study.setup):
            yield f"{naming(BY_KEY[key])}: {why}."
    if "bump_steer_range" in car.single and not is_whole(car, study.ranges.window):
        over = travel_told(car, study.ranges.window, study.setup.units)
        yield f"{naming(BY_KEY['bump_steer_range'])}: over {over}."
    yield from _parting(study, car)


def absent_notes(study: Study[FrontAnswers], sweep: Sweep, naming: Naming) -> Iterator[str]:
    """Return why results don't exist in poses that are reached."""
    for keys, why in _WHY:
        if "ackermann_steer" in keys and naming is title_of and sweep.driver != "steer":
            continue  # people aren't shown it where nothing is steered
        rows = [(key, holes(sweep, key)) for key in keys if key in sweep.values]
        out_of_reach = (
            np.logical_or.reduce([row for _, row in rows]) if rows else np.zeros(0, dtype=bool)
        )
        if out_of_reach.any():
            result_names = names([BY_KEY[key] for key, row in rows if row.any()], naming)
            places = where(study.setup, sweep, np.flatnonzero(out_of_reach))
            yield f"{result_names}: {why}{places}."


def reach_notes(
    study: Study[FrontAnswers], front: Front, sweep: Sweep, steer: float
) -> Iterator[str]:
    """Return why poses of a sweep can't be reached, once for each way."""
    if sweep.driver != "steer" and abs(steer) > FURTHEST["steer"]:
        held = format_value(steer, "length", study.setup.units)
        yield f"Steer held at {held}: no steering goes that far."
        return
    yield from lost_words(
        study.setup, sweep, lambda driver, at: _reason(study, front, driver, at, steer)
    )


def beyond_notes(study: Study[FrontAnswers], sweep: Sweep, steer: float) -> Iterator[str]:
    """Return which poses lie beyond the stops or the rack's travel that the file gives."""
    rack = proposed_number(study.setup, "front.steering.travel")
    furthest = max(abs(steer), float(np.abs(sweep.at).max()) if sweep.driver == "steer" else 0.0)
    if rack is not None and furthest > rack + 1e-9:
        each_way = format_value(rack, "length", study.setup.units)
        yield f"Some of this lies beyond the steering's travel, {each_way} each way."
    yield from beyond_stops(study, sweep)


def _without_load(study: Study[FrontAnswers]) -> Iterator[Result]:
    """Return what the car has no value of although each key that it names is given."""
    for result in RESULTS:
        has_value = result.scope == "car" or result.key in study.measured.rest.values
        if not has_value and result.key not in study.missing and applies(result, study.setup):
            yield result


def _declared(setup: Setup) -> str:
    """Return the key that declares the spring's load without a weight."""
    bar = setup.evidence.get("front.spring.kind") == "torsion bar"
    return f"front.spring.{'preload' if bar else 'free_length'}"


def _reason(
    study: Study[FrontAnswers], front: Front, driver: Driver, at: float, steer: float
) -> str:
    """Say what keeps a pose from being reached."""
    if abs(at) > FURTHEST[driver]:
        return TOO_FAR
    rack = at if driver == "steer" else steer
    travels = {"travel": (at,), "steer": (0.0,), "roll": _wheel_travels(front, at)}[driver]
    for travel in travels:
        line = survey_axle(
            front.axle,
            np.array([rack]),
            np.array([min(travel, -1.0)]),
            np.array([max(travel, 1.0)]),
        )
        if not line.holds(np.full((2, 1), travel)).all():
            words = geometry_words(
                explain(front, line, travel, rack), study.setup.units, evidence=study.setup.evidence
            )
            if rack:
                held = format_value(rack, "length", study.setup.units, plus=True)
                return f"with the steering at {held}: {words}"
            return words
    if driver == "steer":
        return "on the way there the tie rods come to the end of their reach."
    return "the linkage comes to the end of its reach."


def _wheel_travels(front: Front, roll: float) -> Sequence[float]:
    """Return what the wheels travel in a roll, roughly [mm]: the outer one last."""
    lift = abs(tan(roll)) * float(front.reference.contact_y.mean())
    return (-lift, lift)


def _parting(study: Study[FrontAnswers], car: FrontStudy) -> Iterator[str]:
    """Say where the roll centre by motion and by construction part by more than 1 mm."""
    units = study.setup.units
    clauses = []
    motion, drawn = (float(car.rest.values[key][0]) for key in _BY_MOTION_AND_LINES[0])
    if abs(motion - drawn) > _PARTED:
        by_motion, by_lines = (format_value(height, "length", units) for height in (motion, drawn))
        clauses.append(f"where the car stands they are {by_motion} and {by_lines} up")
    clauses += (clause for sweep in (car.travel, car.roll) for clause in _partings(study, sweep))
    if clauses:
        yield (
            f"Roll centre by the motion and by the lines as drawn part: {'; '.join(clauses)}. They "
            "do so where there is trail or bump steer. The motion's is the one that carries load."
        )


def parting_notes(study: Study[FrontAnswers], sweep: Sweep) -> Iterator[str]:
    """Say where in a sweep the roll centre by motion and by construction part."""
    clauses = [*_partings(study, sweep)]
    if clauses:
        words = "; ".join(clauses)
        yield f"Roll centre by the motion and by the lines as drawn part {words}."


def _runs_off(sweep: Sweep) -> Array:
    """Return where either roll centre lies further sideways than the wheels, (n,)."""
    sideways = np.array([sweep.values[key] for key in _BY_MOTION_AND_LINES[1]])
    wheels = np.abs(sweep.values["half_track"]).max(axis=0)
    return np.asarray((np.abs(sideways) > wheels).any(axis=0))


def _partings(study: Study[FrontAnswers], sweep: Sweep | None) -> Iterator[str]:
    """Yield by how much both part in a sweep, vertically and sideways, where that is the most."""
    if sweep is None:
        return
    near = sweep.reached if sweep.driver != "roll" else sweep.reached & (abs(sweep.at) < _BRISK)
    beyond = near & _runs_off(sweep)
    if beyond.any():
        most = float(sweep.at[beyond][np.abs(sweep.at[beyond]).argmin()])
        place = driver_words(study.setup, cast(Driver, sweep.driver), most).lower()
        yield (
            f"at {place} one of them runs off sideways beyond the wheels, where the lines of left "
            "and right lie nearly parallel and its figures mean nothing"
        )
    near = near & ~beyond
    for (motion, drawn), way in zip(_BY_MOTION_AND_LINES, ("vertically", "sideways"), strict=True):
        apart = np.where(near, np.abs(sweep.values[motion] - sweep.values[drawn]), np.nan)
        if np.isfinite(apart).any() and np.nanmax(apart) > _PARTED:
            at = float(sweep.at[np.nanargmax(apart)])
            size = format_value(float(np.nanmax(apart)), "length", study.setup.units)
            place = driver_words(study.setup, cast(Driver, sweep.driver), at).lower()
            yield f"by up to {size} {way} (at {place})"

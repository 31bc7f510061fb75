"""The rows of the results: which stand first, what each says now, and why one says nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from app.document.address import SIDES
from app.document.model import Limit, Units
from app.document.plain_text import upper_first
from app.panels.figures import (
    NOTHING,
    banded_number,
    decimal_sign,
    limit_named,
    limit_words,
    result_text,
    within_number,
)
from app.panels.lists.clearance_rows import clearance_said
from app.panels.shown_results import limit_asked, needs_words, results_asked
from app.session.session import Session
from app.systems.answers import Answered, CarAnswers, Pose, value_in
from app.systems.banded import CARS_OF, ENDLESS, CarOf, StudyBands, told_within
from app.systems.clearance.results import clearance_results, is_clearance
from app.systems.front.study import FROM_STEER
from app.systems.limits import LimitCheck
from app.systems.sides import sides_are_alike, wheel_value
from app.systems.study_results import namesake_of
from app.systems.targets import HEIGHT_SEEN
from app.words.bands import ENDLESS_WORDS, banded_text, is_open, percent
from geometry.catalogue.front import Result
from geometry.dataclass import dataclass

WAIT: Final = "…"
_WHERE: Final = {"rest": "where it stands"}
_CENTRES: Final = frozenset({"instant_centre_y", "instant_centre_z", "swing_arm_length"})
_AT_LENGTH: Final = frozenset(
    {"coil_bind_travel"}
    | {f"damper_{end}_{over}" for end in ("bump", "droop") for over in ("travel", "roll")}
)
_SIDE_CENTRES: Final = frozenset({"side_centre_x", "side_centre_z", "side_swing_arm_length"})


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a group, and how many of its rows are folded away."""

    group: str
    folded: int
    is_open: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A result that has a place in the list."""

    result: Result
    needs: str = ""  # what is missing, in words
    limit: Limit | None = None
    banded: bool = False  # whether somebody knows how far it may be off
    is_of_each: bool = False  # the wheels differ where the cars stand: both are shown
    is_by_two_models: bool = False  # the cars' figures can't be compared: no change is shown


@dataclass(frozen=True, slots=True)
class Other:
    """What a row says of the other wheel, where it differs."""

    side: str
    measured: str
    proposed: str
    moves: str


@dataclass(frozen=True, slots=True)
class Said:
    """What a row says now: figures as text, and how it stands with its limit."""

    measured: str
    proposed: str
    moves: str
    value: float | None = None
    past: bool = False
    limit: str = ""  # in words, with the worst that the proposal comes to on the way
    within: tuple[str, str, str] = ("", "", "")  # how far each figure may be off
    side: str = ""  # whose figures these are, where the other wheel's differ
    other: Other | None = None
    is_second: bool = False  # the last column is of a second car, in the place of what moves


Line = Head | Row


def lines_of(session: Session, opened: frozenset[str]) -> tuple[Line, ...]:
    """Return heads and rows in order; the groups in `opened` show all of theirs."""
    lines: list[Line] = []
    every = [_row(result, session) for result in (*results_asked(session), *_clearances(session))]
    for group in dict.fromkeys(row.result.group for row in every):
        rows = [row for row in every if row.result.group == group]
        first = [row for row in rows if row.result.first or row.limit is not None]
        folded = len(rows) - len(first)
        shown = rows if group in opened or not first else first
        lines += [Head(group, folded if first else 0, group in opened), *shown]
    return tuple(lines)


def _clearances(session: Session) -> tuple[Result, ...]:
    return () if session.study is None else clearance_results(session.study)


def _row(result: Result, session: Session) -> Row:
    study, bands = session.study, session.bands
    if is_clearance(result.key):
        return Row(result, "", limit_asked(session, result))
    is_of_each = study is not None and not sides_are_alike(study, result)
    two_models = study is not None and study.system.is_by_two_models(study, result)
    needs, limit = needs_words(session, result), limit_asked(session, result)
    known = bands is not None and any(
        within_number(bands.within(car, result), result, session.units) for car in CARS_OF
    )
    return Row(result, needs, limit, known and not needs, is_of_each, two_models)


def said_by(row: Row, session: Session, side: int, reading: LimitCheck | None = None) -> Said:
    """Return what a row says in the pose that is shown; its limit by the reading of the whole."""
    study, measured, proposed = session.study, session.measured, session.proposed
    if study is None or proposed is None:
        return Said(NOTHING, NOTHING, "")
    if is_clearance(row.result.key):
        said = clearance_said(session, row.result, row.limit, WAIT)
        return Said(said.found, said.built, said.moves, said.value, said.past, said.limit)
    units, result, bands, decimal = session.units, row.result, session.bands, decimal_sign()
    before = _value(study.measured, measured, row, side)
    after = _value(study.proposed, proposed, row, side)
    past, words = _is_past(row, after, reading), ""
    if row.limit is not None:
        words = _limit_told(row.limit, row, after, reading, past, units, bands)
    words += _kept_words(bands, row)
    off = _within(session, bands, result, side)
    late = result.key in study.proposed.late
    shown = _figures(before, after, off, result, units, late, decimal)
    if row.is_by_two_models:
        shown = (*shown[:2], "")
    within = ("", "", "")
    if row.banded and WAIT not in shown:  # bands that come during a drag have no place yet
        within = _bands_said(off, result, units, bool(shown[2]), decimal)
    seconds = second_texts(row, session, side)
    if seconds is not None:
        shown, within = (*shown[:2], seconds[0]), (*within[:2], "")
    is_second = seconds is not None
    if not row.is_of_each:
        return Said(*shown, after, past, words, within, is_second=is_second)
    was = _value(study.measured, measured, row, 1 - side)
    now = _value(study.proposed, proposed, row, 1 - side)
    others_off = _within(session, bands, result, 1 - side)
    other = Other(SIDES[1 - side], *_figures(was, now, others_off, result, units, late, decimal))
    if seconds is not None:
        other = replace(other, moves=seconds[1])
    return Said(*shown, after, past, words, within, SIDES[side], other, is_second)


def second_texts(row: Row, session: Session, side: int) -> tuple[str, str] | None:
    """Return a second car's figures of the wheel that is told and of the other one.

    None where no second car is seen.
    """
    if not session.second.is_seen:
        return None
    key = "figures", row.result.identity, row.is_of_each, side
    return session.second.kept(key, lambda: _second_texts(row, session, side))


def _second_texts(row: Row, session: Session, side: int) -> tuple[str, str]:
    study, posed = session.second.study, session.second.posed
    if study is None:
        return NOTHING, NOTHING
    own = namesake_of(study.proposed, row.result)
    if own is None or own.key in study.missing or (posed is None and own.scope != "car"):
        return NOTHING, NOTHING
    values = (
        wheel_value(study.proposed, own, wheel)
        if own.scope == "car"
        else _value(study.proposed, posed, row, wheel)
        for wheel in (side, 1 - side)
    )
    here, beyond = (banded_number(value, None, own, session.units) for value in values)
    return here, beyond


def _figures(
    before: float | None,
    after: float | None,
    off: dict[CarOf, float | None],
    result: Result,
    units: Units,
    late: bool,
    decimal: str,
) -> tuple[str, str, str]:
    """Return a wheel's figures of both cars as text, and how they move, as far as they are sure.

    A `late` result is one that the study of a drag leaves out.
    """
    text = banded_number(before, off["found"], result, units, decimal=decimal)
    if late and after is None and before is not None:
        return text, WAIT, WAIT
    moves = ""
    if before is not None and after is not None:
        step = after - before
        moves = banded_number(step, off["moves"], result, units, plus=True, decimal=decimal)
    return text, banded_number(after, off["built"], result, units, decimal=decimal), moves


def _bands_said(
    off: dict[CarOf, float | None], result: Result, units: Units, has_moved: bool, decimal: str
) -> tuple[str, str, str]:
    found, built, moves = (within_number(off[car], result, units, decimal) for car in CARS_OF)
    return found, built, moves if has_moved else ""


def _within(
    session: Session, bands: StudyBands | None, result: Result, side: int
) -> dict[CarOf, float | None]:
    """Return how far a result may be off in the pose that is shown, as far as anybody knows."""
    nothing: dict[CarOf, float | None] = dict.fromkeys(CARS_OF)
    pose, study = session.pose, session.study
    if bands is None or study is None or (session.in_body and study.proposed.stand.travel):
        return nothing
    built: CarOf = "built" if study.changed else "found"
    if result.scope == "car" or pose == Pose():
        return {car: bands.within(car, result, side) for car in CARS_OF}
    driven = [(driver, at) for driver in study.system.drivers if (at := getattr(pose, driver))]
    if len(driven) != 1:
        return nothing
    driver, at = driven[0]
    place = np.array([at])
    pairs: tuple[tuple[CarOf, CarOf], ...] = (("found", "found"), ("built", built))
    for car, told in pairs:
        within = bands.curve(told, driver, result, place, side)
        if within is not None:
            nothing[car] = told_within(float(within[0]), result)
    return nothing


def _kept_words(bands: StudyBands | None, row: Row) -> str:
    """Say how probably a limit is kept, where that is open."""
    chance = bands.kept.get(row.result.key) if bands is not None else None
    return f" ({percent(chance)} sure)" if chance is not None and is_open(chance) else ""


def _value(car: CarAnswers, pose: Answered | None, row: Row, side: int) -> float | None:
    result = row.result
    if namesake_of(car, result) is None:  # a key may mean something else on another kind of axle
        return None
    if result.scope == "car":
        return wheel_value(car, result, side) if row.is_of_each else car.single.get(result.key)
    return None if pose is None else value_in(pose, result, side)


def _is_past(row: Row, value: float | None, reading: LimitCheck | None) -> bool:
    """Tell whether a limit is passed in the pose that is shown, or somewhere on the way."""
    if row.limit is None:
        return False
    on_the_way = reading is not None and reading.held is False
    return on_the_way or (value is not None and not row.limit.allows(value))


def _limit_told(
    limit: Limit,
    row: Row,
    value: float | None,
    reading: LimitCheck | None,
    past: bool,
    units: Units,
    bands: StudyBands | None,
) -> str:
    """Return a limit in words, with the worst value where that isn't the one that is shown."""
    words = limit_words(limit, row.result, units)
    if past:
        words = f"past its {limit_named(limit, row.result, units)}"
    worst = reading.proposed if reading is not None else None
    if worst is None:
        return words
    worst_words = result_text(worst.value, row.result, units, limit)
    off = None if bands is None else bands.within_most("built", row.result)
    if off is not None and within_number(off, row.result, units):
        worst_words = banded_text(worst.value, off, row.result, units, decimal=decimal_sign())
    is_shown = value is not None and worst_words == result_text(value, row.result, units)
    if worst.driver == "rest" and (is_shown or not past):
        return words
    if row.result.scope == "car":
        return f"{words}: {worst_words}"
    return f"{words}: {worst_words} {_WHERE.get(worst.driver, f'in {worst.driver}')}"


def why_nothing(row: Row, session: Session) -> str:
    """Return why a row has no value in the pose that is shown."""
    key = row.result.key
    if row.needs:
        return f"{upper_first(row.needs)}. Enter it in the measured car."
    if ENDLESS in _within(session, session.bands, row.result, 0).values():
        return f"{upper_first(ENDLESS_WORDS)}."
    if key in _CENTRES:
        return "In front view the arms are parallel here: their centre is infinitely far away."
    if key in _SIDE_CENTRES:
        return "In side view the arms are parallel here: their centre is infinitely far away."
    if key in _AT_LENGTH:
        return "That length is not met within the travel or roll that is swept."
    if key in FROM_STEER:
        return "The steering doesn't turn the wheels far enough for it."
    if key in ("ackermann_steer", "ackermann_track_steer"):
        return "There is none straight ahead: steer the car, or look at the curve over steer."
    if key == "bump_steer_range":
        return "The linkage can't take the whole of the stated travel."
    if key == "settled_travel":
        return "No height was found at which the spring carries the load."
    return "It doesn't exist for this car in this pose."


def pose_words(session: Session, unreal: str) -> str:
    """Return what keeps the shown pose from being trusted; empty when nothing does.

    `unreal` is why the figures are of no real part.
    """
    if session.problem is not None:
        return "Results of the last car that could be built and posed."
    if session.study is not None and session.measured is None:
        return "The measured car can't reach this pose."
    return unreal or _in_body_words(session)


def _in_body_words(session: Session) -> str:
    """Return that the poses shown aren't where the car as built stands; empty where they are."""
    study = session.study
    if not session.in_body or study is None or abs(study.proposed.stand.travel) < HEIGHT_SEEN:
        return ""
    return (
        "Both cars from one place in the body. As built it doesn't stand there; results that a car "
        "has once, limits and sentences are of where it stands."
    )


def unreal_words(session: Session) -> str:
    """Return why the figures are of no real part; empty where they are of one."""
    study = session.study
    if study is None:
        return ""
    return session.system.unreal(study, decimal_sign())

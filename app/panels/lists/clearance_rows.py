"""What the list of results says of clearances."""

from __future__ import annotations

from app.document.model import Limit, Units
from app.panels.figures import NOTHING, decimal_sign, limit_named, limit_words, result_text
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.clearance.clearances import ClearanceCheck, Reading, clearances, driver_of
from app.systems.clearance.results import key_of_clearance
from app.systems.clearance.words import gap_words, pose_words
from app.words.results import result_number
from geometry.catalogue.front import Result
from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class ClearanceSaid:
    """Figures of a clearance as text, its value as built, and how it stands with its limit."""

    found: str
    built: str
    moves: str
    value: float | None
    past: bool
    limit: str


def check_of(session: Session, key: str) -> ClearanceCheck | None:
    """Return the clearance of a row with its readings."""
    study = session.study
    checks = clearances(study) if study is not None else ()
    return next((each for each in checks if key_of_clearance(each.clearance) == key), None)


def clearance_said(
    session: Session, result: Result, limit: Limit | None, wait: str
) -> ClearanceSaid:
    """Return what a row says: the nearer side's figures; `wait` for what isn't worked out yet."""
    check, units = check_of(session, result.key), session.units
    if check is None or session.study is None:
        return ClearanceSaid(NOTHING, NOTHING, "", None, False, "")
    found, built = check.found, check.built
    words = "" if limit is None else limit_words(limit, result, units)
    if check.held is False and limit is not None:
        words = f"past its {limit_named(limit, result, units)}"
    if built is None and session.study.short:
        return ClearanceSaid(_figure(found, result, units), wait, wait, None, False, words)
    moves = ""
    if found is not None and built is not None and session.study.changed:
        step = built.gap - found.gap
        moves = result_number(step, result, units, plus=True, decimal=decimal_sign())
    return ClearanceSaid(
        _figure(found, result, units),
        _figure(built, result, units),
        moves,
        None if built is None else built.gap,
        check.held is False or (built is not None and built.touches),
        words,
    )


def least_words(session: Session, place: int) -> str:
    """Say how near the pair at a place in its end's list comes over all poses, in both cars."""
    study = session.study
    checks = clearances(study) if study is not None else ()
    if study is None or place >= len(checks):
        return ""
    check, units, sign = checks[place], session.units, decimal_sign()
    told = [f"As found {gap_words(check.found, units, sign)}"] if check.found else []
    if study.changed and check.built:
        told.append(f"as built {gap_words(check.built, units, sign)}")
    return f"{', '.join(told)}, in the nearest of all poses." if told else ""


def nearest_words(session: Session, key: str) -> str:
    """Say how near a pair comes as built, and in which pose."""
    check, study = check_of(session, key), session.study
    reading = None if check is None else check.built
    if check is None or study is None or reading is None:
        return ""
    where = pose_words(study, reading, decimal_sign())
    return f"As built nearest on the {reading.side}, {where}"


def nearest_pose(session: Session, key: str) -> Pose | None:
    """Return the pose in which a pair comes nearest as built; None where that isn't known."""
    check, study = check_of(session, key), session.study
    reading = None if check is None else check.built
    if study is None or reading is None:
        return None
    if driver_of(study) == "steer":
        return Pose(reading.travel, 0.0, reading.driven)
    return Pose(reading.travel, reading.driven)


def _figure(reading: Reading | None, result: Result, units: Units) -> str:
    if reading is None:
        return NOTHING
    text = result_text(reading.gap, result, units)
    return text.split(" ")[0]

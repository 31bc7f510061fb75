"""The rows of the results: which stand first, what each says now, and why one says nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app.document.keys import KEYS
from app.document.model import Limit, Setup, Units
from app.document.proposal import proposed_values
from app.geometry_words import geometry_words
from app.limit_readings import LimitReading
from app.panels.figures import NOTHING, decimal_sign, result_number, result_text
from app.result_words import limit_of
from app.session import Session
from app.study import value_in
from geometry.catalogue import RESULTS, Result
from geometry.front_sweeps import FrontStudy, Sweep

FIRST: Final = frozenset(
    {
        "camber",
        "toe",
        "caster",
        "kingpin_inclination",
        "camber_gain",
        "bump_steer",
        "bump_steer_range",
        "roll_centre_height",
        "swing_arm_length",
        "scrub_radius",
        "mechanical_trail",
        "roll_camber",
        "roll_steer",
        "anti_dive",
        "spring_motion_ratio",
        "bar_motion_ratio",
        "wheel_rate",
        "ride_frequency",
        "settled_travel",
        "upper_ball_swing",
        "lower_ball_swing",
    }
)
"""What a specialist reads first; the rest is folded away (common practice, no source)."""

GROUPS: Final = tuple(dict.fromkeys(result.group for result in RESULTS))
WAIT: Final = "…"
_OF_A_BAR: Final = frozenset({"bar_twist", "bar_motion_ratio", "bar_torque"})
_OF_A_COIL: Final = frozenset(
    {"spring_length", "spring_force", "spring_motion_ratio", "coil_bind_travel"}
)
_FROM_STEER: Final = frozenset({"caster_turn_plates", "toe_out_on_turns", "ackermann"})
_CENTRES: Final = frozenset({"instant_centre_y", "instant_centre_z", "swing_arm_length"})
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


@dataclass(frozen=True, slots=True)
class Said:
    """What a row says now: figures as text, and how it stands with its limit."""

    measured: str
    proposed: str
    moves: str
    value: float | None = None
    past: str = ""  # "", "past limit", or which wheel is


Line = Head | Row


def lines_of(session: Session, opened: frozenset[str]) -> tuple[Line, ...]:
    """Return heads and rows in order; the groups in `opened` show all of theirs."""
    lines: list[Line] = []
    fitting = [result for result in RESULTS if fits(result, session.setup)]
    for group in GROUPS:
        rows = [_row(result, session) for result in fitting if result.group == group]
        first = [row for row in rows if row.result.key in FIRST or row.limit is not None]
        shown = rows if group in opened else first
        if rows:
            folded = len(rows) - len(first)
            lines += [Head(group, folded, group in opened), *shown]
    return tuple(lines)


def fits(result: Result, setup: Setup) -> bool:
    """Tell whether a result can be asked of this car's kind of spring."""
    kind = proposed_values(setup).get("front.spring.kind")
    if result.key in _OF_A_BAR:
        return kind == "torsion bar"
    return not (result.key in _OF_A_COIL and kind == "torsion bar")


def _row(result: Result, session: Session) -> Row:
    study = session.study
    missing = study.missing.get(result.key, ()) if study else ()
    return Row(result, needs_words(missing), limit_of(session.setup, result))


def needs_words(keys: tuple[str, ...]) -> str:
    """Return what is missing as a person would call it: "needs: wheelbase"."""
    names = [KEYS[key].title if key in KEYS else key for key in keys]
    return f"needs: {', '.join(name[:1].lower() + name[1:] for name in names)}" if names else ""


def said_by(row: Row, session: Session, side: int, reading: LimitReading | None = None) -> Said:
    """Return what a row says in the pose that is shown; its limit by the reading of the whole."""
    study, measured, proposed = session.study, session.measured, session.proposed
    if study is None or measured is None or proposed is None:
        return Said(NOTHING, NOTHING, "")
    units, result = session.units, row.result
    before = _value(study.measured, measured, result, side)
    after = _value(study.proposed, proposed, result, side)
    text = result_number(before, result, units)
    if after is None and study.short and result.key in _FROM_STEER and before is not None:
        return Said(text, WAIT, WAIT)
    moves = ""
    if before is not None and after is not None:
        moves = result_number(after - before, result, units, plus=True)
    past = _past(row, after, reading, units)
    return Said(text, result_number(after, result, units), moves, after, past)


def _value(car: FrontStudy, pose: Sweep, result: Result, side: int) -> float | None:
    return car.single.get(result.key) if result.scope == "car" else value_in(pose, result, side)


def _past(row: Row, value: float | None, reading: LimitReading | None, units: Units) -> str:
    """Return how a limit is passed, in words: here, or somewhere on the way."""
    if row.limit is None:
        return ""
    if value is not None and not row.limit.allows(value):
        return "past limit"
    worst = reading.proposed if reading is not None else None
    if worst is None or row.limit.allows(worst.value):
        return ""
    return f"past limit, {result_text(worst.value, row.result, units)}"


def why_nothing(row: Row, session: Session) -> str:
    """Return why a row has no value in the pose that is shown."""
    key, proposed = row.result.key, session.proposed
    if row.needs:
        return f"{row.needs[:1].upper()}{row.needs[1:]}. Enter it in the measured car."
    if row.result.scope != "car" and proposed is not None and not proposed.reached[0]:
        return "The linkage can't take this pose."
    if key in _CENTRES:
        return "In front view the arms are parallel here: their centre is infinitely far away."
    if key in _SIDE_CENTRES:
        return "In side view the arms are parallel here: their centre is infinitely far away."
    if key in ("coil_bind_travel", "damper_bump_travel", "damper_droop_travel"):
        return "That length is not met within the travel that is swept."
    if key in _FROM_STEER:
        return "The steering doesn't turn the wheels far enough for it."
    if key == "bump_steer_range":
        return "The linkage can't take the whole of the stated travel."
    if key == "settled_travel":
        return "No height was found at which the spring carries the load."
    return "It doesn't exist for this car in this pose."


def pose_words(session: Session) -> str:
    """Return what keeps the shown pose from being trusted; empty when nothing does."""
    proposed, measured = session.proposed, session.measured
    if session.problem is not None:
        words = geometry_words(session.problem, session.units, decimal_sign())
        return f"{words} The results are those of the last car that could be built."
    if proposed is not None and not proposed.reached[0]:
        return "The proposed car can't reach this pose."
    if measured is not None and not measured.reached[0]:
        return "The measured car can't reach this pose."
    return ""

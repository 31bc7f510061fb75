"""What is said of the thing under the pointer."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QLocale

from app.document.keys import KEYS
from app.document.units import format_point
from app.gestures.move_points import AXIS_WORDS
from app.places import measured_place
from app.session import Session
from app.study import changed_points

GRIPS: Final = {
    "wheel": "Wheel: drag it up and down to travel it",
    "ground": "Ground: drag it up and down to roll the car",
}


def hover_note(session: Session, key: str) -> str:
    """Return name, measured place, what is proposed for it and what it belongs to."""
    if key not in KEYS:
        return GRIPS.get(key.partition(":")[0], "")
    decimal, units, setup = QLocale().decimalPoint(), session.units, session.shown_setup
    lines = [KEYS[key].title]
    within = setup.within.get(key)
    place = format_point(measured_place(setup, key), units, decimal=decimal)
    lines.append(f"measured {place}" + (f" ± {within:g}" if within and units == "mm" else ""))
    move = changed_points(setup).get(key)
    if move is not None:
        lines.append(f"moved {format_point(move, units, decimal=decimal)}")
    lines.append("part of the " + KEYS[key].purpose if KEYS[key].on_part else "a hole in the body")
    kept = session.locks.get(key)
    if kept:
        lines.append("locked: " + ", ".join(AXIS_WORDS[axis] for axis in sorted(kept)))
    note = setup.point_notes.get(key)
    if note:
        lines.append(f"“{note}”")
    return "\n".join(lines)

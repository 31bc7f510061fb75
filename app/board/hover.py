"""The note on the thing under the pointer."""

from __future__ import annotations

from typing import Final, cast

from PySide6.QtCore import QLocale

from app.document.keys import KEYS
from app.document.model import Vec
from app.document.moves import (
    REST,
    is_measured,
    is_there,
    measured_place,
    proposed_place,
    total_moves,
)
from app.document.plain_text import printable
from app.document.point_names import point_title
from app.document.units import format_point, number_of
from app.gestures.move_points import AXIS_WORDS
from app.judge.drawn import NO_ROOM
from app.judge.room_drawing import End, end_words, is_room
from app.session.session import Session
from app.systems.result_handles import results_held
from app.words.point_parts import where_words

GRIPS: Final = {
    "wheel": "Wheel: drag it up and down to travel it",
    "ground": "Ground: drag it up and down to roll the car",
}

RESULT: Final = "Drag it: points with room follow by the least move\ndouble-click to type a value"

NO_ROOM_YET: Final = f"no point has room yet. {NO_ROOM}"


def hover_note(session: Session, key: str) -> str:
    """Return a point's name, measured and proposed place, move, and what it moves."""
    if is_room(key):
        words = end_words(session.shown_setup, End.at(key), QLocale().decimalPoint())
        return printable(f"{words}\ndrag it, or use the arrow keys")
    if results_held(key):
        return RESULT if session.setup.rooms else f"{RESULT}\n{NO_ROOM_YET}"
    if key not in KEYS:
        return GRIPS.get(key.partition(":")[0], "")
    decimal, units, setup = QLocale().decimalPoint(), session.units, session.shown_setup
    if not is_there(setup, key):
        return ""  # the pointer lies where a point of another car was
    lines = [point_title(key, setup.evidence)]
    within = setup.within.get(key)
    place = format_point(measured_place(setup, key), units, decimal=decimal)
    start = "measured" if is_measured(setup, key) else "new with a change, at"
    sizes = within if isinstance(within, tuple) else (within,) if within else ()
    known = " / ".join(number_of(size, "length", units, decimal=decimal) for size in sizes)
    lines.append(f"{start} {place}" + (f" ± {known}" if known else ""))
    read = setup.readings.get(key, setup.evidence.get(key))
    if read != setup.evidence.get(key):
        as_read = format_point(cast(Vec, read), units, decimal=decimal)
        lines.append(f"as the tapes agree best; read {as_read}")
    move = total_moves(setup).get(key, REST)
    if any(move):
        proposed = format_point(proposed_place(setup, key), units, decimal=decimal)
        lines.append(f"proposed {proposed}")
        lines.append(f"moved {format_point(move, units, decimal=decimal)}")
    lines.append(where_words(key, setup.evidence))
    if setup.adjusters and session.preview_setup is None:
        from app.judge.adjuster_words import note_lines  # a start has no time for it

        lines += note_lines(setup, key, units, decimal)
    locked_axes = session.locks.get(key)
    if locked_axes:
        lines.append("locked: " + ", ".join(AXIS_WORDS[axis] for axis in sorted(locked_axes)))
    note = setup.point_notes.get(key)
    if note:
        lines.append(f"“{note}”")
    return printable("\n".join(lines))

"""What can be done to a point: type its place, reset, lock, note."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtWidgets import QInputDialog, QMenu, QWidget

from app.desk.finding.room_menu import offer_room
from app.document.address import is_right, left_of
from app.document.edits import move_both_sides, reset_point, set_point_note
from app.document.point_names import point_title, point_words
from app.gestures.target import renamed
from app.panels.lists.reading_dialog import can_be_corrected, correct
from app.session.session import Session

AXES: Final = ("X, along the car", "Y, across", "Z, height")
ALL: Final = frozenset((0, 1, 2))


def point_menu(
    session: Session,
    key: str,
    parent: QWidget,
    edit: Callable[[str], None],
    find: Callable[[str], None] = lambda _key: None,
) -> QMenu:
    """Return the menu of a point."""
    title = point_title(key, session.setup.evidence)
    menu = QMenu(title, parent)
    menu.addAction(title).setEnabled(False)
    menu.addSeparator()
    menu.addAction("Type its place or move…").triggered.connect(lambda *_: edit(key))
    reset = menu.addAction("Reset in this change")
    reset.setEnabled(_is_moved(session, key))
    reset.triggered.connect(lambda *_: _reset(session, key))
    if is_right(key):
        both = menu.addAction("Move both sides alike")
        both.setEnabled(_is_moved(session, key))
        both.triggered.connect(lambda *_: _move_both_sides(session, key))
    again = menu.addAction("Correct the reading…")
    again.setEnabled(can_be_corrected(session.history.value, key))
    again.triggered.connect(lambda *_: correct(session, key, parent))
    menu.addAction("Note…").triggered.connect(lambda *_: _note(session, key, parent))
    _offer_tape(menu, session, key, parent)
    if session.history.value.adjusters:
        from app.desk.adjuster_menu import offer_adjusters

        offer_adjusters(menu, session, key)
    menu.addSeparator()
    menu.addAction("Find where this must be…").triggered.connect(lambda *_: find(key))
    offer_room(menu, session, key)
    menu.addSeparator()
    locked_axes = session.locks.get(key, frozenset())
    whole = menu.addAction("Lock the point")
    whole.setCheckable(True)
    whole.setChecked(locked_axes == ALL)
    whole.triggered.connect(lambda on: session.lock(key, ALL if on else frozenset()))
    for axis, words in enumerate(AXES):
        action = menu.addAction(f"Lock {words}")
        action.setCheckable(True)
        action.setChecked(axis in locked_axes)
        action.triggered.connect(_locker(session, key, axis))
    return menu


def _offer_tape(menu: QMenu, session: Session, key: str, parent: QWidget) -> None:
    """Offer a tape to the other point that is selected, or to one that is then chosen."""
    from app.panels.lists.tapes_table import take_tape

    other = next((chosen for chosen in session.selection if chosen != key), "")
    evidence = session.setup.evidence
    words = f"Tape to {point_words(other, evidence)}…" if other else "Tape to…"
    ends = (key, other) if other else (key,)
    menu.addAction(words).triggered.connect(lambda *_: take_tape(session, parent, ends))


def _locker(session: Session, key: str, axis: int) -> Callable[[bool], None]:
    def lock(on: bool) -> None:
        locked_axes = session.locks.get(key, frozenset())
        session.lock(key, locked_axes | {axis} if on else locked_axes - {axis})

    return lock


def _is_moved(session: Session, key: str) -> bool:
    index, changes = session.active, session.setup.changes
    if index is None or index >= len(changes):
        return False
    return key in changes[index].moves or key in changes[index].sets


def _reset(session: Session, key: str) -> None:
    if session.active is not None:
        setup = reset_point(session.history.value, session.active, key)
        session.commit(setup, f"reset {point_words(key, setup.evidence)}")


def _move_both_sides(session: Session, key: str) -> None:
    before, index = session.history.value, session.active
    if index is not None:
        edited = move_both_sides(before, index, key)
        words = f"move {point_words(left_of(key), before.evidence)} on both sides"
        session.commit(renamed(before, edited, index, session.units), words)


def _note(session: Session, key: str, parent: QWidget) -> None:
    before = session.setup.point_notes.get(key, "")
    words, accepted = QInputDialog.getMultiLineText(
        parent,
        point_title(key, session.setup.evidence),
        "How it was measured, what to mind:",
        before,
    )
    if accepted and words != before:
        setup = set_point_note(session.history.value, key, words)
        session.commit(setup, f"note on {point_words(key, setup.evidence)}")

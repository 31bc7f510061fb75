"""Typed edits: they go into the active change, as a drag does, and switch it on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.document.edits import (
    reset_point,
    reset_value,
    set_move,
    set_value,
    switch_change,
)
from app.document.keys import KEYS, left_of, right_of
from app.document.model import Change, Setup, Value, Vec
from app.document.proposal import add, mirrored, point_in, proposed_values
from app.gestures.target import renamed, with_target
from app.moves import known_points, side_moves
from app.session import Session

Edit = Callable[[Setup, int], Setup]
REST: Final[Vec] = (0.0, 0.0, 0.0)


def propose(session: Session, edit: Edit, words: str) -> None:
    """Commit an edit of the active change, or of a new one where none is active."""
    before, index = with_target(session.history.value, session.active)
    after = renamed(before, edit(before, index), index, session.units)
    if not after.changes[index].on:
        after = switch_change(after, index, True)
    session.set_active(index)
    session.commit(after, words)


def whole_moves(setup: Setup, axle: str) -> dict[str, Vec]:
    """Return how far the changes that are on move each point, those of the right side too."""
    totals: dict[str, Vec] = {}
    for side in ("left", "right"):
        for moves in side_moves(setup, side, axle):
            for name, step in moves.items():
                key = f"{axle}.{name}"
                key = key if side == "left" else right_of(key)
                totals[key] = add(totals.get(key, REST), step)
    return totals


def move_to(session: Session, key: str, place: Vec) -> None:
    """Move a point to a place in car axes [mm]."""

    def edit(setup: Setup, index: int) -> Setup:
        if key in setup.changes[index].sets:
            return set_value(setup, index, key, place)
        at = point_in(known_points(setup), key)
        there = add(at, whole_moves(setup, session.axle).get(key, REST))
        own = _move_in(setup.changes[index], key)
        step = (place[0] - there[0], place[1] - there[1], place[2] - there[2])
        return set_move(setup, index, key, add(own, step))

    propose(session, edit, f"move {spoken_title(key)}")
    _say_if_overruled(session, key)


def _move_in(change: Change, key: str) -> Vec:
    """Return what a change does to a point; an untold right-hand one mirrors the left."""
    if key in change.moves or left_of(key) == key or not change.on:
        return change.moves.get(key, REST)
    return mirrored(change.moves.get(left_of(key), REST))


def reset_here(session: Session, key: str) -> None:
    """Take a point's move out of the active change."""
    if session.active is not None:
        edited = reset_point(session.history.value, session.active, key)
        session.commit(edited, f"reset {spoken_title(key)}")


def put_back(session: Session, key: str) -> None:
    """Take a point's moves out of every change."""
    edited = session.history.value
    for index in range(len(edited.changes)):
        edited = reset_point(edited, index, key)
    session.commit(edited, f"put {spoken_title(key)} back")


def give_value(session: Session, key: str, value: Value, words: str = "") -> None:
    """Let the active change set a value; the value it has without it takes the setting out."""

    def edit(setup: Setup, index: int) -> Setup:
        without = reset_value(setup, index, key)
        if proposed_values(without).get(key) == value:
            return without
        return set_value(setup, index, key, value)

    propose(session, edit, words or f"change {spoken_title(key)}")
    _say_if_overruled(session, key)


def keep_measured(session: Session, key: str) -> None:
    """Take the setting of a value out of every change."""
    edited = session.history.value
    for index in range(len(edited.changes)):
        edited = reset_value(edited, index, key)
    session.commit(edited, f"keep {spoken_title(key)} as measured")


def spoken_title(key: str) -> str:
    """Return a key's title as it stands inside a sentence."""
    title = KEYS[key].title
    return title[:1].lower() + title[1:]


def _say_if_overruled(session: Session, key: str) -> None:
    """Say which later change sets the value all the same."""
    active = session.active
    if active is None:
        return
    later = [c.name for c in session.setup.changes[active + 1 :] if c.on and key in c.sets]
    if later:
        session.said.emit(
            f"“{later[-1]}” comes later in the list and sets {spoken_title(key)}: it wins."
        )

"""Typed edits: they go into the active change, as a drag does, and switch it on."""

from __future__ import annotations

from collections.abc import Callable

from app.document.edits import (
    EditError,
    reset_point,
    reset_value,
    set_move,
    set_value,
    switch_change,
)
from app.document.keys import KEYS
from app.document.model import Setup, Units, Value, Vec
from app.document.moves import add, move_in_change, proposed_place, proposed_values, subtract
from app.document.plausible import Question, all_questions, told
from app.document.point_names import point_words
from app.gestures.move_points import free_points, moved_together, words_for
from app.gestures.target import renamed, with_target
from app.session.session import Session

Edit = Callable[[Setup, int], Setup]


def propose(session: Session, edit: Edit, words: str) -> None:
    """Commit an edit of the active change, or of a new one where none is active."""
    before, index = with_target(session.history.value, session.active)
    after = renamed(before, edit(before, index), index, session.units)
    if not after.changes[index].on:
        after = switch_change(after, index, True)
    session.set_active(index)
    session.commit(after, words)


def move_to(session: Session, key: str, place: Vec) -> None:
    """Move a point to a place in car axes [mm]."""
    reason = session.system.fixed_because(session.history.value, key)
    if reason:
        session.said.emit(reason)
        return
    shown = session.places()

    def edit(setup: Setup, index: int) -> Setup:
        if key in shown:
            by_value = session.system.moved_by_value(setup, index, key, subtract(place, shown[key]))
            if by_value is not None:
                return by_value
        if key in setup.changes[index].sets:
            return set_value(setup, index, key, place)
        own_move = move_in_change(setup, setup.changes[index], key)
        return set_move(
            setup, index, key, add(own_move, subtract(place, proposed_place(setup, key)))
        )

    before = session.history.value
    propose(session, edit, f"move {point_words(key, before.evidence)}")
    say_after(session, before, _overruled(session, key))


def move_by(session: Session, key: str, step: Vec) -> None:
    """Move a point, and those that are selected with it, by a typed step [mm]."""
    before, keys = session.history.value, free_points(session, key)
    if not keys or not any(step):
        return
    setup, index = with_target(before, session.active)
    try:
        edited = moved_together(session, setup, index, keys, step)
    except EditError as error:
        session.said.emit(str(error))
        return
    session.set_active(index)
    session.commit(renamed(setup, edited, index, session.units), f"move {words_for(keys, setup)}")
    say_after(session, before)


def reset_here(session: Session, key: str) -> None:
    """Take a point's move out of the active change."""
    if session.active is not None:
        edited = reset_point(session.history.value, session.active, key)
        session.commit(edited, f"reset {point_words(key, edited.evidence)}")


def put_back(session: Session, key: str) -> None:
    """Take a point's moves out of every change."""
    edited = session.history.value
    for index in range(len(edited.changes)):
        edited = reset_point(edited, index, key)
    session.commit(edited, f"put {point_words(key, edited.evidence)} back")


def give_value(session: Session, key: str, value: Value, words: str = "") -> None:
    """Set a value in the active change; the value it has without the change removes the setting."""

    def edit(setup: Setup, index: int) -> Setup:
        without = reset_value(setup, index, key)
        if proposed_values(without).get(key) == value:
            return without
        return set_value(setup, index, key, value)

    before = session.history.value
    propose(session, edit, words or f"change {KEYS[key].in_sentence}")
    say_after(session, before, _overruled(session, key))


def keep_measured(session: Session, key: str) -> None:
    """Take the setting of a value out of every change."""
    edited = session.history.value
    for index in range(len(edited.changes)):
        edited = reset_value(edited, index, key)
    session.commit(edited, f"keep {KEYS[key].in_sentence} as measured")


def say_after(session: Session, before: Setup, words: str = "") -> None:
    """Report the words of an edit, and what looks mistyped in it.

    A question comes before what can't be built with it, since it names the likely cause. It isn't
    asked again as long as the value stays.
    """
    questions = new_questions(before, session.history.value, session.units)
    if not (questions or words):
        return
    first = told(questions[0]) if questions else ""
    more = f"{len(questions) - 1} more look odd." if len(questions) > 1 else ""
    session.said.emit(" ".join(filter(None, (first, more, words, session.problem_words))))


def new_questions(before: Setup, after: Setup, units: Units) -> list[Question]:
    """Return the questions that an edit raises and that weren't there before."""
    earlier_questions = frozenset(all_questions(before.having(units=units)))
    return [
        question
        for question in all_questions(after.having(units=units))
        if question not in earlier_questions
    ]


def _overruled(session: Session, key: str) -> str:
    """Return which later change sets the value all the same; empty where none does."""
    active = session.active
    if active is None:
        return ""
    later = [c.name for c in session.setup.changes[active + 1 :] if c.on and key in c.sets]
    if not later:
        return ""
    return f"“{later[-1]}” comes later in the list and sets {KEYS[key].in_sentence}: it wins."

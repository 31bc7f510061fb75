"""What is corrected in the guide reaches the car: tapes, marks and notes as well as readings."""

from __future__ import annotations

import pytest

from app.entry.guide import hand_correction_over
from app.session.session import Session
from tests.helpers.entering import sample

pytestmark = pytest.mark.gui


def test_a_tape_left_out_and_a_note_reach_the_car_as_one_step() -> None:
    before = sample("taped_saloon")
    session = Session(before)
    tapes = before.tapes[:3] + before.tapes[4:]
    hand_correction_over(session, before.having(tapes=tapes, notes=f"{before.notes}\nTape 4 left"))
    after = session.history.value
    assert after.tapes == tapes
    assert after.marks == before.marks
    assert after.notes.endswith("Tape 4 left")
    session.undo()
    assert session.history.value == before


def test_a_correction_of_nothing_leaves_the_car_as_it_is() -> None:
    before = sample("taped_saloon")
    session = Session(before)
    hand_correction_over(session, before.having(notes=before.notes))
    assert session.history.value == before

"""What is corrected in the guide reaches the car: tapes, marks and notes as well as readings."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.files import read_text, text_of
from app.document.model import Setup, Tape
from app.document.same import same_setup
from app.entry.car_page import Choice
from app.entry.guide import correct_car, hand_correction_over
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
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


def taped_relay() -> Setup:
    """Return a car with relay steering, a tape along its pitman arm and one beside it."""
    arm = Tape(("front.pitman_pivot", "front.pitman_end"), 149.9, 1.3)
    other = Tape(("front.upper_ball", "front.lower_ball"), 282.0, 1.3)
    return sample("inch_sedan").having(tapes=(arm, other))


def test_a_tape_goes_with_the_relay_it_ended_at_and_that_is_said(
    qtbot: QtBot, tmp_path: Path
) -> None:
    session = Session(taped_relay())
    before = session.setup
    window = correct_car(None, session, "car", tmp_path)
    with qtbot.waitExposed(window):
        window.activateWindow()
    window.sitting.go("car")
    rack = next(
        each for each in window.findChildren(Choice) if each.accessibleName() == "Steering: rack"
    )
    QTest.mouseClick(rack, Qt.MouseButton.LeftButton)
    window.sitting.go("last")
    with qtbot.waitSignal(session.said) as said:
        QTest.mouseClick(window.foot.next, Qt.MouseButton.LeftButton)
    after = session.history.value
    assert "front.pitman_pivot" not in after.readings
    assert after.tapes == before.tapes[1:]
    assert said.args == [
        "1 tape went with a point that is measured no more: Pitman arm, pivot – pitman arm, end."
    ]
    assert same_setup(read_text(text_of(after), limit_kinds=LIMIT_KINDS).setup, after)
    session.undo()
    assert session.history.value == before


def test_how_well_it_is_measured_alone_is_a_step_of_its_own() -> None:
    before = sample("taped_saloon")
    session = Session(before)
    hand_correction_over(session, before.having(within={**before.within, "front.toe": 0.002}))
    assert session.history.value.within["front.toe"] == 0.002
    assert session.history.undo_words == "say how well it is measured"
    session.undo()
    assert session.history.value == before

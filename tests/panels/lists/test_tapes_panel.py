"""Tapes in the window: entered between two points, listed, left out, and told in all places."""

from __future__ import annotations

from math import dist

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox, QInputDialog
from pytestqt.qtbot import QtBot

from app.desk.head import Head
from app.desk.point_menu import point_menu
from app.document.files import text_of
from app.document.model import Units
from app.drawing.strokes import Label, Polyline
from app.drawing.views import View
from app.judge.survey import survey_of
from app.judge.survey_drawing import with_residuals
from app.panels.lists.tape_dialog import TapeDialog
from app.panels.lists.tapes import TapesPanel
from app.session.session import Session
from app.sheet.heads import imprint_of
from app.systems.shown import Options, Shown
from tests.helpers.reading import parse
from tests.judge.test_survey import CAR, PAIRS, misread, place, taped

pytestmark = pytest.mark.gui


def dialog_of(qtbot: QtBot, session: Session, ends: tuple[str, ...]) -> TapeDialog:
    dialog = TapeDialog(session.setup, session.units, session.commit, ends)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def press_ok(dialog: TapeDialog) -> None:
    button = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_tape_says_what_it_would_bring_and_is_one_step(qtbot: QtBot) -> None:
    session = Session(CAR)
    dialog = dialog_of(qtbot, session, PAIRS[0])
    true = dist(*(place(CAR, end) for end in PAIRS[0]))
    assert f"It should read {true:.1f} mm" in dialog.says.text()
    assert "Surer with it: " in dialog.says.text()
    QTest.keyClicks(dialog.length, f"{true + 9.0:.1f}")
    assert "read it once more" in dialog.says.text()
    press_ok(dialog)
    assert session.setup.tapes[0].between == PAIRS[0]
    assert session.setup.tapes[0].length == pytest.approx(true + 9.0, abs=0.06)
    assert session.setup.evidence != session.setup.readings
    session.undo()
    assert session.setup == CAR


def test_inches_are_typed_in_inches(qtbot: QtBot) -> None:
    session = Session(CAR)
    session.set_units("in")
    dialog = dialog_of(qtbot, session, PAIRS[0])
    QTest.keyClicks(dialog.length, "14 1/8")
    press_ok(dialog)
    assert session.setup.tapes[0].length == pytest.approx(14.125 * 25.4)


@pytest.mark.parametrize(("units", "usual"), [("mm", "1"), ("in", "0.03125")])
def test_how_well_a_tape_is_read_is_a_number_of_its_unit(
    qtbot: QtBot, units: Units, usual: str
) -> None:
    session = Session(CAR)
    session.set_units(units)
    assert dialog_of(qtbot, session, PAIRS[0]).within.text() == usual


def test_what_is_no_length_is_refused_and_stays_typed(qtbot: QtBot) -> None:
    session = Session(CAR)
    dialog = dialog_of(qtbot, session, PAIRS[0])
    press_ok(dialog)
    assert dialog.refusal.text().startswith("Tape reads: ")
    dialog.length.setText("-3")
    press_ok(dialog)
    assert "more than 0" in dialog.refusal.text()
    assert not session.setup.tapes


def test_a_mark_on_the_floor_is_an_end(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session(CAR)
    dialog = dialog_of(qtbot, session, ("front.upper_ball",))
    monkeypatch.setattr(QInputDialog, "getText", lambda *_: ("B 400 -300 0", True))
    QTest.mouseClick(dialog.mark, Qt.MouseButton.LeftButton)
    assert dialog.between == ("front.upper_ball", "mark.B")
    QTest.keyClicks(dialog.length, "1100")
    press_ok(dialog)
    assert session.setup.marks["B"] == (400.0, -300.0, 0.0)


def test_a_mark_is_corrected_and_may_have_a_band(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(CAR)
    dialog = dialog_of(qtbot, session, ("front.upper_ball", "mark.A"))
    for words, refused in (("A 1 2", True), ("A 1 2 x", True), ("A 510 300 0 ± 1.5", False)):
        monkeypatch.setattr(QInputDialog, "getText", lambda *_, words=words: (words, True))
        QTest.mouseClick(dialog.mark, Qt.MouseButton.LeftButton)
        assert dialog.refusal.isVisible() == refused
    QTest.keyClicks(dialog.length, "950")
    press_ok(dialog)
    assert session.setup.marks == {"A": (510.0, 300.0, 0.0)}
    assert session.setup.within["mark.A"] == 1.5
    assert parse(text_of(session.setup)) == session.setup


def test_marks_may_have_any_name(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session(CAR)
    dialog = dialog_of(qtbot, session, ("front.upper_ball",))
    name = 'pad.2"β#'
    monkeypatch.setattr(QInputDialog, "getText", lambda *_: (f"{name} 400 -300 0", True))
    QTest.mouseClick(dialog.mark, Qt.MouseButton.LeftButton)
    length = dist(place(CAR, "front.upper_ball"), (400.0, -300.0, 0.0))
    QTest.keyClicks(dialog.length, f"{length:.1f}")
    press_ok(dialog)
    saved = parse(text_of(session.setup))
    assert saved.tapes[0].between == ("front.upper_ball", f"mark.{name}")
    assert survey_of(saved).degrees_of_freedom == 1


def test_the_panel_names_the_doubtful_and_leaves_it_out_by_one_click(qtbot: QtBot) -> None:
    session = Session(misread(taped(), 4, 8.0))
    panel = TapesPanel(session)
    qtbot.addWidget(panel)
    panel.show()
    assert panel.table.rowCount() == len(PAIRS)
    assert panel.table.item(3, 0).text().startswith("▲ 4")
    assert "Look again: tape 4" in panel.says.text()
    QTest.mouseClick(panel.leave_out, Qt.MouseButton.LeftButton)
    assert len(session.setup.tapes) == len(PAIRS) - 1
    assert session.history.undo_words.startswith("leave out tape 4")
    assert not panel.leave_out.isVisible()
    session.undo()
    assert len(session.setup.tapes) == len(PAIRS)
    assert panel.leave_out.isVisible()


def test_a_residual_has_one_sign_in_the_list_and_in_the_survey(qtbot: QtBot) -> None:
    """Adjusted less read: − where a tape reads too much."""
    session = Session(misread(taped(), 4, 8.0))
    panel = TapesPanel(session)
    qtbot.addWidget(panel)
    panel.show()
    residual = survey_of(session.setup).tapes[3].residual
    assert residual is not None
    assert residual < -0.5
    assert panel.table.horizontalHeaderItem(2).text() == "residual"
    assert panel.table.item(3, 2).text() == f"−{-residual:.1f}"


def test_a_tape_is_changed_from_the_list(qtbot: QtBot) -> None:
    session = Session(misread(taped(), 4, 8.0))
    panel = TapesPanel(session)
    qtbot.addWidget(panel)
    panel.show()

    panel.table.setCurrentCell(3, 0)
    assert session.selection == PAIRS[3]
    QTest.keyClick(panel.table, Qt.Key.Key_Return)
    dialog = panel.table.findChild(TapeDialog)
    dialog.length.selectAll()
    QTest.keyClicks(dialog.length, f"{taped().tapes[3].length:.2f}")
    press_ok(dialog)
    assert session.setup.tapes[3].length == pytest.approx(taped().tapes[3].length, abs=0.01)
    assert session.history.undo_words.startswith("tape 4: Upper arm, rear pivot")
    assert "agree" in panel.says.text()


def test_two_points_are_taped_from_the_menu_of_one(qtbot: QtBot) -> None:
    session = Session(CAR)
    panel = TapesPanel(session)
    qtbot.addWidget(panel)
    session.select(PAIRS[0])
    menu = point_menu(session, PAIRS[0][1], panel, lambda _: None)
    action = next(each for each in menu.actions() if each.text().startswith("Tape to"))
    assert action.text() == "Tape to upper ball joint…"
    action.trigger()
    dialog = panel.findChild(TapeDialog)
    assert dialog.between == (PAIRS[0][1], PAIRS[0][0])
    dialog.reject()


def test_the_drawing_has_bars_and_names_the_doubtful() -> None:
    session = Session(misread(taped(), 4, 8.0))
    study, proposed = session.study, session.proposed
    assert study is not None
    assert proposed is not None
    drawing = study.system.drawings(Shown(study, proposed), Options())[View.TOP]
    drawn = with_residuals(drawing, View.TOP, session.setup)
    added = drawn.strokes[len(drawing.strokes) :]
    words = [each.text for each in added if isinstance(each, Label)]
    assert "tape 4: look again" in words
    assert sum(isinstance(each, Polyline) for each in added) > 4
    plain = Session(CAR).setup
    assert with_residuals(drawing, View.TOP, plain) is drawing


def test_every_page_says_with_how_many_tapes_the_points_are_adjusted(qtbot: QtBot) -> None:
    head = Head(Session(taped()), [])
    qtbot.addWidget(head)
    assert head.proposal.text().endswith("adjusted with 8 tapes")
    assert imprint_of(taped(), None, "car.toml", ".").foot.endswith("adjusted with 8 tapes")
    assert "tapes" not in imprint_of(CAR, None, "car.toml", ".").foot

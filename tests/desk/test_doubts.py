"""What looks mistyped is asked about while typing and on opening, and nothing is changed by it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.point_editor import PointEditor
from app.desk.window import Window
from app.document.edits import switch_change
from app.document.moves import proposed_values
from app.entry.guide import MeasureWindow
from app.panels.bench.pack_page import PackPage
from app.panels.bench.pack_table import NAMES
from app.panels.lists.points import PointsPanel
from app.session.session import Session
from app.systems.rear.system import REAR
from tests.helpers.panel_windows import SALOON, double_click, saloon_session, shown, type_into

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
UPPER = "front.upper_front"
RADIUS = "front.tyre_radius"
ASKED = "Tyre radius, loaded: 12.0 mm? Usual is 230 to 420 mm. Was 12.0 in meant?"


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def said(session: Session) -> list[str]:
    words: list[str] = []
    session.said.connect(words.append)
    return words


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> PointsPanel:
    made = PointsPanel(session)
    shown(qtbot, made, 420, 700)
    return made


def enter_value(panel: PointsPanel, key: str, text: str) -> None:
    model = panel.values.values
    double_click(panel.values, model.index(model.keys.index(key), 2))
    type_into(panel.values, text)


def enter_point(panel: PointsPanel, key: str, column: int, text: str) -> None:
    points = panel.table.points
    double_click(panel.table, points.index(points.keys.index(key), column))
    type_into(panel.table, text)


# --- typing ---------------------------------------------------------------------------------------


def test_a_value_far_from_the_usual_is_taken_and_asked_about_once(
    panel: PointsPanel, session: Session, said: list[str]
) -> None:
    enter_value(panel, RADIUS, "12")
    assert session.setup.changes[0].sets[RADIUS] == 12.0
    assert said == [ASKED]
    enter_value(panel, RADIUS, "12")  # the same once more
    enter_value(panel, "front.spring.rate", "70")  # and another that is all right
    assert said == [ASKED]
    enter_value(panel, RADIUS, "13")
    assert len(said) == 2
    assert "13.0 mm?" in said[1]


def test_undo_takes_a_questioned_value_back(
    panel: PointsPanel, session: Session, said: list[str]
) -> None:
    enter_value(panel, RADIUS, "12")
    session.undo()
    assert RADIUS not in session.setup.changes[0].sets
    assert said == [ASKED, "Undone: change tyre radius, loaded."]


def test_a_usual_value_is_taken_in_peace(
    panel: PointsPanel, session: Session, said: list[str]
) -> None:
    enter_value(panel, RADIUS, "285")
    enter_point(panel, UPPER, 3, "550")
    assert said == []


def test_a_point_typed_far_away_is_asked_about(
    panel: PointsPanel, session: Session, said: list[str]
) -> None:
    before = session.setup
    enter_point(panel, "front.spring_body", 3, "7560")
    assert session.setup != before
    assert session.setup.changes[0].moves["front.spring_body"][2] == pytest.approx(7560.0 - 756.0)
    assert "Spring, body end: z puts it 7560.0 mm above the floor" in said[-1]


def test_the_question_comes_before_what_cannot_be_built_with_it(
    panel: PointsPanel, session: Session, said: list[str]
) -> None:
    enter_point(panel, UPPER, 3, "5600")
    assert session.problem is not None
    assert said[-1].startswith("Upper arm, front pivot: z puts it 5600.0 mm above the floor")
    assert said[-1].endswith(session.problem_words)


def test_the_point_editor_asks_too(qtbot: QtBot, session: Session, said: list[str]) -> None:
    editor = PointEditor(session, "front.spring_body")
    shown(qtbot, editor, 400, 200)
    field: QLineEdit = editor.fields[2]
    field.selectAll()
    QTest.keyClicks(field, "=7560")
    QTest.keyClick(field, Qt.Key.Key_Return)
    QApplication.processEvents()
    assert "7560.0 mm above the floor" in said[-1]


def test_a_leaf_far_too_thick_is_taken_and_asked_about(qtbot: QtBot) -> None:
    session = saloon_session(None)
    session.show(REAR)
    words: list[str] = []
    session.said.connect(words.append)
    page = PackPage(session)
    shown(qtbot, page, 1100, 900)
    index: QModelIndex = page.table.pack.index(2, NAMES.index("thickness"))
    double_click(page.table, index)
    type_into(page.table, "60")
    leaves = proposed_values(session.setup)["rear.pack.leaf"]
    assert leaves[2].thickness == 60.0  # type: ignore[index,union-attr]
    (asked,) = [each for each in words if "Leaf 3" in each]
    assert asked.startswith("Leaf 3, thickness: 60.0 mm is far from the usual 2.5 to 16 mm.")


# --- opening --------------------------------------------------------------------------------------


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    application()
    made = open_window(None)
    made.resize(1400, 900)
    with qtbot.waitExposed(made):
        made.show()
    QApplication.processEvents()
    yield made
    made.session.history = made.session.history.mark_saved()
    made.close()
    qtbot.addWidget(made)


@pytest.fixture
def odd(tmp_path: Path) -> Path:
    text = SALOON.read_text()
    for old, new in (
        ("rate = 63.0", "rate = 6300"),
        ("grip = 0.9 ", "grip = 90 "),
        ('"front.spring.rate" = 70.0', '"front.spring.rate" = 7000.0'),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    path = tmp_path / "odd.toml"
    path.write_text(text)
    return path


def lines(window: Window) -> list[str]:
    shown_list = window.doubts.list
    return [shown_list.item(row).text() for row in range(shown_list.count())]


def look(window: Window) -> None:
    QTest.mouseClick(window.doubts.look, LEFT)
    QApplication.processEvents()


def click_row(window: Window, row: int) -> None:
    shown_list = window.doubts.list
    at = shown_list.visualItemRect(shown_list.item(row)).center()
    QTest.mouseClick(shown_list.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, at)
    QApplication.processEvents()


def test_a_sound_file_opens_without_a_word(window: Window, tmp_path: Path) -> None:
    shutil.copy(SALOON, tmp_path / "car.toml")
    assert window.filing.read(tmp_path / "car.toml")
    assert not window.doubts.isVisible()


def test_a_file_with_odd_values_says_how_many_and_shows_them_with_line_and_key(
    window: Window, odd: Path
) -> None:
    before = odd.read_bytes()
    assert window.filing.read(odd)
    assert window.doubts.isVisible()
    assert window.doubts.words.text().startswith("3 values in this file look mistyped")
    assert not window.doubts.list.isVisible()
    look(window)
    assert window.doubts.list.isVisible()
    spring, grip, change = lines(window)
    assert spring.startswith("line 60: front.spring.rate: Spring rate: 6300.0 N/mm")
    assert grip.startswith("line 139: rear.drive.grip: Tyre grip: 90?")
    assert change.startswith("line 178: change 4, set, front.spring.rate: ")
    assert window.session.is_saved
    assert odd.read_bytes() == before


def test_a_measured_value_leads_to_its_page_of_the_guide(window: Window, odd: Path) -> None:
    window.filing.read(odd)
    look(window)
    click_row(window, 0)
    (guide,) = window.findChildren(MeasureWindow)
    assert "front.spring.rate" in guide.sitting.current.fields
    guide.close()


def test_a_change_and_a_rears_value_lead_to_where_they_are_corrected(
    window: Window, odd: Path
) -> None:
    window.filing.read(odd)
    look(window)
    window.session.set_active(0)
    click_row(window, 2)
    assert window.session.active == 3
    assert window.statusBar().currentMessage().startswith("Change 4 is chosen for it: Spring rate")
    asked: list[str] = []
    window.doubts.correction_asked.disconnect()
    window.doubts.correction_asked.connect(asked.append)
    window.doubts.list.setCurrentRow(1)
    QTest.keyClick(window.doubts.list, Qt.Key.Key_Return)
    assert asked == ["rear.drive.grip"]  # the guide leads through the rear too


def test_what_is_corrected_goes_from_the_list_and_comes_back_with_undo(
    window: Window, odd: Path
) -> None:
    window.filing.read(odd)
    setup = window.session.setup
    better = setup.having(evidence={**setup.readings, "rear.drive.grip": 0.9})
    window.session.commit(better, "correct")
    assert window.doubts.words.text().startswith("2 values")
    window.session.undo()
    assert window.doubts.words.text().startswith("3 values")


def test_what_is_put_away_stays_away_until_another_file_is_opened(
    window: Window, odd: Path
) -> None:
    window.filing.read(odd)
    QTest.mouseClick(window.doubts.close_, LEFT)
    assert not window.doubts.isVisible()
    window.session.commit(window.session.setup.having(title="other"), "name it")
    window.session.undo()
    assert not window.doubts.isVisible()
    window.filing.read(odd)
    assert window.doubts.isVisible()


def test_a_car_from_the_guide_is_not_asked_about_again(window: Window, odd: Path) -> None:
    window.filing.read(odd)
    car = window.session.setup
    window.session.open(car, None, saved=False)  # as the guide hands a finished car over
    assert not window.doubts.isVisible()


def test_words_of_a_file_that_look_like_markup_stay_words(window: Window, odd: Path) -> None:
    text = odd.read_text().replace('"Spring 70 N/mm"', '"<b>Spring</b>"')
    odd.write_text(text)
    window.filing.read(odd)
    assert window.doubts.words.textFormat() == Qt.TextFormat.PlainText
    look(window)
    click_row(window, 2)
    assert "<b>" not in "".join(lines(window)) + window.statusBar().currentMessage()


def test_switching_on_what_cannot_be_built_names_the_likely_cause_first(
    window: Window, tmp_path: Path
) -> None:
    path = tmp_path / "soft.toml"
    path.write_text(SALOON.read_text().replace("modulus = 206000.0", "modulus = 206"))
    assert window.filing.read(path)
    window.session.show(REAR)
    changed = switch_change(window.session.setup, 6, True)  # a leaf out
    window.session.commit(changed, "switch on")
    message = window.statusBar().currentMessage()
    assert message.startswith("Before that: rear.pack.modulus: Modulus of elasticity: 206 N/mm²?")
    assert "the shackle has swung too far" in message


def test_a_file_that_cannot_be_built_names_the_likely_cause_first(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(window.asker, "tell", lambda _title, words: told.append(words))
    path = tmp_path / "eyes.toml"
    path.write_text(
        SALOON.read_text().replace("[-1890.0, 535.0, 229.0]", "[-3209.0, 535.0, 229.0]")
    )
    assert not window.filing.read(path)
    assert "Before that: line 90: rear.points.front_eye: " in told[0]
    assert "leave no room for the clamp" in told[0]

"""A second car over the first: laid, seen alone, never worked out in a drag, taken away."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from math import degrees
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QToolButton
from pytestqt.qtbot import QtBot

from app.desk.foot_line import ALONE
from app.desk.laying_over import SecondBar, SecondMenu, lay_path_over
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.model import Setup
from app.drawing.strokes import LineKind, Polyline
from app.drawing.views import View
from app.panels.lists.result_rows import Row
from app.session.second_car import Which
from app.systems.answers import Study
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.system import System
from app.words.results import result_number
from tests.desk.test_keyboard_round import round_of
from tests.helpers.answers import Answers
from tests.helpers.entering import sample
from tests.helpers.hands import Hand
from tests.helpers.project import SAMPLE_FOLDER

pytestmark = pytest.mark.gui
LAY_KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier

UPPER = "front.upper_front"
TOO_FAR = """
[[change]]
name = "Too far"
on = true
[change.move]
"front.upper_front" = [0.0, -400.0, 0.0]
"""


@pytest.fixture(name="window")
def _window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    application()
    path = tmp_path / "car.toml"
    shutil.copy(SAMPLE_FOLDER / "small_saloon.toml", path)
    window = open_window(path)
    window.asker = window.filing.asker = Answers(window)
    window.resize(1280, 720)
    with qtbot.waitExposed(window):
        window.show()
    yield window
    window.close()
    window.deleteLater()


def asker(window: Window) -> Answers:
    assert isinstance(window.asker, Answers)
    return window.asker


def lay(window: Window, name: str) -> None:
    """Lay a sample over by the menu's key."""
    asker(window).open_from = SAMPLE_FOLDER / f"{name}.toml"
    QTest.keyClick(window, Qt.Key.Key_L, LAY_KEYS)
    QApplication.processEvents()


def press_o(window: Window) -> None:
    QTest.keyClick(window.board.views[View.FRONT], Qt.Key.Key_O)


def outlines(window: Window, view: View = View.FRONT) -> list[Polyline]:
    """Return the lines of the second car on a view."""
    return [
        stroke
        for stroke in window.board.views[view].drawing.strokes
        if isinstance(stroke, Polyline) and stroke.kind is LineKind.SECOND_CAR
    ]


def bar(window: Window) -> SecondBar:
    found = window.findChild(SecondBar)
    assert found is not None
    return found


def test_one_key_shows_both_then_the_second_then_the_first(window: Window, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: window.curves.sheet is not None)
    sheet, view = window.curves.sheet, window.board.views[View.FRONT]
    assert sheet is not None
    assert bar(window).isHidden()
    lay(window, "torsion_coupe")
    looks = [series.look for series in sheet.plots[0].chart.series]
    assert looks == ["measured", "proposed", "second"]
    assert outlines(window)
    assert view.aim.find(UPPER) is not None
    assert "Second car over this one" in bar(window).name.text()
    press_o(window)
    assert [series.look for series in sheet.plots[0].chart.series] == ["second"]
    assert not view.aim.handles  # nothing of it can be dragged
    assert "second car alone" in view.accessibleName()
    press_o(window)
    assert [series.look for series in sheet.plots[0].chart.series] == ["measured", "proposed"]
    assert not outlines(window)
    assert view.accessibleName() == FRONT.views[View.FRONT]
    assert bar(window).isVisible()
    press_o(window)
    assert window.session.second.which is Which.BOTH


def test_the_second_car_stands_where_its_own_study_says(window: Window) -> None:
    """Its curve, its figures and its lines are those of its setup opened by itself."""
    lay(window, "torsion_coupe")
    alone = FRONT.study(sample("torsion_coupe")).proposed
    posed = window.session.second.posed
    assert posed is not None
    for key in ("camber", "caster", "roll_centre_height"):
        assert posed.values[key].ravel()[0] == pytest.approx(alone.rest.values[key].ravel()[0])
    upper_front = sample("torsion_coupe").evidence[UPPER]  # a hole in the body
    places = [(float(u), float(v)) for line in outlines(window) for u, v in line.points]
    assert any(place == pytest.approx(upper_front[1:]) for place in places)


def test_a_drag_works_the_second_car_out_no_second_time(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(window, "torsion_coupe")
    studied: list[str] = []
    study, titles = System.study, {window.session.setup.title}

    def watched(system: System[Any], setup: Setup, *more: Any, **other: Any) -> Study[Any]:
        studied.append(setup.title)
        return study(system, setup, *more, **other)

    monkeypatch.setattr(System, "study", watched)
    before = window.session.second.posed
    lines = outlines(window)
    hand = Hand(window.board.views[View.FRONT])
    hand.press(UPPER)
    hand.move_mm(0.0, -25.0)
    assert studied  # the first car answered
    assert set(studied) == titles
    assert window.session.second.posed is before
    assert outlines(window) == lines  # the same strokes, drawn once
    hand.let_go()
    assert set(studied) == titles


def test_escape_in_a_drag_takes_the_drag_back_and_only_then_the_second_car(window: Window) -> None:
    lay(window, "torsion_coupe")
    view, session = window.board.views[View.FRONT], window.session
    hand = Hand(view)
    hand.press(UPPER)
    hand.move_mm(0.0, -25.0)
    assert session.preview_setup is not None
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert session.preview_setup is None
    assert session.second.laid is not None
    hand.let_go()
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert session.second.laid is None
    assert not outlines(window)
    assert bar(window).isHidden()
    assert session.is_saved  # it was never a part of the setup


def test_a_file_that_cant_be_read_is_told_and_what_lies_over_stays(
    window: Window, tmp_path: Path
) -> None:
    lay(window, "torsion_coupe")
    laid, answers = window.session.second.laid, asker(window)
    broken = tmp_path / "broken.toml"
    broken.write_text("format = 2\n[front\n", encoding="utf-8")
    answers.open_from = broken
    QTest.keyClick(window, Qt.Key.Key_L, LAY_KEYS)
    assert answers.faults
    crossed = tmp_path / "crossed.toml"
    text = (SAMPLE_FOLDER / "torsion_coupe.toml").read_text(encoding="utf-8")
    crossed.write_text(text[: text.index("[rear]")] + TOO_FAR, encoding="utf-8")
    answers.open_from = crossed
    QTest.keyClick(window, Qt.Key.Key_L, LAY_KEYS)
    assert answers.told
    assert answers.told[-1].startswith("crossed.toml can't be built")
    assert answers.told[-1].endswith("What is on the board stays.")
    answers.open_from = None  # the dialog was left
    QTest.keyClick(window, Qt.Key.Key_L, LAY_KEYS)
    assert window.session.second.laid is laid
    assert window.session.setup == sample("small_saloon")


def test_an_end_that_cant_be_built_is_said_and_the_other_one_is_shown(
    window: Window, tmp_path: Path
) -> None:
    crossed = tmp_path / "crossed.toml"
    text = (SAMPLE_FOLDER / "torsion_coupe.toml").read_text(encoding="utf-8")
    crossed.write_text(text + TOO_FAR, encoding="utf-8")
    asker(window).open_from = crossed
    QTest.keyClick(window, Qt.Key.Key_L, LAY_KEYS)
    assert "Its front can't be built" in bar(window).words.text()
    assert not outlines(window)
    press_o(window)
    assert "nothing is to be seen" in bar(window).name.text()
    assert window.board.views[View.FRONT].aim.find(UPPER)  # there is nothing to see alone
    window.session.show(REAR)
    QApplication.processEvents()
    assert not bar(window).words.text()
    assert window.session.second.seen is not None


def test_other_units_and_another_kind_of_axle_are_said(window: Window) -> None:
    lay(window, "inch_sedan")
    assert "in inches" in bar(window).words.text()
    lay(window, "hillclimb_special")
    assert not bar(window).words.text()
    window.session.show(REAR)
    QApplication.processEvents()
    words = bar(window).words.text()
    assert "five-link axle" in words
    assert "leaf axle" in words
    second = window.session.second
    assert second.study is not None
    assert second.study.proposed.kind == "five-link axle"


def test_the_second_car_is_told_in_the_units_that_are_shown(window: Window) -> None:
    lay(window, "inch_sedan")
    press_o(window)
    words = [getattr(each, "text", "") for each in window.board.views[View.FRONT].drawing.strokes]
    (track,) = (each for each in words if each.startswith("track "))
    assert float(track.removeprefix("track ")) > 1000.0  # mm; 50 to 60 in


def test_a_proposal_is_laid_over_by_the_menu_and_follows_its_file(window: Window) -> None:
    (menu,) = window.findChildren(SecondMenu)
    menu.aboutToShow.emit()  # popping up warns without a desktop
    names = [action.text() for action in menu.actions()]
    setup, second = window.session.setup, window.session.second
    assert [f"Lay “{each.name}” over this" for each in setup.together] == names[1:4]
    menu.actions()[3].trigger()
    assert second.laid is not None
    assert second.laid.name == setup.together[2].name
    on = {change.name for change in second.laid.setup.changes if change.on}
    assert on == set(setup.together[2].changes)
    was = second.study
    hand = Hand(window.board.views[View.FRONT])
    hand.drag_mm(UPPER, 0.0, -25.0)  # of the change that the proposal is made of
    assert second.study is not was
    window.session.undo()
    setup = window.session.setup
    window.session.commit(setup.having(changes=(), together=()), "none")
    assert second.laid is None


def test_another_file_of_the_same_car_is_told_by_its_name(window: Window, tmp_path: Path) -> None:
    other = tmp_path / "as it was.toml"
    shutil.copy(SAMPLE_FOLDER / "small_saloon.toml", other)
    assert lay_path_over(window, other)
    assert "as it was.toml, as built" in bar(window).name.text()
    lay(window, "torsion_coupe")
    assert "Varenzo Sestriva" in bar(window).name.text()


def test_looking_closer_reads_the_second_car_too(window: Window, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: window.curves.sheet is not None)
    sheet = window.curves.sheet
    assert sheet is not None
    lay(window, "torsion_coupe")
    sheet.look_closer(0)
    closer = sheet.closer
    assert closer is not None
    alone = FRONT.study(sample("torsion_coupe")).proposed
    camber = degrees(float(alone.rest.values["camber"].ravel()[0]))
    words = closer.reading_at(0.0).replace("−", "-")
    assert float(words.split("second car ")[1].rstrip("°")) == pytest.approx(camber, abs=0.006)
    head = sheet.heads[0].spoken().replace("−", "-")
    assert float(head.split("second car ")[1].rstrip(" °")) == pytest.approx(camber, abs=0.006)
    closer.close()


def test_the_results_have_the_second_cars_figures_in_the_place_of_the_change(
    window: Window,
) -> None:
    model = window.results.view.results
    lay(window, "torsion_coupe")
    alone = FRONT.study(sample("torsion_coupe")).proposed
    rows = {line.result.key: line for line in model.lines if isinstance(line, Row)}
    for key in ("camber", "caster", "scrub_radius"):
        value = alone.rest.values[key].ravel()[0]
        said = model.said(rows[key])
        assert said.is_second
        assert said.moves == result_number(float(value), rows[key].result, "mm")
    spoken = next(
        text
        for row in range(model.rowCount())
        if (text := str(model.index(row).data())).startswith("Camber:")
    )
    assert "second car −0.30" in spoken
    press_o(window)
    press_o(window)  # the first alone
    assert not model.said(rows["camber"]).is_second


def test_tab_reaches_the_bar_from_the_board_and_goes_on(window: Window) -> None:
    lay(window, "torsion_coupe")
    window.board.views[View.FRONT].setFocus()
    forwards, backwards = round_of(Qt.Key.Key_Tab), round_of(Qt.Key.Key_Backtab)
    chosen = bar(window).buttons.checkedButton()
    for stops in (forwards, backwards):
        assert chosen in stops
        assert bar(window).away in stops
    chosen.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(chosen, Qt.Key.Key_Right)  # arrows walk inside a part
    assert window.session.second.which is Which.SECOND
    foot = next(each for each in window.statusBar().findChildren(QLabel) if each.text())
    assert foot.text() == ALONE  # nothing is to be dragged


def test_each_button_of_the_bar_does_what_it_says(window: Window) -> None:
    lay(window, "torsion_coupe")
    second = window.session.second
    window.copy("results")
    rows = QApplication.clipboard().text().splitlines()
    assert any(
        row.startswith(f"Second car: {second.laid.name.removesuffix(', as built')}.")
        for row in rows
    )
    buttons = [each for each in bar(window).findChildren(QToolButton) if each.isVisible()]
    assert [button.text() for button in buttons] == [*(each.value for each in Which), "Take away"]
    for button, which in zip(buttons, Which, strict=False):
        assert button.accessibleName().startswith("Second car: ")
        button.setFocus(Qt.FocusReason.TabFocusReason)
        QTest.keyClick(button, Qt.Key.Key_Space)
        assert second.which is which
        assert button.isChecked()
    QTest.mouseClick(buttons[-1], Qt.MouseButton.LeftButton)
    assert second.laid is None


def test_another_car_opened_begins_without_a_second_one(window: Window, tmp_path: Path) -> None:
    session, said = window.session, list[str]()
    session.second.lay_proposal(session.setup.together[1])
    session.second.show(Which.SECOND)
    session.said.connect(said.append)
    path = tmp_path / "other.toml"
    shutil.copy(SAMPLE_FOLDER / "inch_sedan.toml", path)
    assert window.filing.read(path)
    assert session.second.laid is None
    assert not said  # nothing was taken from the file that is left
    assert window.board.views[View.FRONT].accessibleName() == FRONT.views[View.FRONT]
    assert session.second.shows_first

"""The tables of points and values: each test is one thing that a user types or clicks."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.document.edits import switch_change
from app.panels.lists.points import PointsPanel
from app.panels.lists.points_table import LOCK
from app.session.session import Session
from tests.helpers.panel_windows import (
    CONTROL,
    LEFT,
    click,
    double_click,
    saloon_session,
    shown,
    type_into,
)
from tests.helpers.setup_edits import move_point

pytestmark = pytest.mark.gui

UPPER = "front.upper_front"
REAR = "front.upper_rear"
BALL = "front.upper_ball"


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> PointsPanel:
    made = PointsPanel(session)
    shown(qtbot, made, 420, 700)
    made.table.setFocus()
    return made


def cell(panel: PointsPanel, key: str, column: int) -> QModelIndex:
    return panel.table.points.index(panel.table.points.keys.index(key), column)


def value_cell(panel: PointsPanel, key: str) -> QModelIndex:
    return panel.values.values.index(panel.values.values.keys.index(key), 2)


def enter(panel: PointsPanel, key: str, column: int, text: str) -> None:
    double_click(panel.table, cell(panel, key, column))
    type_into(panel.table, text)


def test_a_plain_number_is_the_points_new_place(panel: PointsPanel, session: Session) -> None:
    enter(panel, UPPER, 3, "550")
    assert session.setup.changes[0].moves[UPPER] == pytest.approx((0.0, 0.0, -10.0))
    assert session.history.undo_words == "move upper arm, front pivot"


def test_a_signed_number_is_a_move_from_where_the_point_is(
    panel: PointsPanel, session: Session
) -> None:
    enter(panel, UPPER, 3, "-3")
    assert session.setup.changes[0].moves[UPPER] == pytest.approx((0.0, 0.0, -25.0))


def test_what_is_selected_together_is_typed_together_by_the_same_step(
    panel: PointsPanel, session: Session
) -> None:
    click(panel.table, cell(panel, REAR, 3))
    at = panel.table.visualRect(cell(panel, UPPER, 3)).center()
    QTest.mouseClick(panel.table.viewport(), LEFT, CONTROL, at)
    QTest.keyClick(panel.table, Qt.Key.Key_F2)
    type_into(panel.table, "-3")
    moves = session.setup.changes[0].moves
    assert moves[UPPER] == moves[REAR] == pytest.approx((0.0, 0.0, -25.0))
    assert "upper arm, rear pivot" in session.history.undo_words


def test_a_negative_place_comes_after_an_equals_sign(panel: PointsPanel, session: Session) -> None:
    double_click(panel.table, cell(panel, REAR, 1))
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    assert field.text() == "=−112"
    type_into(panel.table, "=-100")
    assert session.setup.changes[0].moves[REAR] == pytest.approx((12.0, 0.0, -22.0))


def test_return_without_typing_changes_nothing(panel: PointsPanel, session: Session) -> None:
    before = session.setup
    double_click(panel.table, cell(panel, REAR, 1))
    field = QApplication.focusWidget()
    assert field is not None
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert session.setup == before


@pytest.mark.parametrize(
    ("typed", "move"),
    [("22 1/8", 1.975), ("+3/32", 2.38125), ("22,12", 1.848), ("562 mm", 2.0), ('22.125"', 1.975)],
)
def test_inches_fractions_and_either_decimal_sign_are_read(
    panel: PointsPanel, session: Session, typed: str, move: float
) -> None:
    session.set_units("in")
    session.set_active(None)
    session.commit(session.setup.having(changes=()), "start anew")
    enter(panel, UPPER, 3, typed)
    assert session.setup.changes[0].moves[UPPER][2] == pytest.approx(move)


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
def test_what_cannot_be_read_is_said_and_the_field_stays(
    panel: PointsPanel, session: Session
) -> None:
    before = session.setup
    double_click(panel.table, cell(panel, UPPER, 3))
    field = type_into(panel.table, "five hundred")
    assert session.setup == before
    assert field.isVisible()
    assert "is no number" in field.accessibleDescription()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert session.setup == before


def test_a_typed_move_with_no_change_active_starts_one_with_a_name(
    panel: PointsPanel, session: Session
) -> None:
    session.set_active(None)
    enter(panel, BALL, 2, "+4")
    assert session.setup.changes[-1].name == "Upper ball joint 4 mm outboard"
    assert session.active == len(session.setup.changes) - 1


def test_typing_into_a_change_that_is_off_switches_it_on(
    panel: PointsPanel, session: Session
) -> None:
    session.set_active(1)
    enter(panel, UPPER, 2, "-1")
    assert session.setup.changes[1].on
    # the step counts from the place that was shown, so what the change held before is replaced
    assert session.setup.changes[1].moves[UPPER] == pytest.approx((0.0, -1.0, 0.0))


def test_a_row_that_is_clicked_is_selected_on_the_board_and_back(
    panel: PointsPanel, session: Session
) -> None:
    click(panel.table, cell(panel, BALL, 2))
    assert session.selection == (BALL,)
    session.select((UPPER, REAR))
    rows = {panel.table.points.keys[index.row()] for index in panel.table.selectedIndexes()}
    assert rows == {UPPER, REAR}


def test_a_click_on_the_padlock_locks_and_frees_the_point(
    panel: PointsPanel, session: Session
) -> None:
    click(panel.table, cell(panel, BALL, LOCK))
    assert session.locks[BALL] == frozenset({0, 1, 2})
    click(panel.table, cell(panel, BALL, LOCK))
    assert BALL not in session.locks


def test_one_axis_is_locked_from_its_menu_and_is_not_typed_over(
    panel: PointsPanel, session: Session
) -> None:
    menu = panel.table.menu(cell(panel, BALL, 2))
    next(action for action in menu.actions() if action.text() == "Lock y").trigger()
    assert session.locks[BALL] == frozenset({1})
    double_click(panel.table, cell(panel, BALL, 2))
    assert panel.table.findChild(QLineEdit) is None


def test_delete_resets_the_point_in_the_active_change(panel: PointsPanel, session: Session) -> None:
    click(panel.table, cell(panel, UPPER, 3))
    QTest.keyClick(panel.table, Qt.Key.Key_Delete)
    assert UPPER not in session.setup.changes[0].moves
    assert session.history.undo_words == "reset upper arm, front pivot"


def test_a_point_that_is_not_measured_has_no_row(panel: PointsPanel) -> None:
    assert "front.pitman_pivot" not in panel.table.points.keys


def test_a_drag_on_the_board_shows_in_the_table_while_it_lasts(
    panel: PointsPanel, session: Session
) -> None:
    session.preview(move_point(session.setup, 0, BALL, (0.0, 0.0, 2.5)))
    assert cell(panel, BALL, 3).data() == "538.5"
    session.cancel()
    assert cell(panel, BALL, 3).data() == "536.0"


def test_names_move_above_their_figures_where_it_is_narrow(panel: PointsPanel) -> None:
    assert not panel.table.isColumnHidden(0)
    panel.resize(230, 700)
    QApplication.processEvents()
    assert panel.table.isColumnHidden(0)
    assert panel.minimumSizeHint().width() <= 230


def test_a_spring_rate_is_proposed_beside_the_measured_one(
    panel: PointsPanel, session: Session
) -> None:
    double_click(panel.values, value_cell(panel, "front.spring.rate"))
    type_into(panel.values, "68")
    assert session.setup.changes[0].sets["front.spring.rate"] == pytest.approx(68.0)
    assert session.setup.evidence["front.spring.rate"] == 63.0
    assert session.history.undo_words == "change spring rate"


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
@pytest.mark.parametrize("typed", ["0", "-305"])
def test_a_value_that_no_file_may_hold_is_refused_in_words(
    panel: PointsPanel, session: Session, typed: str
) -> None:
    before = session.setup
    double_click(panel.values, value_cell(panel, "front.tyre_radius"))
    field = type_into(panel.values, typed)
    words = "Tyre radius, loaded must be more than 0 mm."
    assert field.accessibleDescription() == words  # and the cell stays open
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert session.setup == before


def test_the_measured_value_typed_again_takes_the_setting_out(
    panel: PointsPanel, session: Session
) -> None:
    for typed in ("68", "63"):
        double_click(panel.values, value_cell(panel, "front.spring.rate"))
        type_into(panel.values, typed)
    assert "front.spring.rate" not in session.setup.changes[0].sets


def test_a_value_that_a_later_change_sets_is_said_to_be_overruled(
    panel: PointsPanel, session: Session
) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    session.commit(switch_change(session.setup, 3, True), "switch on")
    double_click(panel.values, value_cell(panel, "front.spring.rate"))
    type_into(panel.values, "66")
    assert said == ["“Spring 70 N/mm” comes later in the list and sets spring rate: it wins."]


def test_a_menu_key_opens_on_the_cell_with_the_keyboard(panel: PointsPanel) -> None:
    menu = panel.table.menu(cell(panel, UPPER, 3))
    words = [action.text() for action in menu.actions() if action.text()]
    assert words == [
        "Lock z",
        "Lock the point",
        "Reset in this change",
        "Correct the reading…",
        "Put back as measured",
        "Note…",
    ]
    assert panel.table.indexAt(QPoint(5, 5)).isValid()


def test_a_long_word_stays_whole_when_one_cell_is_painted_anew(qtbot: QtBot) -> None:
    panel = PointsPanel(saloon_session())
    shown(qtbot, panel, 260, 640)
    view = panel.values
    name = view.visualRect(view.values.index(view.values.keys.index("front.lower_arm"), 0))
    all_cells = view.viewport().grab().toImage().copy(name)
    assert view.viewport().grab(name).toImage() == all_cells


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_figure_has_the_room_it_needs_beside_its_name(
    panel: PointsPanel, session: Session, units: str
) -> None:
    session.set_units(units)  # type: ignore[arg-type]
    panel.resize(900, 600)
    table = panel.table
    bold = QFontMetrics(table.paper.bold)
    for row in range(table.points.rowCount()):
        for axis in range(3):
            number = table.points.number(table.points.proposed(table.points.keys[row])[axis])
            assert bold.horizontalAdvance(number) + 5 <= table.columnWidth(axis + 1)


@pytest.mark.parametrize("width", [230, 700])
def test_a_point_that_is_dragged_is_whole_in_the_table(
    panel: PointsPanel, session: Session, width: int
) -> None:
    table = panel.table
    panel.resize(width, 240)
    QApplication.processEvents()
    key = table.points.keys[-1]
    session.select((key,))
    session.commit(move_point(session.setup, 0, key, (0.0, 0.0, -7.0)), "move")
    QApplication.processEvents()
    shown = table.visualRect(table.points.index(table.points.rowCount() - 1, 1))
    assert table.isColumnHidden(0) == (width == 230)
    assert table.viewport().rect().contains(shown)

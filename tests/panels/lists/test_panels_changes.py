"""The list of changes under hand and keyboard: each test is one thing that a user does."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.document.model import Change, FrozenMap
from app.panels.lists.changes import ChangesPanel
from app.panels.lists.job_words import job_words
from app.session.session import Session
from app.shop.jobs import jobs
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.panel_windows import (
    CONTROL,
    LEFT,
    NONE,
    click,
    double_click,
    saloon_session,
    shown,
)
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> ChangesPanel:
    made = ChangesPanel(session)
    shown(qtbot, made, 260, 420)
    made.view.setFocus()
    return made


def names(session: Session) -> list[str]:
    return [change.name for change in session.setup.changes]


def tick_place(panel: ChangesPanel, row: int) -> QPoint:
    box = panel.view.visualRect(panel.model.index(row))
    return QPoint(17, box.y() + 14)


def rename(panel: ChangesPanel, text: str) -> None:
    field = panel.view.findChild(QLineEdit)
    assert isinstance(field, QLineEdit)
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    QApplication.processEvents()


def test_a_click_on_the_box_switches_a_change_and_leaves_the_active_one(
    panel: ChangesPanel, session: Session
) -> None:
    click(panel.view, panel.model.index(1), tick_place(panel, 1))
    assert session.setup.changes[1].on
    assert session.active == 0
    assert session.history.undo_words == "switch on “Shims out: 3.0 front, 6.0 rear”"


def test_the_space_bar_switches_the_active_change_off(
    panel: ChangesPanel, session: Session
) -> None:
    QTest.keyClick(panel.view, Qt.Key.Key_Space)
    assert not session.setup.changes[0].on
    session.undo()
    assert session.setup.changes[0].on


def test_a_click_on_a_name_makes_its_change_the_one_that_drags_add_to(
    panel: ChangesPanel, session: Session
) -> None:
    click(panel.view, panel.model.index(2))
    assert session.active == 2
    assert panel.making.parts.currentText() == "new parts, made to fit"


def test_a_double_click_renames_a_change(panel: ChangesPanel, session: Session) -> None:
    double_click(panel.view, panel.model.index(1))
    rename(panel, "Shim packs")
    assert names(session)[1] == "Shim packs"


def test_a_name_that_is_taken_is_refused_in_words(panel: ChangesPanel, session: Session) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    before = names(session)
    QTest.keyClick(panel.view, Qt.Key.Key_F2)
    rename(panel, before[1])
    assert names(session) == before
    assert "already a change named" in said[0]


def test_the_next_drag_starts_a_change_of_its_own(panel: ChangesPanel, session: Session) -> None:
    QTest.mouseClick(panel.fresh, LEFT)
    assert session.active is None
    assert not panel.making.isVisible()


def test_keys_move_a_change_down_copy_it_and_remove_it(
    panel: ChangesPanel, session: Session
) -> None:
    first, second, *rest = names(session)
    QTest.keyClick(panel.view, Qt.Key.Key_Down, CONTROL)
    assert names(session) == [second, first, *rest]
    assert session.active == 1
    QTest.keyClick(panel.view, Qt.Key.Key_D, CONTROL)
    assert names(session)[2] == f"{first} (2)"
    QTest.keyClick(panel.view, Qt.Key.Key_Delete)
    assert names(session) == [second, first, *rest]
    assert session.history.undo_words == f"remove “{first} (2)”"


def test_choosing_new_parts_makes_the_change_with_them(
    panel: ChangesPanel, session: Session
) -> None:
    panel.making.parts.setFocus()
    QTest.keyClick(panel.making.parts, Qt.Key.Key_Down)
    assert session.setup.changes[0].parts == "made to fit"
    assert "new parts" in session.history.undo_words


def test_a_note_is_kept_when_return_is_pressed(panel: ChangesPanel, session: Session) -> None:
    panel.making.note.selectAll()
    QTest.keyClicks(panel.making.note, "Weld washers behind.")
    QTest.keyClick(panel.making.note, Qt.Key.Key_Return)
    assert session.setup.changes[0].note == "Weld washers behind."


def test_each_change_says_the_work_it_means(session: Session) -> None:
    setup = session.setup
    assert [job_words(setup, change) for change in setup.changes[:4]] == [
        "2 points · drill",
        "2 points · shim",
        "1 point · new parts",
        "spring",
    ]


@pytest.mark.parametrize(
    ("name", "move", "word"),
    [
        ("upper_front", (0.0, 3.0, 0.0), "shim"),
        ("upper_front", (0.0, 8.0, 0.0), "shim"),
        ("upper_front", (0.0, 8.5, 0.0), "spacer"),
        ("upper_front", (0.0, 3.0, 1.0), "drill"),
        ("lower_front", (0.0, 3.0, 0.0), "drill"),  # a strut rod's bush has no shaft to shim
    ],
)
def test_the_list_calls_shims_what_the_work_order_does(
    name: str, move: tuple[float, float, float], word: str
) -> None:
    change = Change("", moves=FrozenMap({f"front.{name}": move}))
    setup = sample("small_saloon").having(changes=(change,))
    assert job_words(setup, change) == f"1 point · {word}"
    (order, *_) = jobs([FRONT.study(setup)])
    assert ("Shim" in order.title) == (word == "shim")


def shown_names(panel: ChangesPanel) -> list[str]:
    model = panel.model
    return [str(model.index(row).data()) for row in range(model.rowCount())]


def test_changes_of_the_shown_end_come_first_and_the_others_are_folded(
    panel: ChangesPanel, session: Session
) -> None:
    front, rear = names(session)[:4], names(session)[4:]
    assert shown_names(panel) == [*front, "Rear: 3 changes"]
    session.show(REAR)
    assert shown_names(panel) == [*rear, "Front: 4 changes, 1 on"]
    assert session.active is None


def test_a_click_on_the_heading_shows_the_other_ends_and_the_next_start_has_them_so(
    qtbot: QtBot, panel: ChangesPanel, session: Session
) -> None:
    heading = panel.model.index(4)
    click(panel.view, heading)
    assert shown_names(panel)[5:] == names(session)[4:]
    click(panel.view, panel.model.index(6))
    assert session.active == 5
    later = ChangesPanel(saloon_session())
    qtbot.addWidget(later)
    assert shown_names(later) == shown_names(panel)
    click(panel.view, panel.model.index(4))
    assert shown_names(panel)[5:] == [names(session)[5]]  # drags go into it: it stays in sight


def test_a_change_of_the_rear_is_ticked_renamed_and_moved_among_its_own(
    panel: ChangesPanel, session: Session
) -> None:
    session.show(REAR)
    click(panel.view, panel.model.index(1), tick_place(panel, 1))
    assert session.setup.changes[5].on
    assert not session.setup.changes[1].on
    click(panel.view, panel.model.index(0))
    assert session.active == 4
    QTest.keyClick(panel.view, Qt.Key.Key_Up, CONTROL)
    assert session.active == 4
    before = names(session)
    QTest.keyClick(panel.view, Qt.Key.Key_Down, CONTROL)
    assert names(session) == [*before[:4], before[5], before[4], before[6]]
    assert session.active == 5


def test_a_screen_reader_hears_name_and_work(panel: ChangesPanel) -> None:
    words = panel.model.index(1).data(Qt.ItemDataRole.AccessibleTextRole)
    assert words == "Shims out: 3.0 front, 6.0 rear: 2 points · shim"


def test_tab_reaches_every_control(panel: ChangesPanel) -> None:
    reached = set()
    for _ in range(12):
        widget = QApplication.focusWidget()
        assert widget is not None
        reached.add(widget)
        QTest.keyClick(widget, Qt.Key.Key_Tab, NONE)
    wanted = {panel.view, panel.fresh, panel.making.parts, panel.making.toe, panel.making.note}
    assert wanted <= reached


def test_what_is_pressed_stays_and_the_marked_change_stays_in_sight(
    qtbot: QtBot, session: Session
) -> None:
    panel = ChangesPanel(session)
    shown(qtbot, panel, 260, 330)
    session.set_active(0)
    QApplication.processEvents()
    before = panel.fresh.geometry()
    QTest.mouseClick(panel.fresh, LEFT)
    QApplication.processEvents()
    assert panel.fresh.geometry() == before
    panel.resize(260, 500)
    row = panel.model.row_of(3)
    session.set_active(3)
    panel.resize(260, 300)
    QApplication.processEvents()
    box = panel.view.visualRect(panel.model.index(row))
    assert panel.view.viewport().rect().contains(box.center())

"""Proposals side by side: ticked by mouse and keys, against the study of each car alone."""

from __future__ import annotations

from dataclasses import replace
from math import degrees
from typing import cast

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QDialogButtonBox, QLineEdit, QTableWidget
from pytestqt.qtbot import QtBot

from app.desk.comparing import ComparingDialog
from app.desk.theme import Name, apply
from app.document.model import Setup
from app.document.plans import Together
from app.judge.compare import AS_FOUND, comparison
from app.judge.compare_bands import banded, telling
from app.judge.compare_worker import CompareReply
from app.session.comparer import Comparer
from app.session.session import Session
from app.systems.front.system import FRONT
from app.systems.study_results import value_of
from tests.helpers.entering import sample
from tests.judge.test_compare import without_rear

pytestmark = pytest.mark.gui

# Cars are kept by value, with their bands: no other test has worked those of this one out.
SALOON = sample("small_saloon").having(title="Compared without bands")


@pytest.fixture(name="dialog")
def _dialog(qtbot: QtBot) -> ComparingDialog:
    dialog = ComparingDialog(Session(SALOON), comparer=Told())
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def click_tick(table: QTableWidget, row: int, column: int) -> None:
    """Click the box itself, which stands at the left of its cell."""
    item = table.item(row, column)
    table.scrollToItem(item)
    box = table.visualItemRect(item)
    spot = QPoint(box.left() + 10, box.center().y())
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)


def row_of(table: QTableWidget, words: str) -> int:
    (row,) = (r for r in range(table.rowCount()) if words in table.item(r, 0).text())
    return row


def figures(table: QTableWidget, words: str) -> list[str]:
    row = row_of(table, words)
    return [table.item(row, c).text() for c in range(1, table.columnCount())]


def number(text: str) -> float:
    return float(text.rstrip(" *!").replace("−", "-"))


def camber_of(names: tuple[str, ...]) -> float:
    """Return the camber, in degrees, of the car that these changes make, by its study alone."""
    setup = sample("small_saloon")
    changes = tuple(replace(change, on=change.name in names) for change in setup.changes)
    car = FRONT.study(setup.having(changes=changes)).proposed
    (camber,) = (r for r in FRONT.catalogue if r.key == "camber")
    return degrees(value_of(car, camber))


def test_a_tick_makes_another_car(dialog: ComparingDialog, qtbot: QtBot) -> None:
    """The car of the first column gets its shims as well: a click on the box."""
    lower, shims = "Upper pivots 22 mm lower", "Shims out: 3.0 front, 6.0 rear"
    before = figures(dialog.table, "Front: Camber, ")
    assert number(before[1]) == pytest.approx(camber_of((lower,)), abs=0.006)
    click_tick(dialog.ticks, row_of(dialog.ticks, shims), 1)

    def is_other() -> None:
        after = figures(dialog.table, "Front: Camber, ")
        assert number(after[1]) == pytest.approx(camber_of((lower, shims)), abs=0.006)
        assert after[0] == before[0]  # the car as found
        assert after[2:] == before[2:]

    qtbot.waitUntil(is_other)


def test_a_proposal_is_added_named_and_kept_as_one_step(dialog: ComparingDialog) -> None:
    session, count = dialog.session, len(dialog.proposals)
    QTest.mouseClick(dialog.another, Qt.MouseButton.LeftButton)
    QTest.keyClick(dialog.ticks, Qt.Key.Key_Space)  # the first change, by keyboard
    dialog.ticks.setCurrentCell(0, count + 1)
    QTest.keyClick(dialog.ticks, Qt.Key.Key_F2)
    editor = dialog.ticks.findChild(QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, "For the hill")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # the view takes the name from its queue
    kinds = QDialogButtonBox.StandardButton
    ok = dialog.findChild(QDialogButtonBox).button(kinds.Ok)
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)
    kept = session.history.value.together
    assert kept[:-1] == SALOON.together
    first = session.history.value.changes[0].name
    assert kept[-1] == Together("For the hill", (first,))
    session.undo()
    assert session.history.value == SALOON


def test_what_is_past_its_limit_and_what_is_best_is_said(dialog: ComparingDialog) -> None:
    """Bump steer is let range 0.25 degrees: the least is best, by its mark, in words as well."""
    row = row_of(dialog.table, "Bump steer, toe range")
    cells = [dialog.table.item(row, c) for c in range(1, dialog.table.columnCount())]
    values = [number(cell.text()) for cell in cells]
    for cell, value in zip(cells, values, strict=True):
        is_best = value <= min(values) + 0.011
        assert cell.text().endswith("*") is is_best
        spoken = cell.data(Qt.ItemDataRole.AccessibleTextRole) or ""
        assert ("best of its row" in spoken) is is_best
    assert dialog.table.horizontalHeaderItem(1).text() == AS_FOUND
    assert row_of(dialog.table, "Front: stands lower by") == 0  # and in no other row


class Told(Comparer):
    """Stands for the process beside: what was asked for is answered when a test says so."""

    def ask(self, setup: Setup) -> None:
        self.asked = setup

    @property
    def is_going(self) -> bool:
        return True


def test_bands_come_beside_the_figures_and_leave_them_no_more_digits(qtbot: QtBot) -> None:
    setup = without_rear(sample("small_saloon")).having(title="Bands are to come")
    comparer = Told()
    dialog = ComparingDialog(Session(setup), comparer=comparer)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.wait.isVisible()
    assert figures(dialog.table, "Roll centre height")[0] == "80.2"
    told = telling(banded(comparison(comparer.asked, ()), samples=0))
    comparer.answered.emit(CompareReply(1, told))
    assert figures(dialog.table, "Roll centre height")[:2] == ["80 ±6", "93 ±6"]


LONG = "A proposal with a name that is longer than any column is wide, and then some"


@pytest.fixture(name="many")
def _many(qtbot: QtBot) -> ComparingDialog:
    """Return a window of six proposals with long names, as large as a small screen lets it be."""
    setup = sample("small_saloon")
    changes = [change.name for change in setup.changes]
    together = tuple(Together(f"{LONG} {n}", tuple(changes[: n + 1])) for n in range(6))
    dialog = ComparingDialog(Session(setup.having(together=together)), comparer=Told())
    qtbot.addWidget(dialog)
    dialog.resize(1200, 640)
    dialog.show()
    qtbot.wait(1)
    return dialog


def test_six_long_names_leave_every_figure_whole(many: ComparingDialog) -> None:
    table = many.table
    assert not many.another.isEnabled()
    for column in range(1, table.columnCount()):
        head = table.horizontalHeaderItem(column)
        room = table.columnWidth(column)
        metrics = QFontMetrics(table.horizontalHeader().font())
        assert all(metrics.horizontalAdvance(line) <= room for line in head.text().split("\n"))
        if column > 1:
            whole = f"{column - 1} {LONG} {column - 2}"
            assert head.data(Qt.ItemDataRole.AccessibleTextRole) == whole
            assert whole in head.toolTip()
        for row in range(table.rowCount()):
            item = table.item(row, column)
            assert QFontMetrics(item.font()).horizontalAdvance(item.text()) < room - 6


def test_tab_goes_through_the_window_and_every_cell_says_what_it_is(many: ComparingDialog) -> None:
    keep, cancel = (
        many.findChild(QDialogButtonBox).button(kind)
        for kind in (QDialogButtonBox.StandardButton.Ok, QDialogButtonBox.StandardButton.Cancel)
    )
    many.ticks.setFocus()
    order = []
    for _ in range(5):
        order.append(QApplication.focusWidget())
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    assert order[:3] == [many.ticks, many.table, many.whole]
    assert set(order[3:]) == {keep, cancel}
    assert {many.ticks.accessibleName(), many.table.accessibleName()} == {
        "Which changes make each proposal",
        "The cars side by side",
    }
    spoken = Qt.ItemDataRole.AccessibleTextRole
    for column in range(1, 7):
        assert many.ticks.item(0, column).data(spoken).startswith(f"Name of proposal {column}: ")
        for row, change in enumerate(many.setup.changes, start=1):
            assert (
                many.ticks.item(row, column).data(spoken) == f"{change.name} in proposal {column}"
            )


@pytest.mark.parametrize("paper", ["light", "dark"])
def test_an_empty_box_is_seen_on_either_paper(qtbot: QtBot, paper: Name) -> None:
    app = cast(QApplication, QApplication.instance())
    before = app.property("paper")
    apply(app, paper)
    box = QCheckBox()
    qtbot.addWidget(box)
    box.resize(40, 24)
    box.show()
    image = box.grab().toImage()
    lights = [QColor(image.pixel(x, 12)).lightnessF() for x in range(20)]
    assert max(lights) - min(lights) > 0.4  # its border against the paper
    apply(app, before or "light")

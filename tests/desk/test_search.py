"""What a hand finds by Ctrl+F, goes to by Ctrl+H, and reads by F1."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QTextFormat
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.guide_window import IMAGE, PAGES, GuideWindow, link_name, pages_folder
from app.desk.main import open_window
from app.desk.search import SearchBox
from app.desk.steps_list import StepsList, step_words
from app.desk.window import Window
from app.document.edits import set_value
from app.document.samples import first_sample
from app.panels.lists.result_rows import Row
from app.systems.rear.system import REAR
from tests.helpers.setup_edits import move_point

pytestmark = pytest.mark.gui

SIZE = QTextFormat.Property.FontSizeAdjustment.value

CONTROL = Qt.KeyboardModifier.ControlModifier
RATE = "front.spring.rate"


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    made = open_window(first_sample())
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    yield made
    made.session.saved(made.session.loaded)
    made.close()


def searching(window: Window, text: str) -> SearchBox:
    QTest.keyClick(window, Qt.Key.Key_F, CONTROL)
    box = window.findChildren(SearchBox)[-1]
    QTest.keyClicks(box.line, text)
    return box


def current_result(window: Window) -> str:
    view = window.results.view
    line = view.results.lines[view.currentIndex().row()]
    assert isinstance(line, Row)
    return line.result.key


def rows(box: SearchBox) -> list[tuple[str, str, str]]:
    items = (box.rows.topLevelItem(row) for row in range(box.rows.topLevelItemCount()))
    return [(item.text(0), item.text(1), item.text(2)) for item in items if item is not None]


def test_a_result_is_found_with_its_value_and_gone_to(window: Window) -> None:
    box = searching(window, "camber g")
    assert rows(box)[0] == ("Camber gain", "as built −0.674°/25 mm", "result, front")
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert current_result(window) == "camber_gain"
    assert window.results.view.hasFocus()


def test_words_in_any_order_find_a_result_of_the_other_end(window: Window) -> None:
    box = searching(window, "squat anti")
    assert rows(box)[0][0] == "Anti-squat"
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert window.session.system is REAR
    assert current_result(window) == "anti_squat"


def test_a_point_a_value_a_change_and_a_command_are_gone_to(window: Window) -> None:
    box = searching(window, "upper arm rear pivot")
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert window.session.selection == ("front.upper_rear",)
    box = searching(window, "spring rate")
    names = [row for row in rows(box) if row[2] == "value"]
    assert names[0][0] == "Spring rate"
    while box.rows.currentItem().text(2) != "value":
        QTest.keyClick(box.line, Qt.Key.Key_Down)
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert window.points.values.hasFocus()
    box = searching(window, "leaf 4 out change")
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert window.session.active is not None
    assert window.session.setup.changes[window.session.active].name == "Leaf 4 out"
    units = window.session.units
    box = searching(window, "millimetres")
    assert rows(box)[0] == ("Millimetres or inches", "U", "command, View")
    QTest.keyClick(box.line, Qt.Key.Key_Return)
    assert window.session.units != units


def test_a_point_is_found_by_what_it_is_for_as_well(window: Window) -> None:
    box = searching(window, "rack")
    assert "Tie rod, inner end" in [row[0] for row in rows(box)]
    box.close()


def test_words_that_are_nowhere_say_so_and_escape_closes(window: Window) -> None:
    box = searching(window, "qqq")
    assert box.nothing.isVisible()
    assert not box.rows.isVisible()
    QTest.keyClick(box.line, Qt.Key.Key_Escape)
    assert not box.isVisible()


def test_any_step_is_gone_to_and_those_after_it_stay(window: Window) -> None:
    session = window.session
    began = session.setup
    for rate in (70.0, 71.0, 72.0):
        session.commit(set_value(session.setup, 0, RATE, rate), f"spring {rate:.0f}")
    QTest.keyClick(window, Qt.Key.Key_H, CONTROL)
    steps = window.findChildren(StepsList)[-1]
    words = [steps.rows.item(row).text() for row in range(steps.rows.count())]
    assert words == [
        "▸ Spring 72: 72.0 N/mm",
        "   Spring 71: 71.0 N/mm",
        "   Spring 70: 70.0 N/mm",
        "   As it was opened   · on the disk",
    ]
    rect = steps.rows.visualItemRect(steps.rows.item(2))
    QTest.mouseClick(steps.rows.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    assert session.setup.changes[0].sets[RATE] == 70.0
    assert [steps.rows.item(row).text()[:2] for row in range(3)] == ["  ", "  ", "▸ "]
    steps.rows.setCurrentRow(0)
    QTest.keyClick(steps.rows, Qt.Key.Key_Return)
    assert session.setup.changes[0].sets[RATE] == 72.0
    session.go_to_step(0)
    assert session.setup == began
    assert session.is_saved
    steps.close()


def test_the_guide_has_every_page_follows_links_and_finds_words(window: Window) -> None:
    QTest.keyClick(window, Qt.Key.Key_F1)
    guide = window.findChildren(GuideWindow)[-1]
    QApplication.processEvents()
    assert "Ferncote Linnet" in guide.page.toPlainText()
    guide.page.setSource(QUrl(guide.page.source().toString() + "#ride-height"))
    assert guide.page.verticalScrollBar().value() > 500
    guide.page.setSource(guide.page.source().resolved(QUrl("nomenclature.md")))
    assert guide.list.currentItem().text() == "Words, signs, results"
    guide.page.setSource(QUrl("https://example.invalid/"))
    assert guide.page.source().fileName() == "nomenclature.md"
    QTest.keyClicks(guide.line, "kingpin")
    QTest.keyClick(guide.line, Qt.Key.Key_Return)
    assert guide.page.textCursor().selectedText().lower() == "kingpin"
    assert guide.said.text() == ""
    guide.line.clear()
    QTest.keyClicks(guide.line, "qqqq")
    QTest.keyClick(guide.line, Qt.Key.Key_Return)
    assert "aren't on this page" in guide.said.text()
    guide.close()


def test_pictures_of_the_guide_are_no_wider_than_the_page(window: Window) -> None:
    window.actions_.guide.trigger()
    guide = window.findChildren(GuideWindow)[-1]
    QApplication.processEvents()
    for width in (700, 980):
        guide.resize(width, 700)
        QApplication.processEvents()
        picture = guide.page.document().resource(IMAGE.value, QUrl("images/board.png"))
        assert 200 < picture.width() <= guide.page.viewport().width()
    guide.close()


def test_every_page_is_there_and_heads_are_named_as_links_name_them() -> None:
    assert all((pages_folder() / file).is_file() for file in PAGES)
    assert link_name("Undo, saving and crashes") == "undo-saving-and-crashes"
    assert link_name("The rear: theory") == "the-rear-theory"


def body_sizes(guide: GuideWindow) -> set[int]:
    """Return by how much letters outside headings differ from the usual size."""
    block, found = guide.page.document().begin(), set()
    while block.isValid():
        for piece in block.begin() if not block.blockFormat().headingLevel() else ():
            found.add(piece.fragment().charFormat().intProperty(SIZE))
        block = block.next()
    return found


def test_each_page_of_the_guide_is_itself_in_its_own_type(window: Window, qtbot: QtBot) -> None:
    window.actions_.guide.trigger()
    guide = window.findChildren(GuideWindow)[-1]
    with qtbot.waitExposed(guide):
        guide.show()
    for row, (file, _) in enumerate(PAGES.items()):
        guide.list.setCurrentRow(row)
        for _ in range(3):
            QApplication.processEvents()
        first, *_ = (pages_folder() / file).read_text(encoding="utf-8").splitlines()
        text = guide.page.toPlainText()
        assert text.startswith(first.lstrip("# ")), file
        heads = [line for line in text.splitlines() if line == first.lstrip("# ")]
        assert len(heads) == 1, file
        others = [name for name in PAGES if name != file]
        for other in others:
            title = (pages_folder() / other).read_text(encoding="utf-8").splitlines()[0]
            assert title.lstrip("# ") not in text.splitlines(), (file, other)
        assert body_sizes(guide) == {0}, file
    guide.close()


def test_a_step_says_how_far_it_moved_points(window: Window) -> None:
    session = window.session
    session.set_active(0)
    for lower in (3.0, 4.0):
        session.commit(move_point(session.setup, 0, "front.upper_rear", (0.0, 0.0, -lower)), "move")
    lines = step_words(session)
    assert lines[-2:] == ["Move: 3 mm lower", "Move: 4 mm lower"]
    session.go_to_step(0)

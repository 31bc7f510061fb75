"""Tapes in the guide: entered, said to disagree, left out, and kept with a car half measured."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox, QLabel

from app.entry.draft_store import draft_from, text_of_draft
from app.entry.guide import MeasureWindow
from app.entry.pieces import EnterButton
from app.entry.tapes_page import TapesPage
from app.panels.lists.tape_dialog import TapeDialog
from tests.helpers.entering import Opened, focused, sample, type_and_enter

pytestmark = pytest.mark.gui

ENDS = ("front.upper_ball", "front.lower_ball")


def page_of(window: MeasureWindow) -> TapesPage:
    window.sitting.go("tapes")
    assert isinstance(window.page, TapesPage)
    return window.page


def take(page: TapesPage, length: str, ends: tuple[str, str] = ENDS) -> None:
    QTest.mouseClick(page.add, Qt.MouseButton.LeftButton)
    dialog = next(each for each in page.findChildren(TapeDialog) if each.isVisible())
    for choice, end in zip(dialog.ends, ends, strict=True):
        choice.setCurrentIndex(choice.findData(end))
    QTest.keyClicks(dialog.length, length)
    button = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def words_on(page: TapesPage) -> str:
    return " ".join(each.text() for each in page.findChildren(QLabel))


def test_a_tape_that_disagrees_is_said_on_its_page_and_left_out(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    page = page_of(window)
    assert focused() is window.foot.next  # Enter goes on without one
    take(page, "352")
    assert window.sitting.finished_setup.tapes[0].length == 352.0
    assert "Look again: tape 1 (Upper ball joint – lower ball joint) reads 9.9 mm more" in (
        words_on(page)
    )
    assert window.sitting.state(window.sitting.current) == "doubt"
    out = next(each for each in page.findChildren(EnterButton) if each.text() == "Leave out")
    QTest.mouseClick(out, Qt.MouseButton.LeftButton)
    assert window.sitting.finished_setup.tapes == ()


def test_a_car_half_measured_is_kept_with_its_tapes(opened: Opened) -> None:
    """Ends that are only typed so far are kept as points, so that the draft can be read again."""
    window = opened()
    for key, place in (("upper_ball", (-14, 588, 536)), ("lower_ball", (2, 622, 196))):
        window.sitting.go(f"front.{key}")
        for number in place:
            type_and_enter(str(number))
        window.sitting.type_text(f"front.{key}.within", "1.5")
    take(page_of(window), "342.5")
    draft, step = draft_from(text_of_draft(window.sitting.draft, window.sitting.step))
    assert step == "tapes"
    assert draft.before.tapes == window.sitting.finished_setup.tapes
    assert draft.before.tapes[0].between == ENDS
    assert draft.before.readings["front.upper_ball"] == (-14.0, 588.0, 536.0)


def test_what_is_typed_is_what_was_read_not_what_is_adjusted(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    take(page_of(window), "350")
    window.sitting.go("front.upper_ball")
    assert window.sitting.text("front.upper_ball.z") == "536"
    setup = window.sitting.finished_setup
    assert setup.evidence["front.upper_ball"] != setup.readings["front.upper_ball"]

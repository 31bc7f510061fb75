"""How well each number and each axis is measured is typed in the guide, by real keys."""

from __future__ import annotations

from math import degrees, radians

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from app.document.edits import remove_evidence
from app.document.files import read_text, text_of
from app.document.model import Setup
from app.entry.draft_session import DraftSession
from app.entry.draft_store import draft_from, text_of_draft
from app.entry.numbers_page import NumbersPage
from app.entry.point_page import PointPage
from app.entry.steps import draft_of
from app.entry.within_line import WithinLine
from app.systems.every import LIMIT_KINDS
from tests.helpers.entering import Opened, focused, press, sample, type_and_enter

pytestmark = pytest.mark.gui

PIVOT = "front.upper_front"


def exact() -> Setup:
    return remove_evidence(sample("torsion_coupe"), "sheet.measured_within").having(within={})


def sitting_on(setup: Setup) -> DraftSession:
    return DraftSession(draft_of(setup), "wheel")


def written_again(setup: Setup) -> Setup:
    return read_text(text_of(setup), limit_kinds=LIMIT_KINDS).setup


def test_the_usual_is_one_key_away_and_never_taken_by_itself(opened: Opened) -> None:
    window = opened(exact())
    sitting = window.sitting
    sitting.go("wheel")
    page = window.page
    assert isinstance(page, NumbersPage)
    camber = next(line for line in page.lines if line.name == "front.camber")
    camber.setFocus()
    type_and_enter("0.25")  # Enter passes by the ±
    assert getattr(focused(), "name", "") == "front.toe"
    assert not sitting.finished_setup.within
    camber.setFocus()
    press(Qt.Key.Key_Tab)
    line = focused()
    assert isinstance(line, WithinLine)
    assert line.accessibleName() == "Camber: measured within ±"
    assert "Arrow down: the usual ±0.1°" in line.toolTip()
    press(Qt.Key.Key_Down)
    assert line.text() == "0.1"
    assert page.usual["front.camber"].isHidden()
    assert sitting.finished_setup.within == {"front.camber": pytest.approx(radians(0.1))}
    press(Qt.Key.Key_Return)
    assert getattr(focused(), "name", "") == "front.toe"
    QTest.mouseClick(page.usual["front.toe"], Qt.MouseButton.LeftButton)
    assert degrees(sitting.finished_setup.within["front.toe"]) == pytest.approx(0.1)
    camber.setFocus()
    press(Qt.Key.Key_Tab)
    type_and_enter("-1")
    assert "below 0" in page.rows["front.camber"][1].text()
    assert "front.camber" not in sitting.finished_setup.within


def test_every_usual_one_is_one_button_and_what_is_typed_stays(opened: Opened) -> None:
    window = opened(exact())
    sitting = window.sitting
    sitting.go("wheel")
    sitting.type_text("front.camber.within", "0.25")
    page = window.page
    assert isinstance(page, NumbersPage)
    button = next(b for b in page.findChildren(QPushButton) if b.text() == "Take every usual ±")
    button.setFocus()
    press(Qt.Key.Key_Return)
    within = sitting.finished_setup.within
    assert degrees(within["front.camber"]) == pytest.approx(0.25)
    assert within["front.tyre_radius"] == 1.0
    assert not button.isEnabled()
    assert written_again(sitting.finished_setup).within == within


def test_each_axis_of_a_point_has_its_own(opened: Opened) -> None:
    window = opened(exact())
    sitting = window.sitting
    sitting.go(PIVOT)
    page = window.page
    assert isinstance(page, PointPage)
    page.within.setFocus()
    QTest.keyClicks(page.within, "1")
    assert sitting.finished_setup.within[PIVOT] == 1.0
    z = page.axes[2]
    z.line.setFocus()
    press(Qt.Key.Key_Tab)
    assert focused() is z.within
    assert z.within.placeholderText() == "1"
    QTest.keyClicks(z.within, "3")
    after = sitting.finished_setup
    assert after.within[PIVOT] == (1.0, 1.0, 3.0)
    assert "within = [1.0, 1.0, 3.0]" in text_of(after)
    again = sitting_on(after)
    texts = [again.text(f"{PIVOT}.{part}") for part in ("within", "within_x", "within_z")]
    assert texts == ["", "1", "3"]
    assert again.finished_setup.within == after.within


def test_an_axis_alone_asks_for_the_others() -> None:
    sitting = sitting_on(exact())
    sitting.type_text(f"{PIVOT}.within_z", "3")
    sitting.leave(f"{PIVOT}.within_z")
    assert sitting.error(f"{PIVOT}.within_z").startswith("Say it for the other axes too")
    assert PIVOT not in sitting.finished_setup.within
    for part in ("within_x", "within_y"):
        sitting.type_text(f"{PIVOT}.{part}", "3")
    assert not sitting.error(f"{PIVOT}.within_z")
    assert sitting.finished_setup.within[PIVOT] == 3.0


def test_the_other_axes_are_known_as_all_points_are() -> None:
    sitting = sitting_on(exact())
    sitting.type_text(f"{PIVOT}.within_z", "3")
    sitting.type_text("sheet.measured_within", "1.5")
    assert sitting.finished_setup.within[PIVOT] == (1.5, 1.5, 3.0)


def test_the_other_units_show_the_same_and_a_share_stays_one() -> None:
    sitting = sitting_on(exact())
    sitting.type_text("front.camber.within", "0.2")
    sitting.type_text("front.tyre_radius.within", "2.54")
    sitting.type_text("front.spring.rate.within", "2 %")
    before = dict(sitting.finished_setup.within)
    rate = sitting.finished_setup.readings["front.spring.rate"]
    assert isinstance(rate, float)
    assert before["front.spring.rate"] == pytest.approx(0.02 * rate)
    sitting.set_units("in")
    names = ("front.camber", "front.tyre_radius", "front.spring.rate")
    assert [sitting.text(f"{name}.within") for name in names] == ["0.2", "0.1", "2 %"]
    assert dict(sitting.finished_setup.within) == pytest.approx(before)


def test_what_is_measured_no_more_has_no_uncertainty_and_a_draft_keeps_the_rest() -> None:
    within = {PIVOT: (1.0, 2.0, 3.0), "front.camber": radians(0.1), "front.toe": radians(0.1)}
    sitting = sitting_on(exact().having(within=within))
    sitting.type_text("front.tyre_width", "")
    sitting.type_text(f"{PIVOT}.z", "570")
    sitting.type_text("front.toe.within", "")
    assert dict(sitting.finished_setup.within) == {k: within[k] for k in (PIVOT, "front.camber")}
    draft, _ = draft_from(text_of_draft(sitting.draft, "wheel"))
    kept = DraftSession(draft)
    assert kept.finished_setup.within == sitting.finished_setup.within


def test_a_field_below_the_fold_is_scrolled_to_when_the_keyboard_comes(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("rear pack")
    page = window.page
    assert isinstance(page, NumbersPage)
    first, *_, last = page.enter_order()
    first.setFocus()
    QApplication.processEvents()
    port = page.scrolled.viewport()
    for _ in page.enter_order()[1:]:
        press(Qt.Key.Key_Return)
    assert focused() is last
    assert port.rect().contains(QRect(last.mapTo(port, QPoint(0, 0)), last.size()))


def test_the_wheel_is_left_to_the_page_and_chooses_nothing(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("rear pack")
    page = window.page
    assert isinstance(page, NumbersPage)
    QApplication.processEvents()
    eye = next(line for line in page.lines if line.name == "rear.pack.front_eye")
    draft = window.sitting.draft
    place = QPointF(10.0, 10.0)
    event = QWheelEvent(
        place,
        eye.mapToGlobal(place),
        QPoint(),
        QPoint(0, -240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(eye, event)
    assert window.sitting.draft == draft
    assert not event.isAccepted()  # it is for the page beneath

"""The end of a curve under a real mouse: the result there is drawn."""

from __future__ import annotations

from math import degrees

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.curves.curve_sheet import CurveSheet
from app.panels.curves.curves import CurvesPanel
from app.session.session import Session
from tests.gestures.test_draw_result import roomy_session
from tests.helpers.panel_windows import LEFT, NONE, shown

pytestmark = pytest.mark.gui


@pytest.fixture
def session() -> Session:
    return roomy_session()


@pytest.fixture
def sheet(qtbot: QtBot, session: Session) -> CurveSheet:
    panel = CurvesPanel(session)
    shown(qtbot, panel, 720, 460)
    qtbot.waitUntil(lambda: panel.sheet is not None)
    QApplication.processEvents()
    assert panel.sheet is not None
    panel.sheet.setFocus()
    return panel.sheet


def camber_in_bump(session: Session) -> float:
    assert session.study is not None
    return float(session.study.proposed.travel.values["camber"][0, -1])


def drag(sheet: CurveSheet, right: int) -> QPoint:
    """Take hold of the end in bump of the large curve and move sideways."""
    start = max(sheet.plots[0].end_places())[1].toPoint()
    end = start + QPoint(right, 0)
    QTest.mouseMove(sheet, start)
    QTest.mousePress(sheet, LEFT, NONE, start)
    for at in (start + QPoint(right // 2, 3), end):
        QTest.mouseMove(sheet, at)
        QApplication.processEvents()
    return end


def test_the_end_of_the_curve_follows_the_hand(session: Session, sheet: CurveSheet) -> None:
    before, frame = camber_in_bump(session), sheet.plots[0].frame
    assert frame is not None
    per_pixel = 1.0 / (frame.x_of(1.0) - frame.x_of(0.0))  # [degrees]
    end = drag(sheet, 12)
    QTest.mouseRelease(sheet, LEFT, NONE, end)
    grown = degrees(camber_in_bump(session) - before)
    assert grown == pytest.approx(12.0 * per_pixel, abs=1.01 * per_pixel)
    assert session.history.undo_words.startswith("draw camber to ")


def test_escape_takes_the_end_back(session: Session, sheet: CurveSheet) -> None:
    setup = session.setup
    end = drag(sheet, 24)
    assert session.setup is not setup
    QTest.keyClick(sheet, Qt.Key.Key_Escape)
    QTest.mouseRelease(sheet, LEFT, NONE, end)
    assert session.setup is setup

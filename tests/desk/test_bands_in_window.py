"""A window as users have it: bands come from the process beside it, at rest and in a drag."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.desk.window import Window
from app.drawing.views import View
from app.session.session import Session
from app.systems.banded import QUICK
from geometry.catalogue.front import BY_KEY
from tests.helpers.entering import sample
from tests.helpers.hands import Hand

pytestmark = [pytest.mark.gui, pytest.mark.bands, pytest.mark.slow]


def test_bands_come_by_themselves_and_follow_a_drag(qtbot: QtBot) -> None:
    session = Session(sample("small_saloon"))
    window = Window(session)
    qtbot.addWidget(window)
    window.resize(1280, 720)
    window.show()
    height = BY_KEY["roll_centre_height"]
    qtbot.waitUntil(lambda: session.bands is not None, timeout=60_000)
    assert session.bands is not None
    before = session.bands.within("built", height)
    assert before is not None
    assert before > 1.0  # mm, of points within 1.5 mm
    view: BoardView = window.board.views[View.FRONT]
    hand = Hand(view)
    hand.press("front.upper_front")
    hand.move_mm(5.0, -30.0)
    qtbot.waitUntil(
        lambda: session.bands is not None and session.bands.within("built", height) != before,
        timeout=60_000,
    )
    assert session.preview_setup is not None
    assert session.bands.level >= QUICK
    hand.let_go()
    session.undo()  # a window asks before it closes on unsaved work

"""A view of the demo car, shown."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.drawing.views import View
from tests.helpers.demo_drawing import demo_drawing


@pytest.fixture
def view(qtbot: QtBot) -> BoardView:
    made = BoardView(View.FRONT)
    qtbot.addWidget(made)
    made.resize(800, 600)
    made.set_drawing(demo_drawing(View.FRONT))
    with qtbot.waitExposed(made):
        made.show()
    made.setFocus()
    return made

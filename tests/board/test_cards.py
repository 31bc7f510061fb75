"""Notes on the board: whole, wherever the point is and however narrow the view."""

from __future__ import annotations

import pytest

pytest.importorskip("PySide6")

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF

from app.board.cards import NOTE, PADDING, WRAPPED, note_box
from app.paint.lettering import Lettering

pytestmark = pytest.mark.gui

WORDS = "Upper arm, rear pivot\nmeasured −4.409, 14.882, 21.772 in\non the body; moves the arm"


@pytest.mark.parametrize("width", [180.0, 270.0, 900.0])
@pytest.mark.parametrize("place", [(0.02, 0.02), (0.5, 0.5), (0.98, 0.98)])
def test_a_note_and_its_words_lie_in_the_view(
    qapp: object, width: float, place: tuple[float, float]
) -> None:
    area, lettering = QRectF(40.0, 0.0, width, 320.0), Lettering()
    at = QPointF(area.x() + place[0] * width, place[1] * area.height())
    box = note_box(WORDS, at, area, lettering)
    assert area.contains(box)
    inner = box.adjusted(PADDING, 0.7 * PADDING, -PADDING, 0)
    words = QFontMetricsF(lettering.plain).boundingRect(inner, WRAPPED, WORDS)
    assert inner.adjusted(0, 0, 1, 1).contains(words)
    assert inner.width() <= NOTE + PADDING

"""PySide6 6.12.0 on Python 3.10 and 3.11 loses a reference to None or True at every call.

Short tests pass there and a long drag ends the interpreter ("none_dealloc"), so a newer PySide6 is
let in only after these have counted. From Python 3.12 on both objects are immortal (PEP 683): their
counts may drift without harm.
"""

import sys

import pytest

pytestmark = [
    pytest.mark.gui,
    pytest.mark.skipif(sys.version_info >= (3, 12), reason="None and True are immortal"),
]
CALLS = 300
NOISE = 50  # other code may take and drop a few references meanwhile


def test_calls_that_return_nothing_keep_none(qapp):
    from PySide6.QtGui import QPen

    pen = QPen()
    for _ in range(NOISE):
        pen.setCosmetic(True)  # the first calls fill caches
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        pen.setCosmetic(True)
    assert sys.getrefcount(None) - before > -NOISE


def test_painting_keeps_none(qapp):
    from PySide6.QtCore import QLineF
    from PySide6.QtGui import QImage, QPainter

    image = QImage(16, 16, QImage.Format.Format_RGB32)
    line = QLineF(0.0, 0.0, 15.0, 15.0)
    with QPainter(image) as painter:
        before = sys.getrefcount(None)
        for _ in range(CALLS):
            painter.save()
            painter.drawLine(line)
            painter.restore()
        after = sys.getrefcount(None)
    assert after - before > -NOISE


def test_signals_keep_true_and_none(qapp):
    from PySide6.QtCore import QObject, Signal

    class Bell(QObject):
        rung = Signal(bool)

    heard: list[int] = []
    bell = Bell()
    bell.rung.connect(lambda loud: heard.append(int(loud)))
    before = sys.getrefcount(True), sys.getrefcount(None)
    for _ in range(CALLS):
        bell.rung.emit(True)
    after = sys.getrefcount(True), sys.getrefcount(None)
    assert len(heard) == CALLS
    assert after[0] - before[0] > -NOISE
    assert after[1] - before[1] > -NOISE

"""A wild hand on the real window: real mouse and key events, on every part that takes them."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Final

from PySide6.QtCore import (
    QAbstractListModel,
    QCoreApplication,
    QEvent,
    QModelIndex,
    QPoint,
    QPointF,
    Qt,
)
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QLabel,
    QLineEdit,
    QMessageBox,
    QSlider,
    QWidget,
)
from shiboken6 import isValid

from app.board.view import BoardView
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.files import read_setup
from app.document.model import Setup
from app.drawing.views import View
from app.systems.every import LIMIT_KINDS
from tests.attack.drags import CARS
from tests.attack.failures import place_of
from tests.attack.shown import NO_NUMBER, differs_from_fresh, wrong_drawing, wrong_figures
from tests.attack.wild import Story, Tally, watched
from tests.helpers.hands import Hand

A_CAR: Final = 120  # moves, after which the next is opened
LEFT: Final = Qt.MouseButton.LeftButton
CONTROL: Final = Qt.KeyboardModifier.ControlModifier
PLAIN: Final = Qt.KeyboardModifier.NoModifier
KEYS: Final[tuple[tuple[Qt.Key, Qt.KeyboardModifier], ...]] = (
    *[(Qt.Key.Key_Z, CONTROL)] * 4,
    *[(Qt.Key.Key_Y, CONTROL)] * 2,
    *[(Qt.Key.Key_S, PLAIN)] * 3,
    *[(Qt.Key.Key_R, PLAIN)] * 2,
    (Qt.Key.Key_U, PLAIN),
    (Qt.Key.Key_Z, PLAIN),
    (Qt.Key.Key_F, PLAIN),
    (Qt.Key.Key_Escape, PLAIN),
    (Qt.Key.Key_Up, PLAIN),
    (Qt.Key.Key_Left, PLAIN),
    (Qt.Key.Key_PageDown, PLAIN),
    (Qt.Key.Key_1, CONTROL),
    (Qt.Key.Key_4, CONTROL),
    (Qt.Key.Key_0, CONTROL),
)


@dataclass
class MouseTally(Tally):
    """Figures of a wild hand, with the memory taken as it went on."""

    memory: list[float] = field(default_factory=list)  # MB, after each car

    @property
    def growth(self) -> float:
        """How much memory grew over the second half of the way [MB].

        In the first half what is kept of words and figures fills up; the same story told again and
        again takes no more (183 MB after the second time, 184 after the seventh).
        """
        warm = self.memory[len(self.memory) // 2 :]
        return warm[-1] - warm[0] if warm else 0.0


def wild_mouse(seed: int, moves: int, folder: Path) -> MouseTally:
    """Use a window wildly for a number of moves, on copies of every sample in turn."""
    application()
    hook = sys.excepthook
    tally, window = MouseTally(), open_window(None)
    window.resize(1400, 900)
    window.show()
    window.activateWindow()
    QTest.qWait(50)
    number = 0
    try:
        while tally.moves < moves:
            path = folder / CARS[number % len(CARS)].name
            shutil.copy(CARS[number % len(CARS)], path)
            story = Story(f"mouse {seed}/{number} on {path.stem}", tally)
            with watched(story):
                assert window.filing.read(path)
                WildHand(window, Random(f"{seed}/{number}"), story).go(min(A_CAR, moves))
            tally.memory.append(memory())
            number += 1
    finally:
        _close(window)
        sys.excepthook = hook  # the window's own tells in a box of the window
    return tally


class WildHand:
    """A hand on one window, for as long as one car is open."""

    def __init__(self, window: Window, chance: Random, story: Story) -> None:
        self.window, self.chance, self.story = window, chance, story
        self.session, self.tally = window.session, story.tally
        self.others: list[Callable[[], None]] = [
            *[self._key] * 8,
            *[self._slide] * 4,
            *[self._tick] * 3,
            self._settle,
            self._play,
            self._wheel,
            self._type,
            self._press_anywhere,
        ]

    def go(self, moves: int) -> None:
        """Do it for a number of moves, and take it back."""
        start, end = self.session.setup, self.tally.moves + moves
        while self.tally.moves < end:
            for _ in range(self.chance.randrange(3)):
                step = self.chance.choice(self.others)
                self.tally.steps[step.__name__.strip("_")] += 1
                self._guarded(step)
            self._guarded(self._drag)
            self._judge()
        self._guarded(lambda: self._take_all_back(start))

    def _guarded(self, step: Callable[[], None]) -> None:
        """Do a step; what leaves it directly counts as what leaves a slot does."""
        try:
            step()
        except Exception as error:
            self.story.fail(place_of(error))
        QApplication.processEvents()

    # Steps

    def _view(self) -> BoardView | None:
        views = [view for view in self.window.board.views.values() if view.isVisible()]
        return self.chance.choice(views) if views else None

    def _drag(self) -> None:
        view = self._view()
        if view is None:
            QTest.keyClick(self.window, Qt.Key.Key_0, CONTROL)
            return
        keys = view.aim.keys()
        if not keys:
            self.tally.moves += 1
            return
        key, hand = self.chance.choice(keys), Hand(view)
        self.tally.drags += 1
        right, down = self.chance.uniform(-1, 1), self.chance.uniform(-1, 1)
        size = self.chance.choice((1.0, 4.0, 20.0, 90.0))  # px
        self.story.tell(f"drag {key} in {view.view.name} by about {size:g} px")
        hand.press(key, self.chance.choice((PLAIN, PLAIN, CONTROL)))
        for _ in range(self.chance.choice((1, 3, 6))):
            wander = self.chance.uniform(-0.4, 0.4)
            held = self.chance.choice((PLAIN, PLAIN, PLAIN, Qt.KeyboardModifier.AltModifier))
            hand.move((right + wander) * size, (down - wander) * size, held)
            self.tally.moves += 5  # mouse events of Hand.move
            if self.chance.random() < 0.06:
                self._key()
        if self.chance.random() < 0.15:
            self.story.tell("Escape")
            QTest.keyClick(view, Qt.Key.Key_Escape)
        if self.chance.random() < 0.3:
            QTest.qWait(70)  # what trails a drag comes while the hand rests
        hand.let_go()

    def _key(self) -> None:
        key, modifiers = self.chance.choice(KEYS)
        self.story.tell(f"key {modifiers.name} {key.name}")
        QTest.keyClick(self.window.focusWidget() or self.window, key, modifiers)

    def _slide(self) -> None:
        row = self.chance.choice(list(self.window.strip.drivers.values()))
        slider: QSlider = row.slider
        if not slider.isVisible():
            return
        middle, width = slider.height() // 2, slider.width()
        ends = self.chance.choice(((0.0, 1.0), (0.5, 1.0), (1.0, 0.0), (0.3, 0.6)))
        self.story.tell(f"slide {row.driver} to {ends[1]}")
        self.window.setFocus()
        for share in (0.0, 0.3, 0.7, 1.0):
            x = round((ends[0] + (ends[1] - ends[0]) * share) * (width - 1))
            if share == 0.0:
                QTest.mousePress(slider, LEFT, PLAIN, QPoint(x, middle))
            QTest.mouseMove(slider, QPoint(x, middle))
            QApplication.processEvents()
        QTest.mouseRelease(slider, LEFT, PLAIN, QPoint(x, middle))
        slider.setValue(round(slider.minimum() + ends[1] * (slider.maximum() - slider.minimum())))
        self.window.board.views[View.SIDE].setFocus()

    def _tick(self) -> None:
        """Click into the list of changes: at its left end is the tick."""
        view = self.window.changes.findChild(QAbstractItemView)
        model = view.model() if isinstance(view, QAbstractItemView) else None
        if model is None or not model.rowCount():
            return
        index = model.index(self.chance.randrange(model.rowCount()), 0)
        view.scrollTo(index)
        rect = view.visualRect(index)
        self.story.tell(f"click at the tick of change {index.row()}")
        at = QPoint(rect.left() + self.chance.choice((18, 18, 18, 120)), rect.center().y())
        QTest.mouseClick(view.viewport(), LEFT, PLAIN, at)

    def _settle(self) -> None:
        height = self.window.strip.height_
        button = self.chance.choice((height.settle, height.hold))
        self.story.tell(button.text())
        QTest.mouseClick(button, LEFT)

    def _play(self) -> None:
        row = self.chance.choice(list(self.window.strip.drivers.values()))
        self.story.tell(f"play {row.driver}")
        QTest.mouseClick(row.play, LEFT)
        QTest.qWait(120)
        QTest.keyClick(self.window, Qt.Key.Key_Escape)

    def _wheel(self) -> None:
        view = self._view()
        if view is not None:
            turn, middle = self.chance.choice((120, -120, 480)), QPointF(view.rect().center())
            event = QWheelEvent(
                middle,
                view.mapToGlobal(middle),
                QPoint(),
                QPoint(0, turn),
                Qt.MouseButton.NoButton,
                PLAIN,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            )
            QApplication.sendEvent(view, event)

    def _press_anywhere(self) -> None:
        view = self._view()
        if view is not None:
            at = QPoint(
                self.chance.randrange(view.width()), self.chance.randrange(40, view.height())
            )
            QTest.mousePress(view, LEFT, PLAIN, at)
            QTest.mouseMove(view, at + QPoint(9, 5))
            QTest.mouseRelease(view, LEFT, PLAIN, at + QPoint(9, 5))

    def _type(self) -> None:
        """Type over a coordinate in the list of points."""
        table = self.window.points.table
        model = table.model()
        if not model.rowCount():
            return
        row, column = self.chance.randrange(model.rowCount()), self.chance.choice((1, 2, 3))
        text = self.chance.choice(("530", "-12.5", "1e30", "9" * 33, "nan", "x", "", "0"))
        self.story.tell(f"type {text} into row {row}, column {column}")
        table.edit(model.index(row, column))
        field = QApplication.focusWidget()
        if isinstance(field, QLineEdit) and table.isAncestorOf(field):
            QTest.keyClick(field, Qt.Key.Key_A, CONTROL)
            QTest.keyClicks(field, text)
            QTest.keyClick(field, Qt.Key.Key_Return)
            QApplication.processEvents()  # what can be read is taken once the key is through
            if isValid(field) and field.isVisible():
                QTest.keyClick(field, Qt.Key.Key_Escape)
        self.window.board.views[View.SIDE].setFocus()

    def _take_all_back(self, start: Setup) -> None:
        session = self.session
        self.story.tell("undo all the way")
        while session.history.undo_words:
            index = session.history.index
            self.window.actions_.undo.trigger()
            if session.history.index == index:
                self.story.fail("undo is offered but does nothing")
                break
        if session.setup != start:
            self.story.fail("undo all the way leaves another setup")
        for failure in differs_from_fresh(session):
            self.story.fail(failure)
        self.tally.undone += 1
        assert session.path is not None
        session.saved(read_setup(session.path, limit_kinds=LIMIT_KINDS))

    # Judging

    def _judge(self) -> None:
        self.tally.refused += self.session.problem is not None
        for failure in (*wrong_figures(self.session), *wrong_drawing(self.session)):
            self.story.fail(failure)
        for words in texts(self.window):
            if NO_NUMBER.search(words):
                self.story.fail(f"a label says no number: {words!r}")
        for box in QApplication.topLevelWidgets():
            if isinstance(box, QMessageBox) and box.isVisible():
                self.story.fail(f"a box appeared: {box.text()[:60]} {box.informativeText()[:120]}")
                box.hide()


def texts(window: QWidget) -> Iterator[str]:
    """Yield what the labels, fields and lists of a window say."""
    labels, fields = window.findChildren(QLabel), window.findChildren(QLineEdit)
    yield from (label.text() for label in labels if label.isVisible())
    yield from (field.text() for field in fields if field.isVisible() and not field.hasFocus())
    for view in window.findChildren(QAbstractItemView):
        model = view.model()
        top = QModelIndex()
        columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(top)
        for row in range(model.rowCount(top)):
            for column in range(columns):
                yield str(model.index(row, column).data() or "")


def memory() -> float:
    """Return the memory that this process has resident [MB]; 0 where it can't be known."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
    except OSError:
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _close(window: Window) -> None:
    path = window.session.path
    if path is not None and not window.session.is_saved:
        window.session.saved(read_setup(path, limit_kinds=LIMIT_KINDS))
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

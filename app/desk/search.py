"""Ctrl+F: one line that finds results, points, values, changes and commands by their words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QHeaderView,
    QLabel,
    QLineEdit,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
)

from app.document.keys import KEYS
from app.document.plain_text import one_line
from app.document.point_names import point_title
from app.panels.figures import result_text
from app.panels.lists.points_table import points_of
from app.panels.lists.values_table import settable_keys
from app.panels.widgets import small_label
from app.qt.border import fenced
from app.qt.tips import tip
from app.systems.answers import Study
from app.systems.sides import sides_told, value_told
from app.systems.study_results import results_of
from app.systems.system import System
from app.words.point_parts import where_words
from geometry.dataclass import dataclass

if TYPE_CHECKING:
    from app.desk.window import Window

MOST: Final = 60  # rows that are shown
SIZE: Final = (520, 420)
HINT: Final = "Words in any order. Down and Up choose, Enter goes there, Escape closes."
_WALKING: Final = (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)


@dataclass(frozen=True)
class Place:
    """Something of the window that can be gone to: what it is, its words, what stands beside it.

    `about` isn't shown: what else it is looked for by.
    """

    kind: str
    words: str
    beside: str
    go: Callable[[], object]
    about: str = ""

    def rank(self, typed: tuple[str, ...]) -> int | None:
        """Return how near the typed words are, 0 the nearest; None where one of them is missing."""
        words = self.words.casefold()
        text = f"{words} {self.kind.casefold()}"
        if not all(word in text for word in typed):
            whole = f"{text} {self.about.casefold()}"
            return 3 if all(word in whole for word in typed) else None
        if typed and words.startswith(typed[0]):
            return 0
        begins = all(any(part.startswith(word) for part in text.split()) for word in typed)
        return 1 if begins else 2


def found(places: list[Place], text: str) -> list[Place]:
    """Return the places that have every typed word, the nearest first."""
    typed = tuple(text.casefold().split())
    ranked = [(rank, place) for place in places if (rank := place.rank(typed)) is not None]
    return [place for _, place in sorted(ranked, key=lambda pair: pair[0])]


def places_of(window: Window) -> list[Place]:
    """Return every place of the window as it is now, the end that is shown first."""
    session = window.session
    places: list[Place] = []
    for study in session.car():
        places += _results(window, study)
    for system in sorted(session.systems(), key=lambda system: system is not session.system):
        places += _points(window, system)
        places += _values(window, system)
    places += _changes(window)
    places += _commands(window.menuBar().actions())
    return places


def _results(window: Window, study: Study[Any]) -> Iterator[Place]:
    units = window.session.units
    for result in results_of(study):
        told = ", ".join(
            f"{result_text(value_told(study.proposed, result, side), result, units)} {side or ''}"
            for side in sides_told(study, result)
        ).strip()
        text = f"as built {told}"
        go = partial(_go_to_result, window, study.system, result.key)
        about = f"{result.group} {result.definition}"
        yield Place(f"result, {study.system.key}", result.title, text, go, about)


def _points(window: Window, system: System[Any]) -> Iterator[Place]:
    evidence = window.session.setup.evidence
    for key in points_of(window.session.setup, system.key):
        go = partial(_go_to_point, window, system, key)
        title = point_title(key, evidence)
        yield Place(f"point, {system.key}", title, "", go, where_words(key, evidence))


def _values(window: Window, system: System[Any]) -> Iterator[Place]:
    for key in settable_keys(window.session.setup, system):
        go = partial(_go_to_value, window, system, key)
        yield Place("value", KEYS[key].title, "", go, KEYS[key].purpose)


def _changes(window: Window) -> Iterator[Place]:
    for index, change in enumerate(window.session.setup.changes):
        state = "on" if change.on else "off"
        yield Place("change", one_line(change.name), state, partial(_go_to_change, window, index))


def _commands(actions: list[QAction], above: str = "") -> Iterator[Place]:
    """Yield what the menus hold, however deep; what can't be done now is left out."""
    for action in actions:
        words = action.text().replace("&&", "\0").replace("&", "").replace("\0", "&")
        menu = action.menu()
        if menu is not None and menu.isEnabled():  # type: ignore[attr-defined]
            yield from _commands(menu.actions(), words)  # type: ignore[attr-defined]
        elif words and action.isEnabled() and menu is None:
            beside = action.shortcut().toString()
            yield Place(f"command, {above}" if above else "command", words, beside, action.trigger)


def _go_to_result(window: Window, system: System[Any], key: str) -> None:
    window.session.show(system)
    window.results.show_result(key)
    window.results.view.setFocus()


def _go_to_point(window: Window, system: System[Any], key: str) -> None:
    window.session.show(system)
    window.session.select((key,))
    window.points.table.setFocus()


def _go_to_value(window: Window, system: System[Any], key: str) -> None:
    window.session.show(system)
    view = window.points.values
    for row, shown_key in enumerate(view.values.keys):
        if shown_key == key:
            index = view.values.index(row, view.values.columnCount() - 1)
            view.setFocus()
            view.setCurrentIndex(index)
            view.scrollTo(index)


def _go_to_change(window: Window, index: int) -> None:
    window.session.set_active(index)
    window.changes.setFocus()


@fenced
class SearchBox(QDialog):
    """The line and what it finds; it closes when something is gone to."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.setWindowTitle("Find a result, point, value, change or command")
        self.places = places_of(window)
        self.line, self.rows = QLineEdit(), QTreeWidget()
        self.line.setPlaceholderText("Find a result, point, value, change or command")
        self.line.setAccessibleName("Words to find")
        self.rows.setAccessibleName("Found")
        self.rows.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.rows.setColumnCount(3)
        self.rows.setHeaderHidden(True)
        self.rows.setRootIsDecorated(False)
        header, fits = self.rows.header(), QHeaderView.ResizeMode.ResizeToContents
        header.setStretchLastSection(False)
        for column, mode in enumerate((QHeaderView.ResizeMode.Stretch, fits, fits)):
            header.setSectionResizeMode(column, mode)
        self.nothing = QLabel("Nothing here has these words.")
        layout = QVBoxLayout(self)
        for widget in (self.line, self.rows, self.nothing, small_label(HINT)):
            layout.addWidget(widget)
        self.line.installEventFilter(self)
        self.line.textChanged.connect(self._follow)
        self.rows.itemClicked.connect(lambda item, *_: self._go(item))
        self._follow("")

    def open_over(self, window: Window) -> None:
        """Open at the top of the window's middle."""
        self.resize(*SIZE)
        left = max((window.width() - SIZE[0]) // 2, 0)
        self.move(window.mapToGlobal(QPoint(left, 60)))
        self.show()
        self.line.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the keys that walk and choose act on the list while the line has the keyboard."""
        if watched is self.line and isinstance(event, QKeyEvent):
            if event.type() == QEvent.Type.KeyPress and event.key() in _WALKING:
                QApplication.sendEvent(self.rows, event)
                return True
            chooses = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if event.type() == QEvent.Type.KeyPress and chooses:
                self._go(self.rows.currentItem())
                return True
        return super().eventFilter(watched, event)

    def _follow(self, text: str) -> None:
        self.rows.clear()
        places = found(self.places, text)[:MOST]
        for place in places:
            item = QTreeWidgetItem([place.words, place.beside, place.kind])
            item.setData(0, Qt.ItemDataRole.UserRole, place)
            item.setTextAlignment(1, Qt.AlignmentFlag.AlignRight)
            item.setToolTip(0, tip(place.words))
            self.rows.addTopLevelItem(item)
        if first := self.rows.topLevelItem(0):
            self.rows.setCurrentItem(first)
        self.rows.setVisible(bool(places))
        self.nothing.setVisible(not places)

    def _go(self, item: QTreeWidgetItem | None) -> None:
        if item is not None:
            place = item.data(0, Qt.ItemDataRole.UserRole)
            self.close()
            place.go()


def find(window: Window) -> SearchBox:
    """Open the search."""
    box = SearchBox(window)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.open_over(window)
    return box

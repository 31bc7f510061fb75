"""Another car over the one that is shown: where it comes from, the bar that tells, its menu."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QLineF, QLocale, QPointF, QSize, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence, QPainter, QPaintEvent, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.document.faults import SetupFaults
from app.document.files import read_setup
from app.document.keys import missing_keys
from app.document.model import Setup
from app.document.plain_text import one_line
from app.document.plans import Together
from app.paint.palette import PALETTES
from app.panels.quiet_line import QuietLine
from app.qt.border import fenced
from app.qt.spoken import one_of_several
from app.session.second_car import Which
from app.session.second_words import second_words
from app.session.session import Session
from app.systems.every import LIMIT_KINDS, given_systems
from app.words.errors import geometry_words
from app.words.unforeseen import unforeseen_words
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from app.desk.window import Window

LAY: Final = "&Lay another car over this…"
NEXT: Final = "Both, the second or the first al&one"
AWAY: Final = "Ta&ke the second car away"
STAYS: Final = "What is on the board stays."


# Where it comes from


def lay_file_over(window: Window) -> bool:
    """Ask for another setup file and lay its car over; one that can't be read is told."""
    filing = window.filing
    path = window.asker.file_to_open(filing.suggestion("", ".toml").parent)
    return path is not None and lay_path_over(window, path)


def lay_path_over(window: Window, path: Path) -> bool:
    """Lay the car of a setup file over the one that is shown, or tell why that can't be."""
    setup = _read(window, path)
    if setup is None:
        return False
    is_same_car = setup.title == window.session.setup.title  # then its file tells it apart
    title = one_line(path.name if is_same_car or not setup.title else setup.title)
    is_changed = any(change.on for change in setup.changes)
    name = f"{title}, {'as built' if is_changed else 'as found'}"
    window.session.second.lay(name, setup)
    return True


def _read(window: Window, path: Path) -> Setup | None:
    """Return the setup of a file whose car can be shown; None where it can't, which is told."""
    name, tell = one_line(path.name), window.asker.tell
    try:
        setup = read_setup(path, limit_kinds=LIMIT_KINDS, partial=True).setup
        if any(missing_keys(setup.evidence)):
            tell(
                f"{name} can't be laid over",
                f"The car in {name} is measured in part only: finish its measuring first. {STAYS}",
            )
            return None
        why = _why_unbuilt(setup)
    except SetupFaults as found:
        window.asker.show_faults(name, tuple(found.faults))
        return None
    except Exception as error:  # any fault of the file: all stays as it is
        tell(f"{name} can't be laid over", f"{unforeseen_words(name, error)} {STAYS}")
        return None
    if why:
        tell(f"{name} can't be laid over", f"{name} can't be built. {why} {STAYS}")
        return None
    return setup


def _why_unbuilt(setup: Setup) -> str:
    """Return why no end of a car can be built; empty where one can."""
    errors: list[GeometryError] = []
    for system in given_systems(setup):
        try:
            system.study(setup)
        except GeometryError as error:
            errors.append(error)
        else:
            return ""
    words = (
        geometry_words(error, setup.units, QLocale().decimalPoint(), setup.evidence)
        for error in errors
    )
    return " ".join(words) or "It gives neither a front nor a rear."


# What is said of it


class SecondBar(QWidget):
    """The name of the second car, which of both is seen, and how to take it away."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.setObjectName("hint")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName("Second car")
        self.line, self.name = LineSample(), QuietLine()
        self.words = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        self.buttons = QButtonGroup(self)
        self.away = _button("Take away", "Take the second car away (Escape on the drawing)")
        self.away.clicked.connect(session.second.take_away)
        self._lay_out()
        session.second.changed.connect(self.follow)
        for signal in (session.system_changed, session.pose_changed, session.study_completed):
            signal.connect(self.follow)
        self.follow()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.line)
        row.addWidget(self.name, 1)
        for place, which in enumerate(Which):
            button = _button(which.value, f"See {which.value.lower()} (O for the next)")
            one_of_several(button)
            self.buttons.addButton(button, place)
            row.addWidget(button)
        self.buttons.idClicked.connect(lambda place: self.session.second.show(list(Which)[place]))
        row.addWidget(self.away)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 4, 8, 4)
        layout.setSpacing(2)
        layout.addLayout(row)
        layout.addWidget(self.words)

    def follow(self) -> None:
        """Say what lies over the first car, what is seen, and what is to be known of it."""
        second = self.session.second
        self.setVisible(second.laid is not None)
        if second.laid is None:
            return
        name = one_line(second.laid.name)
        shown = {
            Which.BOTH: f"Second car over this one: {name}",
            Which.SECOND: f"The second car alone, which can't be dragged: {name}",
            Which.FIRST: f"The first car alone; the second is hidden: {name}",
        }
        hidden = f"Second car, of which nothing is to be seen here: {name}"
        self.name.show_text(shown[second.which] if second.study else hidden)
        self.buttons.button(list(Which).index(second.which)).setChecked(True)
        words = " ".join(second_words(self.session))
        if words != self.words.text():
            self.words.setText(words)
        self.words.setVisible(bool(words))


@fenced
class LineSample(QWidget):
    """A piece of the line in which the second car is drawn."""

    def __init__(self) -> None:
        super().__init__()
        self.setFixedWidth(52)

    def sizeHint(self) -> QSize:
        """Return the room of a line."""
        return QSize(52, self.fontMetrics().height())

    def changeEvent(self, event: QEvent) -> None:
        """Paint anew on other paper."""
        super().changeEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the line across the middle."""
        from app.paint.charts import curve_pen  # only where a second car lies over the first

        is_dark = self.palette().window().color().lightnessF() < 0.5
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(curve_pen("second", PALETTES["dark" if is_dark else "light"]))
            middle = 0.5 * self.height()
            painter.drawLine(QLineF(QPointF(0.0, middle), QPointF(self.width() - 6.0, middle)))


def _button(text: str, tip: str) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setToolTip(tip)
    button.setAccessibleName(f"Second car: {text.lower()}")
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button


# Its menu


class SecondMenu(QMenu):
    """What can be laid over, which of both is seen, and taking it away."""

    def __init__(self, window: Window, lay: QAction, switch: QAction, parent: QWidget) -> None:
        super().__init__("A second car &over this", parent)
        self.window_, self.session = window, window.session
        self.lay_action, self.switch = lay, switch
        self.away = QAction(AWAY, window)
        self.away.triggered.connect(self.session.second.take_away)
        escape = QKeySequence(Qt.Key.Key_Escape)
        self.escape = QShortcut(escape, window.board)  # a drag, and a field, take it first
        self.escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.escape.activated.connect(self.session.second.take_away)
        self.choices = self._choices()
        self.aboutToShow.connect(self.offer)
        self.session.second.changed.connect(self._enable)
        self._fill(())
        self._enable()

    def _choices(self) -> dict[Which, QAction]:
        group, choices = QActionGroup(self), dict[Which, QAction]()
        for which in Which:
            choices[which] = action = QAction(which.value, self.window_)  # clearing spares it
            action.setCheckable(True)
            action.triggered.connect(partial(self._show, which))
            group.addAction(action)
        return choices

    def offer(self) -> None:
        """Offer a file, and the proposals that the setup has now."""
        from app.judge.compare import proposals

        self._fill(proposals(self.session.history.value))

    def _fill(self, proposed: Iterable[Together]) -> None:
        self.clear()
        self.addAction(self.lay_action)
        for together in proposed:
            words = one_line(together.name).replace("&", "&&")
            action = self.addAction(f"Lay “{words}” over this")
            action.triggered.connect(partial(self._lay, together))
        self.addSeparator()
        self.addActions([*self.choices.values(), self.switch])
        self.addSeparator()
        self.addAction(self.away)

    def _lay(self, together: Together, *_: object) -> None:
        self.session.second.lay_proposal(together)

    def _show(self, which: Which, *_: object) -> None:
        self.session.second.show(which)

    def _enable(self) -> None:
        second = self.session.second
        is_there = second.laid is not None
        for action in (*self.choices.values(), self.switch, self.away):
            action.setEnabled(is_there)
        self.escape.setEnabled(is_there)
        self.choices[second.which].setChecked(True)

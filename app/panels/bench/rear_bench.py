"""The fourth part of the board: the curves, and with the rear its pack, wind-up, hop or links."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QTabBar, QVBoxLayout, QWidget

from app.paint.palette import PALETTES, Inks
from app.panels.bench.rear_page import LINKS, PACK, TWIST, RearPage, pages_of
from app.panels.curves.curves import CurvesPanel
from app.panels.widgets import FlatButton, text_font
from app.qt.border import fenced
from app.session.session import Session

CURVES: Final = "Curves"
LARGER: Final = "larger"


class RearBench(QWidget):
    """The pages under their tabs; a page is made when it is first shown."""

    fill_asked = Signal()  # fill the board with the bench, or give the views their room back

    board_wanted = Signal()  # something is drawn on the board: it should be seen

    def __init__(self, session: Session, curves: CurvesPanel) -> None:
        super().__init__()
        self.session, self.curves = session, curves
        self.inks: Inks = PALETTES["light"]
        self.setBackgroundRole(self.palette().ColorRole.Base)
        self.setAutoFillBackground(True)
        self.tabs = Tabs()
        self.tabs.currentChanged.connect(self._show_current)
        self.tabs.fill_asked.connect(self.fill_asked)
        self.larger = FlatButton(LARGER, "Fill the board with this, or show all four parts")
        self.larger.clicked.connect(self.fill_asked)
        self.pages: dict[str, RearPage] = {}
        self.stack = QStackedWidget()
        self.stack.addWidget(curves)
        self.head = QWidget()
        line = QHBoxLayout(self.head)
        line.setContentsMargins(0, 0, 4, 0)
        line.addWidget(self.tabs, 1)
        line.addWidget(self.larger)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.head)
        layout.addWidget(self.stack, 1)
        self.setMinimumSize(curves.minimumSize())
        session.system_changed.connect(self._follow)
        session.study_changed.connect(self._follow)
        self._follow()

    def set_palette_name(self, name: str) -> None:
        """Take the inks "light" or "dark"; the curves are given theirs with the other panels."""
        self.inks = PALETTES[name]
        self.tabs.take_inks(self.inks)
        for page in self.pages.values():
            page.take_inks(self.inks)

    def show_filled(self, filled: bool) -> None:
        """Say what the button does: fill the board, or show all four parts again."""
        self.larger.setText("all four parts" if filled else LARGER)

    def show_tab(self, name: str) -> None:
        """Show a page by the name of its tab, where the axle that is shown has it."""
        for index in range(self.tabs.count()):
            if self.tabs.tabText(index) == name:
                self.tabs.setCurrentIndex(index)

    @property
    def tab(self) -> str:
        """Return the name of the tab that is shown."""
        return self.tabs.tabText(self.tabs.currentIndex()) or CURVES

    def _follow(self) -> None:
        """Offer the tabs of the axle that is shown; the front has only the curves."""
        names = self._names()
        now = tuple(self.tabs.tabText(index) for index in range(self.tabs.count()))
        if names != now:
            with QSignalBlocker(self.tabs):
                for index in reversed(range(self.tabs.count())):
                    self.tabs.removeTab(index)
                for name in names:
                    self.tabs.addTab(name)
            self._show_current()
        self.head.setVisible(len(names) > 1)

    def _names(self) -> tuple[str, ...]:
        study = self.session.study
        return (*pages_of(study), CURVES)

    def _show_current(self) -> None:
        name = self.tab
        if name == CURVES:
            self.stack.setCurrentWidget(self.curves)
            return
        if name not in self.pages:
            page = self.pages[name] = _made(name, self.session)
            self.stack.addWidget(page)
            page.take_inks(self.inks)
            page.board_wanted.connect(self.board_wanted)
        self.stack.setCurrentWidget(self.pages[name])


def _made(name: str, session: Session) -> RearPage:
    """Return a page; its modules are only loaded when it is first shown."""
    if name == PACK:
        from app.panels.bench.pack_page import PackPage

        return PackPage(session)
    if name == TWIST:
        from app.panels.bench.twist_page import TwistPage

        return TwistPage(session)
    if name == LINKS:
        from app.panels.bench.links_page import LinksPage

        return LinksPage(session)
    from app.panels.bench.hop_page import HopPage

    return HopPage(session)


@fenced
class Tabs(QTabBar):
    """Tabs as words on the paper: the one that is shown is bold and underlined."""

    fill_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.inks: Inks = PALETTES["light"]
        self.setDrawBase(False)
        self.setExpanding(False)
        self.setUsesScrollButtons(True)
        self.setFont(text_font(bold=True))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("What is shown of the rear")

    def take_inks(self, inks: Inks) -> None:
        """Paint in other inks."""
        self.inks = inks
        self.update()

    def tabSizeHint(self, index: int) -> QSize:
        """Return the room of a name in bold, so that none moves when another is shown."""
        high = super().tabSizeHint(index).height()
        return QSize(self.fontMetrics().horizontalAdvance(self.tabText(index)) + 22, high)

    def minimumTabSizeHint(self, index: int) -> QSize:
        """Return the same: names aren't cut off."""
        return self.tabSizeHint(index)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the names; a ring shows where the keyboard is."""
        with QPainter(self) as painter:
            for index in range(self.count()):
                shown = index == self.currentIndex()
                box = self.tabRect(index)
                painter.setFont(text_font(bold=shown))
                painter.setPen(self.inks.colour("ink" if shown else "second"))
                painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), self.tabText(index))
                if shown:
                    painter.setPen(QPen(self.inks.colour("accent"), 2))
                    low = box.bottom() - 1
                    painter.drawLine(box.left() + 8, low, box.right() - 8, low)
                if shown and self.hasFocus():
                    painter.setPen(QPen(self.inks.colour("ink"), 1.5))
                    painter.drawRect(box.adjusted(2, 2, -3, -3))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Fill the board with the page, or show all four parts."""
        self.fill_asked.emit()

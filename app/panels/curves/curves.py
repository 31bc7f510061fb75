"""The curves: results over travel, roll or steer; built when first shown, to start quickly."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal

from PySide6.QtCore import QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QButtonGroup, QWidget

from app.panels.curves.second_curves import Legend
from app.panels.widgets import FlatButton, Panel
from app.qt.border import fenced
from app.qt.spoken import one_of_several
from app.session.session import Session

if TYPE_CHECKING:
    from app.panels.curves.curve_sheet import CurveSheet

Driver = Literal["travel", "roll", "steer"]
OVER: Final[dict[Driver, tuple[str, str]]] = {
    "travel": ("travel", "Curves over wheel travel, bump upwards"),
    "roll": ("roll", "Curves over body roll"),
    "steer": ("steer", "Curves over steer"),
}


@fenced
class CurvesPanel(Panel):
    """The curves of the chosen results over the chosen driver."""

    title_double_clicked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Curves", parent)
        self.driver: Driver = "travel"
        self.sheet: CurveSheet | None = None
        self.legend = Legend(session)
        self._waits = False
        self.setMinimumSize(160, 130)
        self._add_drivers()
        session.system_changed.connect(self._follow_axle)
        session.curves_changed.connect(self._ask_again)
        self._follow_axle()
        self.rows.addWidget(self.legend)
        self.rows.addStretch(1)

    def _add_drivers(self) -> None:
        self.drivers = QButtonGroup(self)
        for index, (driver, (words, tip)) in enumerate(OVER.items()):
            button = FlatButton(f"over {words}" if index == 0 else words, tip)
            one_of_several(button)
            button.setChecked(driver == self.driver)
            self.drivers.addButton(button, index)
            self.head.addWidget(button)
        self.drivers.idClicked.connect(lambda index: self.show_over(list(OVER)[index]))

    def show_over(self, driver: Driver) -> None:
        """Plot over travel, roll or steer."""
        self.driver = driver
        with QSignalBlocker(self.drivers):
            self.drivers.button(list(OVER).index(driver)).setChecked(True)
        if self.sheet is not None:
            self.sheet.show_over(driver)

    def release(self) -> None:
        """Let the end of a curve go that is held: the work is saved or closed."""
        if self.sheet is not None:
            self.sheet.hand.release()

    def show_side(self, side: int) -> None:
        """Plot the left wheel or the right one."""
        if self.sheet is not None:
            self.sheet.show_side(side)

    def _follow_axle(self) -> None:
        """Offer steer only where there is any."""
        steers = "steer" in self.session.system.drivers
        self.drivers.button(list(OVER).index("steer")).setVisible(steers)
        if not steers and self.driver == "steer":
            self.show_over("travel")

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Fill the board with the curves, or give the views their room back."""
        if event.position().y() < self.title.geometry().bottom() + 4:
            self.title_double_clicked.emit()

    def take_inks(self) -> None:
        """Hand the inks to legend and plots."""
        self.legend.inks = self.inks
        if self.sheet is not None:
            self.sheet.take_inks(self.inks)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Request the plots after the window was painted for the first time."""
        super().paintEvent(event)
        if self.sheet is None and not self._waits:
            self._waits = True
            QTimer.singleShot(0, self.build)

    def _ask_again(self) -> None:
        """Try again once there is something to plot."""
        if self.sheet is None:
            self.update()

    def build(self) -> None:
        """Put the curves on the paper."""
        self._waits = False
        if self.sheet is not None or self.session.study is None:
            return
        from app.panels.curves.curve_sheet import CurveSheet

        self.sheet = CurveSheet(self.session, self.driver, self.inks)
        self.sheet.read_at.connect(self._show_place)
        self.rows.takeAt(self.rows.count() - 1)
        self.rows.addWidget(self.sheet, 1)
        self.sheet.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        stops = [self.drivers.button(len(OVER) - 1), self.sheet, *self.sheet.heads]
        for one, other in pairwise(stops):  # built late, they would be the last of the window
            QWidget.setTabOrder(one, other)

    def _show_place(self, words: str) -> None:
        self.title.setText(f"Curves {words}" if words else "Curves")

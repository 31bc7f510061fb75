"""Results that are drawn by hand, as the window wires them: typed values, and letting go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMenu

from app.judge.drawn import Drawn
from app.systems.result_handles import results_held

if TYPE_CHECKING:
    from app.desk.window import Window


def connect_drawn(window: Window) -> None:
    """Ask for values of the marks on the board; what is held is let go before work is saved."""

    def ask(drawn: Drawn) -> None:
        from app.panels.lists.value_dialog import ValueDialog

        ValueDialog(window.session, drawn, window).open()

    def offer(key: object, place: QPoint) -> None:
        if isinstance(key, str) and results_held(key):
            menu = QMenu(window)
            menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            menu.addAction("Set to…", lambda: ask(window.board.results.drawn(key)))
            menu.popup(place)

    window.board.value_asked.connect(ask)
    window.board.menu_asked.connect(offer)
    window.filing.letting_go.connect(window.results.view.release)

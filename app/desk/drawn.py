"""Results that are drawn by hand, as the window wires them: typed values, and letting go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMenu

from app.systems.result_handles import results_held

if TYPE_CHECKING:
    from app.desk.window import Window
    from app.judge.drawn import Drawn


def connect_drawn(window: Window) -> None:
    """Ask for values of the marks on the board; what is held is let go before work is saved."""

    def offer(key: object, place: QPoint) -> None:
        if isinstance(key, str) and results_held(key):
            mark_menu(window, key).popup(place)

    window.board.value_asked.connect(lambda drawn: ask_value(window, drawn))
    window.board.menu_asked.connect(offer)
    window.filing.letting_go.connect(window.results.view.release)
    window.filing.letting_go.connect(window.curves.release)


def mark_menu(window: Window, key: str) -> QMenu:
    """Return the menu of a mark."""
    menu = QMenu(window)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    menu.addAction("Set to…", lambda: ask_value(window, window.board.results.drawn(key)))
    return menu


def ask_value(window: Window, drawn: Drawn) -> None:
    """Open the window in which results are set to values."""
    from app.panels.lists.value_dialog import ValueDialog

    ValueDialog(window.session, drawn, window).open()

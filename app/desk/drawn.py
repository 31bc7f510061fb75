"""Results that are drawn by hand, as the window wires them: typed values, and letting go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.judge.drawn import Drawn

if TYPE_CHECKING:
    from app.desk.window import Window


def connect_drawn(window: Window) -> None:
    """Ask for values of the marks on the board; what is held is let go before work is saved."""

    def ask(drawn: Drawn) -> None:
        from app.panels.lists.value_dialog import ValueDialog

        ValueDialog(window.session, drawn, window).open()

    window.board.value_asked.connect(ask)
    window.filing.letting_go.connect(window.results.view.release)

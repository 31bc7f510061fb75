"""A few values of a setup, whether given yet or not: measured beside proposed, all in view."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from app.document.keys import KEYS
from app.document.model import Setup
from app.document.moves import proposed_settings
from app.paint.palette import Inks
from app.panels.lists.values_table import ValuesModel, ValuesView
from app.qt.border import fenced
from app.session.session import Session


class ChosenModel(ValuesModel):
    """These values, in this order."""

    def __init__(self, session: Session, keys: tuple[str, ...]) -> None:
        self.chosen = keys
        super().__init__(session)

    def shown_keys(self, setup: Setup) -> tuple[str, ...]:
        """Return the keys chosen, as far as what is fitted has them."""
        kind = proposed_settings(setup).get("rear.kind")
        return tuple(key for key in self.chosen if kind is None or kind in KEYS[key].fits)


@fenced
class ChosenValues(ValuesView):
    """The values as a widget, as high as its rows."""

    def __init__(self, session: Session, keys: tuple[str, ...], name: str) -> None:
        super().__init__(session, ChosenModel(session, keys))
        self.setAccessibleName(name)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(120)

    def take_inks(self, inks: Inks) -> None:
        """Write in other inks."""
        self.paper.inks = inks
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self._all_in_view()

    def _fit(self) -> None:
        super()._fit()
        self._all_in_view()

    def _all_in_view(self) -> None:
        rows = sum(self.rowHeight(row) for row in range(len(self.values.keys)))
        high = self.horizontalHeader().height() + rows + 2
        if high != self.height():
            self.setFixedHeight(high)

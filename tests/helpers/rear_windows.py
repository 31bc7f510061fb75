"""Shared by the tests of the rear's pages: what tables say, and cells of values."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex

from app.panels.lists.chosen_values import ChosenValues
from app.panels.text_table import TextTable


def column(table: TextTable, at: int) -> list[str]:
    """Return a column's words."""
    return [row[at].text for row in table.rows_.table.rows]


def value_cell(values: ChosenValues, key: str) -> QModelIndex:
    """Return the cell in which a value is proposed."""
    return values.values.index(values.values.keys.index(key), 2)

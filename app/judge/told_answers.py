"""Answers as the window is told them, without what it takes to find them."""

from __future__ import annotations

from typing import Final

from app.document.model import Change
from geometry.dataclass import dataclass

GIVES: Final = "gives"


@dataclass(frozen=True)
class AnswerCell:
    """Words of a column in a row; `mark` says that it is best or past its limit, or gives."""

    text: str = ""
    mark: str = ""


@dataclass(frozen=True)
class AnswerRow:
    """A row: its head, and a cell a column; rows of `figures` hold numbers, others sentences."""

    head: str
    cells: tuple[AnswerCell, ...]
    is_figures: bool = False


@dataclass(frozen=True)
class AnswerTable:
    """Answers beside each other: columns' heads, rows, the change that makes each, and notes.

    `changes` has None for the columns of cars that are there already.
    """

    heads: tuple[str, ...]
    rows: tuple[AnswerRow, ...]
    changes: tuple[Change | None, ...]
    notes: tuple[str, ...]
    is_met: bool

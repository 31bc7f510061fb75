"""The results as a list that a view shows and a screen reader hears."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from app.panels.figures import NOTHING, result_text
from app.panels.lists.clearance_rows import nearest_words
from app.panels.lists.result_rows import (
    Head,
    Line,
    Other,
    Row,
    Said,
    lines_of,
    said_by,
    why_nothing,
)
from app.qt.border import fenced
from app.session.session import Session
from app.systems.limits import LimitCheck, limit_checks
from app.words.results import TWO_MODELS, result_unit, sign_words

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole


@fenced
class ResultsModel(QAbstractListModel):
    """Heads and rows as a list; a screen reader hears each as a sentence."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.opened_groups: frozenset[str] = frozenset()
        self.side = 0
        self.lines: tuple[Line, ...] = lines_of(session, self.opened_groups)
        self.readings: dict[str, LimitCheck] = {}
        self.read_limits()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of heads and rows."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return the line itself, or its words."""
        line = self.lines[index.row()]
        if role == Role.UserRole:
            return line
        if role in (Role.DisplayRole, Role.AccessibleTextRole):
            return self._spoken(line)
        if role == Role.ToolTipRole and isinstance(line, Row):
            return self._tip(line)
        return None

    def said(self, row: Row) -> Said:
        """Return what a row says now."""
        return said_by(row, self.session, self.side, self.readings.get(row.result.key))

    def read_limits(self) -> None:
        """Read every limit over the whole of what a study covers."""
        study = self.session.study
        limits = limit_checks(study) if study is not None else ()
        self.readings = {reading.result.key: reading for reading in limits}

    def refresh(self) -> bool:
        """Rebuild the lines; tell whether they differ from those before."""
        lines = lines_of(self.session, self.opened_groups)
        if lines == self.lines:
            return False
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()
        return True

    def turn_group(self, group: str) -> None:
        """Open or fold a group."""
        self.opened_groups = self.opened_groups ^ {group}
        self.refresh()

    def _spoken(self, line: Line) -> str:
        if isinstance(line, Head):
            return line.group
        result, units = line.result, self.session.units
        if line.needs:
            return f"{result.title}, {line.needs}"
        line_words = self.said(line)
        title = " ".join(filter(None, (result.title, line_words.side)))
        found, built, moves = (f" {words}".rstrip() for words in line_words.within)
        words = [
            f"{title}: as found {line_words.measured}{found}, as built {line_words.proposed}{built}"
        ]
        words += [result_unit(result, units), sign_words(line_words.value, result, units)]
        last = "second car" if line_words.is_second else "moves"
        words += [f"{last} {line_words.moves}{moves}"] if line_words.moves else []
        words += [TWO_MODELS] if line.is_by_two_models else []
        words += [_other_spoken(line_words.other, last)] if line_words.other else []
        words += [line_words.limit, nearest_words(self.session, result.key)]
        return ", ".join(filter(None, words))

    def _tip(self, row: Row) -> str:
        result, units = row.result, self.session.units
        row_words = self.said(row)
        if row.needs or row_words.proposed == NOTHING:
            return f"{result.title}\n{why_nothing(row, self.session)}"
        value = result_text(row_words.value, result, units)
        meaning = sign_words(row_words.value, result, units)
        words = [result.title, f"{value}: {meaning}" if meaning else value]
        words += [TWO_MODELS] if row.is_by_two_models else []
        words += [nearest] if (nearest := nearest_words(self.session, result.key)) else []
        words += [f"Limit set by: {row.limit.by}"] if row.limit and row.limit.by else []
        return "\n".join(words)


def _other_spoken(other: Other, last: str) -> str:
    words = f"{other.side} as found {other.measured}, as built {other.proposed}"
    return f"{words}, {last} {other.moves}" if other.moves else words

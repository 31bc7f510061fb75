"""The changes as rows: those of the end that is shown, then the other end's under a heading."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QSettings, Qt

from app.document.edits import EditError, rename_change, switch_change
from app.document.model import Change
from app.document.plain_text import one_line
from app.panels.lists.job_words import job_words, made_words
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import Session

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
Row = int | None  # the place of a change among the setup's; None is the heading of the other end

OWN_FLAGS: Final = Qt.ItemFlag.ItemIsEditable | Qt.ItemFlag.ItemIsUserCheckable
OPEN: Final = "lists/other end open"  # the setting: whether the other end's changes are shown


@fenced
class ChangesModel(QAbstractListModel):
    """The changes of a session's setup, as rows; the other end's are folded away or shown."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self._shown_changes: tuple[Change, ...] = session.setup.changes
        self.is_open = bool(QSettings().value(OPEN, False, bool))
        self.rows = self._rows()
        self._heading = self.heading() if None in self.rows else ""
        session.setup_changed.connect(self._follow)
        session.system_changed.connect(self._follow)
        session.active_changed.connect(self._follow)

    def change(self, index: Index) -> Change | None:
        """Return the change of a row; None for the heading."""
        place = self.rows[index.row()]
        return None if place is None else self._shown_changes[place]

    def row_of(self, place: int | None) -> int:
        """Return the row of a change, -1 where it has none."""
        return self.rows.index(place) if place is not None and place in self.rows else -1

    def neighbour(self, place: int, step: int) -> int | None:
        """Return the place of the change above or below, of the same end; None at its edge."""
        group = next(group for group in self._ends() if place in group)
        there = group.index(place) + step
        return group[there] if 0 <= there < len(group) else None

    def turn_open(self) -> None:
        """Show the other end's changes, or fold them away; the next start has them so too."""
        self.is_open = not self.is_open
        QSettings().setValue(OPEN, self.is_open)
        self._follow()

    def heading(self) -> str:
        """Return the words of the other end's heading: "Rear: 3 changes, 1 on"."""
        other_end = [self._shown_changes[place] for place in self._ends()[1]]
        session = self.session
        titles = [system.title for system in session.systems() if system is not session.system]
        count, on = len(other_end), sum(change.on for change in other_end)
        words = "1 change" if count == 1 else f"{count} changes"
        return f"{', '.join(titles)}: {words}{f', {on} on' if on else ''}"

    def _ends(self) -> tuple[list[int], list[int]]:
        """Return the places of the changes of the end that is shown, and of the other."""
        groups: tuple[list[int], list[int]] = ([], [])
        shown = self.session.system
        others = [system for system in self.session.systems() if system is not shown]
        for place, change in enumerate(self._shown_changes):
            keys = (*change.moves, *change.sets)
            is_other = any(other.is_own(key) for key in keys for other in others)
            groups[is_other and not any(map(shown.is_own, keys))].append(place)
        return groups

    def _rows(self) -> tuple[Row, ...]:
        here, there = self._ends()
        if not there:
            return tuple(here)
        # the active change is never out of sight: drags go into it
        active = self.session.active
        return (*here, None, *(place for place in there if self.is_open or place == active))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self.rows)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let a row be ticked and renamed, but for the heading."""
        if self.change(index) is None:
            return Qt.ItemFlag.ItemIsEnabled
        return super().flags(index) | OWN_FLAGS

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return the name, the tick, and the words for a screen reader."""
        change = self.change(index)
        if change is None:
            return self._heading_data(role)
        if role == Role.EditRole:
            return change.name
        if role == Role.DisplayRole:
            return one_line(change.name)
        if role == Role.CheckStateRole:
            return Qt.CheckState.Checked if change.on else Qt.CheckState.Unchecked
        if role == Role.AccessibleTextRole:
            return f"{change.name}: {job_words(self.session.setup, change)}"
        if role == Role.AccessibleDescriptionRole:
            return made_words(change)
        if role == Role.ToolTipRole:
            return tip("\n".join(filter(None, (change.name, made_words(change), change.note))))
        return None

    def _heading_data(self, role: int) -> Any:
        if role == Role.DisplayRole:
            return self.heading()
        if role == Role.AccessibleTextRole:
            return f"{self.heading()}, {'shown' if self.is_open else 'folded'}"
        if role == Role.ToolTipRole:
            return "Click: show or fold the other end's changes"
        return None

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Switch or rename a change."""
        place, change, setup = self.rows[index.row()], self.change(index), self.session.setup
        if place is None or change is None:
            return False
        if role == Role.CheckStateRole:
            on = Qt.CheckState(value) == Qt.CheckState.Checked
            words = f"switch {'on' if on else 'off'} “{change.name}”"
            self.session.commit(switch_change(setup, place, on), words)
            return True
        try:
            renamed = rename_change(setup, place, str(value))
        except EditError as error:
            self.session.said.emit(str(error))
            return False
        self.session.commit(renamed, f"rename “{change.name}”")
        return True

    def _follow(self) -> None:
        before, now = self._shown_changes, self.session.setup.changes
        self._shown_changes = now
        rows = self._rows()
        if rows != self.rows or len(before) != len(now):
            self._shown_changes = before
            self.beginResetModel()
            self._shown_changes, self.rows = now, rows
            self._heading = self.heading() if None in rows else ""
            self.endResetModel()
            return
        heading, self._heading = self._heading, self.heading() if None in rows else ""
        for row, place in enumerate(rows):
            is_new = heading != self._heading if place is None else before[place] is not now[place]
            if is_new:
                self.dataChanged.emit(self.index(row), self.index(row))

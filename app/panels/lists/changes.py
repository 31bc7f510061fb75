"""The changes: each a job for the shop, ticked on or off, and how the active one is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, cast

from PySide6.QtCore import QModelIndex, QPoint, QSignalBlocker, Qt
from PySide6.QtGui import QAction, QKeySequence, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QVBoxLayout,
    QWidget,
)

from app.document.edits import (
    duplicate_change,
    remove_change,
    reorder_change,
    set_change_note,
    set_parts,
    set_toe,
)
from app.document.model import Change, Parts, Setup, Toe
from app.panels.folding import FoldTitle
from app.panels.lists.changes_list import ChangesView
from app.panels.lists.changes_model import ChangesModel, Row
from app.panels.lists.job_words import asks_toe, moves_points
from app.panels.lists.signs import SignButton
from app.panels.widgets import EDGE, SECOND, FlatButton, Panel, small_label
from app.qt.border import fenced
from app.qt.spoken import name_list
from app.qt.tips import tip
from app.session.session import Session
from app.words.changes import MADE

PARTS: Final[dict[str, tuple[str, str]]] = {
    "kept": (
        MADE["kept"],
        "The same arms and rods are bolted to moved points: the wheel leans as it would.",
    ),
    "made to fit": (
        MADE["made to fit"],
        "New arms or rods reach from point to point as measured: static angles stay.",
    ),
}
TOE: Final[dict[str, tuple[str, str]]] = {
    "reset": ("reset", "Tie rods are turned until the static toe is as measured."),
    "left": ("left as it comes", "Tie rods keep their length: the static toe is what comes of it."),
}
EMPTY: Final = "No changes yet. Drag a point on the drawing, or type its new place below."


class ChangesPanel(Panel):
    """The list of changes, what can be done with them, and how the active one is made."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Changes", parent)
        self.model = ChangesModel(session)
        self.view = ChangesView(self.model)
        self.view.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.view.customContextMenuRequested.connect(self._show_menu)
        self.hint = small_label(EMPTY)
        self.hint.setContentsMargins(EDGE, 0, EDGE, 0)
        self._add_actions()
        self.making = Making(session)
        self.fresh = FlatButton(
            "+ New change from what I drag next", "The next drag starts a change of its own"
        )
        self.fresh.setCheckable(True)
        self.fresh.clicked.connect(lambda: session.set_active(None))
        self._lay_out()
        self.view.selectionModel().currentChanged.connect(self._activate)
        self._shown_state: tuple[int | None, tuple[Row, ...]] | None = None
        session.active_changed.connect(self._follow)
        session.setup_changed.connect(self._follow)
        self.model.modelReset.connect(self._follow)
        self._follow()

    def _lay_out(self) -> None:
        self.fold = FoldTitle("Changes", "changes")
        self.take_title(self.fold)
        body = QWidget()
        rows = QVBoxLayout(body)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(self.rows.spacing())
        offer = QHBoxLayout()  # its frame, where it is pressed, stands clear of the window's edge
        offer.setContentsMargins(EDGE - 4, 0, EDGE - 4, 0)
        offer.addWidget(self.fresh)
        offer.addStretch()
        rows.addWidget(self.hint)
        rows.addWidget(self.view)
        rows.addLayout(offer)
        rows.addWidget(self.making)
        rows.setStretchFactor(self.view, 1)
        self.rows.addWidget(body, 1)
        self.rows.addStretch()
        self.fold.folds(body)
        self.body = body
        self.model.modelReset.connect(self._keep_room)
        self._keep_room()

    def _keep_room(self) -> None:
        """Keep room for how a change is made: what stands below doesn't jump when that is shown."""
        parts = self.view.minimumHeight(), *(x.sizeHint().height() for x in self._below())
        self.body.setMinimumHeight(sum(parts) + 2 * self.rows.spacing())

    def _below(self) -> tuple[QWidget, QWidget]:
        return self.fresh, self.making

    def take_inks(self) -> None:
        """Hand the inks to the list."""
        self.view.paper.inks = self.inks
        self.view.viewport().update()

    def full_height(self) -> int:
        """Return the height at which no change is out of view [px]."""
        head = self.head.sizeHint()
        if self.fold.is_folded:
            return head.height() + 10
        parts = (head, self.fresh.sizeHint(), self.making.sizeHint())
        paper, rows = self.view.paper, self.model.rows
        changes = sum(paper.heading_height if row is None else paper.height for row in rows)
        return changes + sum(part.height() + 5 for part in parts) + 14

    def _add_actions(self) -> None:
        """Put the verbs on buttons, in the list's menu and on keys."""
        self.duplicate = self._action("copy", "Duplicate", "Ctrl+D", self._duplicate)
        self.move_up = self._action("up", "Move up", "Ctrl+Up", lambda: self._shift(-1))
        self.move_down = self._action("down", "Move down", "Ctrl+Down", lambda: self._shift(1))
        self.remove = self._action("cross", "Remove", "Del", self._remove)

    def _action(self, sign: str, words: str, keys: str, act: Callable[[], None]) -> QAction:
        action = QAction(words, self.view)
        action.setShortcut(QKeySequence(keys))
        action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        action.triggered.connect(act)
        self.view.addAction(action)
        button = SignButton(sign, f"{words} the change ({action.shortcut().toString()})")
        button.clicked.connect(action.trigger)
        action.enabledChanged.connect(button.setEnabled)
        self.head.addWidget(button)
        return action

    def _follow(self) -> None:
        """Mark the active change and say what can be done with it."""
        active, model = self.session.active, self.model
        if (active, model.rows) == self._shown_state:
            return
        self._shown_state = (active, model.rows)
        row = model.row_of(active)
        with QSignalBlocker(self.view.selectionModel()):
            self.view.setCurrentIndex(model.index(row) if row >= 0 else QModelIndex())
        if row >= 0:
            self.view.scrollTo(model.index(row))
        self.view.viewport().update()
        self.hint.setVisible(not model.rows)
        self.fresh.setChecked(active is None)
        self.duplicate.setEnabled(row >= 0)
        self.remove.setEnabled(row >= 0)
        for action, step in ((self.move_up, -1), (self.move_down, 1)):
            action.setEnabled(row >= 0 and model.neighbour(self._active()[0], step) is not None)

    def _activate(self, current: QModelIndex) -> None:
        place = self.model.rows[current.row()] if current.isValid() else None
        if place is not None:
            self.session.set_active(place)

    def _duplicate(self) -> None:
        index, name = self._active()
        self._commit(duplicate_change(self.session.setup, index), f"duplicate “{name}”", index + 1)

    def _remove(self) -> None:
        index, name = self._active()
        remaining = len(self.session.setup.changes) - 1
        following = min(index, remaining - 1) if remaining else None
        self._commit(remove_change(self.session.setup, index), f"remove “{name}”", following)

    def _shift(self, step: int) -> None:
        index, name = self._active()
        words, to = (
            f"move “{name}” {'up' if step < 0 else 'down'}",
            self.model.neighbour(index, step),
        )
        if to is not None:
            self._commit(reorder_change(self.session.setup, index, to), words, to)

    def _active(self) -> tuple[int, str]:
        index = cast(int, self.session.active)
        return index, self.session.setup.changes[index].name

    def _commit(self, setup: Setup, words: str, active: int | None) -> None:
        self.session.commit(setup, words)
        self.session.set_active(active)

    def _show_menu(self, at: QPoint) -> None:
        index = self.view.indexAt(at)
        place = self.model.rows[index.row()] if index.isValid() else None
        if place is None:
            return
        self.session.set_active(place)
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction("Rename", lambda: self.view.edit(index))
        menu.addAction("Note…", self.making.note.setFocus)
        menu.addSeparator()
        menu.addActions([self.duplicate, self.move_up, self.move_down, self.remove])
        menu.popup(self.view.viewport().mapToGlobal(at))


class Making(QWidget):
    """How the active change is made: with which parts, with which toe, and its note."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self._shown_state: tuple[str, str, str, bool, bool] | None = None
        grid = QGridLayout(self)
        grid.setContentsMargins(EDGE, 2, EDGE, 2)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        self.parts = Choice(PARTS, "How it is made", self._set_parts)
        self.toe = Choice(TOE, "Toe", self._set_toe)
        self.note = QLineEdit()
        self.note.setPlaceholderText("note for the shop")
        self.note.setAccessibleName("Note of the active change")
        self.note.editingFinished.connect(self._set_note)
        grid.addWidget(self.parts, 0, 0, 1, 2)
        for row, (words, field) in enumerate((("Toe", self.toe), ("Note", self.note)), start=1):
            label = QLabel(words)
            label.setBuddy(field)
            label.setForegroundRole(SECOND)
            if field is self.toe:
                self.toe_label = label
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        for part in (self, self.parts, self.toe, self.toe_label):
            _keep_room(part)
        session.active_changed.connect(self._follow)
        session.setup_changed.connect(self._follow)
        self._follow()

    def _change(self) -> Change | None:
        index, changes = self.session.active, self.session.setup.changes
        return changes[index] if index is not None and index < len(changes) else None

    def _follow(self) -> None:
        change = self._change()
        signature = None
        if change is not None:
            offers = moves_points(change), asks_toe(change)
            signature = change.parts, change.toe, change.note, *offers
        if signature == self._shown_state and change is not None:
            return
        self._shown_state = signature
        self.setVisible(change is not None)
        if change is None:
            return
        self.parts.setVisible(moves_points(change))
        for part in (self.toe, self.toe_label):
            part.setVisible(asks_toe(change))
        self.parts.show_choice(change.parts)
        self.toe.show_choice(change.toe)
        if not self.note.hasFocus() or not self.note.isModified():
            with QSignalBlocker(self.note):
                self.note.setText(change.note)
                self.note.setCursorPosition(0)
                self.note.setToolTip(tip(change.note))

    def _set_parts(self, parts: str) -> None:
        words = f"make “{self._name()}” with {PARTS[parts][0]}"
        self._commit(set_parts(self.session.setup, self._index(), cast(Parts, parts)), words)

    def _set_toe(self, toe: str) -> None:
        words = f"let “{self._name()}” have its toe {TOE[toe][0]}"
        self._commit(set_toe(self.session.setup, self._index(), cast(Toe, toe)), words)

    def _set_note(self) -> None:
        change = self._change()
        if change is not None and self.note.isModified():
            self.note.setModified(False)
            edited = set_change_note(self.session.setup, self._index(), self.note.text())
            self._commit(edited, f"note on “{change.name}”")

    def _index(self) -> int:
        return cast(int, self.session.active)

    def _name(self) -> str:
        return self.session.setup.changes[self._index()].name

    def _commit(self, setup: Setup, words: str) -> None:
        self.session.commit(setup, words)


def _keep_room(part: QWidget) -> None:
    """Keep a part's room while it is hidden: what stands below doesn't jump when it comes."""
    policy = part.sizePolicy()
    policy.setRetainSizeWhenHidden(True)
    part.setSizePolicy(policy)


@fenced
class Choice(QComboBox):
    """A few words of which one holds."""

    def __init__(
        self, choices: Mapping[str, tuple[str, str]], name: str, chosen: Callable[[str], None]
    ) -> None:
        super().__init__()
        self.name = name
        self.setMinimumContentsLength(12)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.choices = choices
        for value, (words, purpose) in choices.items():
            self.addItem(words, value)
            self.setItemData(self.count() - 1, purpose, Qt.ItemDataRole.ToolTipRole)
        self.activated.connect(lambda _row: chosen(self.currentData()))

    def show_choice(self, value: str) -> None:
        """Show the one that holds."""
        with QSignalBlocker(self):
            self.setCurrentIndex(self.findData(value))
        purpose = self.choices[value][1]
        self.setToolTip(purpose)
        name_list(self, self.name, purpose)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the wheel scroll what is around, not change the job."""
        event.ignore()

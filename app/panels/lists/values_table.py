"""Values other than points that a change may set: measured beside proposed."""

from __future__ import annotations

from typing import Any, Final, cast

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import QContextMenuEvent, QFontMetrics, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHeaderView,
    QMenu,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.document.bounds import bound_words
from app.document.ends import end_of
from app.document.entries import EntryError, parse_value
from app.document.keys import ALL_KEYS, KEYS, kind_of
from app.document.model import Setup, Value
from app.document.moves import kinds_fitted, proposed_values
from app.document.units import exact_number, number_of, unit_of
from app.paint.palette import PALETTES
from app.panels.entry import EntryDelegate, Read
from app.panels.figures import decimal_sign
from app.panels.lists.table_head import TableHead
from app.panels.widgets import EDGE, SMALL, paint_ring, plain_view, text_font
from app.qt.border import fenced
from app.qt.spoken import name_list
from app.qt.tips import tip
from app.session.session import Session
from app.systems.every import SYSTEMS
from app.systems.system import System
from app.words.readings import within_words

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
NAME, MEASURED, PROPOSED = 0, 1, 2
HEADS: Final = ("measured", "proposed")
ROOMY: Final = 310  # from here on measured values have a column of their own [px]
TITLES: Final = 180  # and titles this much [px]
FIGURE: Final = 66  # least width of a column of figures [px]
_FIRST: Final = (
    *("front.spring.rate", "front.spring.free_length", "front.spring.preload"),
    *("rear.spring.rate", "rear.spring.free_length"),
)


def settable_keys(setup: Setup, system: System[Any]) -> tuple[str, ...]:
    """Return the keys of given values that a change may set, the spring's first.

    Those of a suspension that the car has neither as found nor as built aren't among them.
    """
    setup_keys = set(setup.evidence) | {key for change in setup.changes for key in change.sets}
    kinds = kinds_fitted(setup)
    keys = [
        key.name
        for key in ALL_KEYS
        if key.name in setup_keys and key.settable and (key.is_number or key.kind == "choice")
        if key.fits & kinds
    ]
    return tuple(sorted((key for key in keys if _concerns(key, system)), key=_rank))


def _concerns(key: str, system: System[Any]) -> bool:
    """Tell whether a value is one of that system, or of the whole car."""
    others = (other.key for other in SYSTEMS if other is not system)
    return system.is_own(key) or (system.concerns(key) and not any(map(key.__contains__, others)))


def _rank(key: str) -> int:
    if key in _FIRST:
        return _FIRST.index(key)
    return 20 if end_of(key) == "car" else 10


@fenced
class ValuesModel(QAbstractTableModel):
    """The values that a change may set, with what is proposed for them."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.keys: tuple[str, ...] = ()
        self.proposed: dict[str, Value] = {}
        self._shown_state: object = None
        self._follow()
        session.setup_changed.connect(self._follow)
        session.system_changed.connect(self._follow)
        session.units_changed.connect(self._all_changed)

    def kind(self, key: str) -> str:
        """Return the kind of quantity of a value."""
        return kind_of(key, self.session.setup.evidence)

    def text(self, key: str, value: Value | None) -> str:
        """Return a value as it is shown, without its unit."""
        if value is None or isinstance(value, str):
            return value or "—"
        kind = self.kind(key)
        return number_of(cast(float, value), kind, self.session.units, decimal=decimal_sign())

    def unit(self, key: str) -> str:
        """Return the unit of a value; empty for a choice."""
        return unit_of(self.kind(key), self.session.units) if KEYS[key].is_number else ""

    def is_changed(self, key: str) -> bool:
        """Tell whether a value is proposed to change."""
        return self.proposed.get(key) != self.session.setup.evidence.get(key)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of values."""
        return 0 if parent.isValid() else len(self.keys)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return name, measured, proposed."""
        return 0 if parent.isValid() else 3

    def headerData(self, section: int, way: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Return the columns' heads."""
        if way == Qt.Orientation.Horizontal and role in (Role.DisplayRole, Role.AccessibleTextRole):
            unseen = "value" if role == Role.AccessibleTextRole else ""
            return (unseen, *HEADS)[section]
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Make the proposed values editable."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if index.column() == PROPOSED else flags

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return what a cell says."""
        key, column = self.keys[index.row()], index.column()
        if role == Role.DisplayRole:
            return self._shown(key, column)
        if role == Role.EditRole:
            return self._whole(key)
        if role == Role.ToolTipRole:
            words = f"{KEYS[key].title}: {self._shown(key, max(column, MEASURED))}"
            known = within_words(self.session.setup, key, self.session.units, decimal_sign())
            lines = (f"{words} {self.unit(key)}", KEYS[key].purpose, known)
            return tip("\n".join(filter(None, lines)))
        if role == Role.AccessibleTextRole:
            return self._spoken(key, column)
        return None

    def _shown(self, key: str, column: int) -> str:
        if column == NAME:
            return KEYS[key].title
        values = self.session.setup.evidence if column == MEASURED else self.proposed
        return self.text(key, values.get(key))

    def _spoken(self, key: str, column: int) -> str:
        if column == NAME:
            return KEYS[key].title
        values = self.session.setup.evidence if column == MEASURED else self.proposed
        number = f"{self._shown(key, column)} {self.unit(key)}" if key in values else "none"
        return f"{KEYS[key].title}, {HEADS[column - 1]} {number}".strip()

    def _whole(self, key: str) -> str:
        value = self.proposed.get(key)
        if value is None or isinstance(value, str):
            return value or ""
        units, decimal = self.session.units, decimal_sign()
        return exact_number(cast(float, value), self.kind(key), units, decimal=decimal)

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Propose a value."""
        from app.panels.proposing import give_value  # a start has no time for it

        key = self.keys[index.row()]
        if value != self.proposed.get(key):
            give_value(self.session, key, value)
        return True

    def shown_keys(self, setup: Setup) -> tuple[str, ...]:
        """Return the keys to be shown."""
        return settable_keys(setup, self.session.system)

    def _follow(self) -> None:
        setup = self.session.setup
        sets = tuple((change.on, change.sets) for change in setup.changes)
        if (sets, setup.evidence, self.session.system) == self._shown_state:
            return
        self._shown_state = (sets, setup.evidence, self.session.system)
        keys, proposed = self.shown_keys(setup), dict(proposed_values(setup))
        if keys != self.keys:
            self.beginResetModel()
            self.keys, self.proposed = keys, proposed
            self.endResetModel()
            return
        before, self.proposed = self.proposed, proposed
        for row, key in enumerate(keys):
            if before.get(key) != proposed.get(key):
                self.dataChanged.emit(self.index(row, 0), self.index(row, PROPOSED))

    def _all_changed(self) -> None:
        if self.keys:
            last = self.index(len(self.keys) - 1, PROPOSED)
            self.dataChanged.emit(self.index(0, 0), last)


@fenced
class ValuePaper(EntryDelegate):
    """Paints a value: its title and unit, measured, proposed."""

    def __init__(self, view: QTableView, session: Session) -> None:
        super().__init__(view, session.said.emit)
        self.view, self.session = view, session
        self.inks = PALETTES["light"]
        self.plain, self.bold = text_font(), text_font(bold=True)
        self.small = text_font(SMALL)

    def reader(self, index: Index) -> Read:
        """Read a value of the key's kind, inside the bounds that apply to files."""
        model, units = _model_of(index), self.session.units
        key = model.keys[index.row()]
        kind, row = model.kind(key), KEYS[key]

        def read(text: str) -> float:
            value = parse_value(text, kind, units, decimal=decimal_sign())
            bound = bound_words(value, row.over, row.least, row.most, kind, units)
            if bound:
                unit = f" {model.unit(key)}".rstrip()
                raise EntryError(f"{row.title} must be {bound.replace('.', decimal_sign())}{unit}.")
            return value

        return read

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room that the table gives."""
        return QSize(20, 20)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Open a field, or a list where one of a few words is wanted."""
        key = KEYS[_model_of(index).keys[index.row()]]
        if key.kind != "choice":
            return super().createEditor(parent, option, index)
        box = QComboBox(parent)
        box.addItems(list(key.choices))
        name_list(box, key.title)
        box.activated.connect(lambda _row: self._close(box))
        return box

    def _close(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the value that is proposed now."""
        if isinstance(editor, QComboBox):
            editor.setCurrentText(str(index.data(Role.EditRole)))
        else:
            super().setEditorData(editor, index)

    def setModelData(self, editor: QWidget, model: Any, index: Index) -> None:
        """Propose what was chosen or typed."""
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentText(), Role.EditRole)
        else:
            super().setModelData(editor, model, index)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        model, box = _model_of(index), option.rect
        key, column = model.keys[index.row()], index.column()
        painter.save()
        painter.setClipRect(box)  # a word reaches over two cells; each paints its piece of it
        if column == NAME:
            self._paint_title(painter, box, model, key)
            if self.is_narrow and isinstance(model.proposed.get(key), str):
                column, box = PROPOSED, self.view.visualRect(index.sibling(index.row(), PROPOSED))
        if column != NAME:
            self._paint_value(painter, box.adjusted(2, 2, -6, -2), model, key, column)
        painter.restore()
        box = option.rect
        painter.setPen(QPen(self.inks.colour("grid_middle"), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        if self.view.hasFocus() and index == self.view.currentIndex():
            paint_ring(painter, box, self.inks)

    @property
    def is_narrow(self) -> bool:
        """Tell whether measured values stand under the proposed ones."""
        return self.view.isColumnHidden(MEASURED)

    def row_height(self, changed: bool) -> int:
        """Return the height of a row."""
        line = self.view.fontMetrics().height()
        return line + 7 + (line - 3 if changed and self.is_narrow else 0)

    def _paint_value(
        self, painter: QPainter, area: QRect, model: ValuesModel, key: str, column: int
    ) -> None:
        changed = model.is_changed(key)
        two = changed and self.is_narrow
        measured_value = model.session.setup.evidence.get(key)
        value = measured_value if column == MEASURED else model.proposed.get(key)
        if isinstance(value, str):
            area = area.adjusted(-self._beside_title(key), 0, 0, 0)
        painter.setFont(self.bold if changed and column == PROPOSED else self.plain)
        ink = "second" if column == MEASURED else "accent" if changed else "ink"
        painter.setPen(self.inks.colour(ink))
        side = Qt.AlignmentFlag.AlignTop if two else Qt.AlignmentFlag.AlignVCenter
        words = self._cut(painter, model.text(key, value), area)
        painter.drawText(area, int(Qt.AlignmentFlag.AlignRight | side), words)
        if two:
            painter.setFont(self.small)
            painter.setPen(self.inks.colour("second"))
            words = self._cut(painter, model.text(key, measured_value), area)
            under = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
            painter.drawText(area, int(under), words)

    def _beside_title(self, key: str) -> int:
        """Return the room that a word may take from the title beside it [px]."""
        if not self.is_narrow:
            return 0
        title = self.view.fontMetrics().horizontalAdvance(KEYS[key].title)
        return max(0, self.view.columnWidth(NAME) - title - 2 * EDGE)

    @staticmethod
    def _cut(painter: QPainter, words: str, area: QRect) -> str:
        return painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, area.width())

    def _paint_title(self, painter: QPainter, box: QRect, model: ValuesModel, key: str) -> None:
        area, unit = box.adjusted(EDGE, 0, -2, 0), model.unit(key)
        flags = int(Qt.AlignmentFlag.AlignVCenter)
        painter.setFont(self.plain)
        metrics = painter.fontMetrics()
        room = area.width() - (metrics.horizontalAdvance(unit) + 6 if unit else 0)
        title = metrics.elidedText(KEYS[key].title, Qt.TextElideMode.ElideRight, room)
        painter.setPen(self.inks.colour("ink"))
        painter.drawText(area, flags, title)
        painter.setPen(self.inks.colour("second"))
        painter.drawText(area.adjusted(metrics.horizontalAdvance(title) + 6, 0, 0, 0), flags, unit)


@fenced
class ValuesView(QTableView):
    """The values as a widget: mouse and keyboard."""

    def __init__(self, session: Session, values: ValuesModel | None = None) -> None:
        super().__init__()
        self.session = session
        self.values = values or ValuesModel(session)
        plain_view(self, "Spring and wheel")
        self.setModel(self.values)
        self.paper = ValuePaper(self, session)
        self.setItemDelegate(self.paper)
        self.setShowGrid(False)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        edits = QTableView.EditTrigger
        self.setEditTriggers(edits.DoubleClicked | edits.EditKeyPressed | edits.AnyKeyPressed)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 7)
        header = TableHead(self)
        self.setHorizontalHeader(header)
        header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        self.values.dataChanged.connect(self._fit)
        self.values.modelReset.connect(self._fit)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Give figures their room; in a narrow table the measured value stands underneath."""
        width = self.viewport().width()
        figure = max(min(max(FIGURE, (width - 190) // 2), 130), self._widest(words=False))
        words = max(figure, self._widest(words=True))
        roomy = width >= ROOMY and width - 2 * words >= TITLES
        figure = words if roomy else figure
        self.setColumnHidden(MEASURED, not roomy)
        for column in (MEASURED, PROPOSED):
            self.setColumnWidth(column, figure)
        for row, key in enumerate(self.values.keys):
            high = self.paper.row_height(self.values.is_changed(key))
            if self.rowHeight(row) != high:
                self.setRowHeight(row, high)

    def _widest(self, words: bool) -> int:
        """Return the room of the longest value that is a word, or of the longest figure [px]."""
        model, metrics = self.values, QFontMetrics(self.paper.bold)
        settings = (model.proposed, self.session.setup.evidence)
        texts = (
            model.text(key, values[key])
            for key in model.keys
            for values in settings
            if key in values and isinstance(values[key], str) == words
        )
        return max((metrics.horizontalAdvance(text) + 10 for text in texts), default=0)

    def full_height(self) -> int:
        """Return the height at which no row is out of view [px]."""
        return self.horizontalHeader().height() + self.verticalHeader().length() + 2

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer to keep the value as measured."""
        index = self.indexAt(event.pos())
        if index.isValid():
            self.menu(index).popup(self.viewport().mapToGlobal(QPoint(event.pos())))

    def menu(self, index: QModelIndex) -> QMenu:
        """Return the menu of a value."""
        from app.panels.lists.reading_dialog import can_be_corrected, correct
        from app.panels.proposing import keep_measured

        key, menu = self.values.keys[index.row()], QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        back = menu.addAction("Keep as measured", lambda: keep_measured(self.session, key))
        back.setEnabled(self.values.is_changed(key))
        again = menu.addAction("Correct the reading…", lambda: correct(self.session, key, self))
        again.setEnabled(can_be_corrected(self.session.history.value, key))
        return menu


def _model_of(index: Index) -> ValuesModel:
    model = index.model()
    assert isinstance(model, ValuesModel)
    return model

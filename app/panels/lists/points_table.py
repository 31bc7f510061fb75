"""The table of points: proposed coordinates, measured ones under what is moved, and locks."""

from __future__ import annotations

from typing import Any, Final, cast

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QStyleOptionViewItem, QTableView

from app.document.address import Point
from app.document.keys import ALL_KEYS, KEYS
from app.document.model import Setup, Vec
from app.document.moves import (
    REST,
    Moves,
    Values,
    add,
    kinds_fitted,
    known_points,
    point_in,
    subtract,
    total_moves,
)
from app.document.point_names import point_title
from app.document.units import exact_number, number_of, unit_of
from app.paint.palette import PALETTES
from app.panels.entry import COORDINATE_HINT, EntryDelegate, Read, coordinate_text, read_coordinate
from app.panels.figures import decimal_sign
from app.panels.widgets import EDGE, SMALL, paint_ring, text_font
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import AXES, Session
from app.words.moves import move_words
from app.words.point_parts import where_words
from app.words.readings import within_words

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

NAME, LOCK = 0, 4
POINTS: Final = tuple(key.name for key in ALL_KEYS if key.kind == "point")
AXIS_NAMES: Final = ("x", "y", "z")
AXIS_HEADS: Final = ("x ahead", "y left", "z up")
AXIS_WORDS: Final = (
    "forward of the front wheel centres",
    "to the left of the centreline",
    "above the ground",
)


def points_of(setup: Setup, end: str) -> tuple[str, ...]:
    """Return the keys of an end's points in the order of the list.

    Points of a suspension that the car has neither as found nor as built aren't among them.
    """
    known, kinds = known_points(setup), kinds_fitted(setup)
    keys = (key for key in POINTS if key in known and Point.at(key).end == end)
    return tuple(key for key in keys if KEYS[key].fits & kinds)


@fenced
class PointsModel(QAbstractTableModel):
    """The measured points that a setup gives, with their proposed places."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.keys: tuple[str, ...] = ()
        self.known: Values = {}
        self.axle = ""
        self.moves: Moves = {}
        self._follow()
        session.setup_changed.connect(self._follow)
        session.system_changed.connect(self._follow)
        session.units_changed.connect(self._all_changed)
        session.locks_changed.connect(self._all_changed)

    def measured(self, key: str) -> Vec:
        """Return where a point was measured, or where a change puts a new one."""
        return point_in(self.known, key)

    def move(self, key: str) -> Vec:
        """Return how far a point is moved."""
        return self.moves.get(key, REST)

    def proposed(self, key: str) -> Vec:
        """Return where a point is proposed to be."""
        return add(self.measured(key), self.move(key))

    def is_moved(self, row: int) -> bool:
        """Tell whether a row's point is moved."""
        return any(self.move(self.keys[row]))

    def title(self, row: int) -> str:
        """Return the name of a row's point."""
        return point_title(self.keys[row], self.session.setup.evidence)

    def number(self, value: float) -> str:
        """Return a coordinate as it is shown."""
        return number_of(value, "length", self.session.units, decimal=decimal_sign())

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of points."""
        return 0 if parent.isValid() else len(self.keys)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return name, three coordinates, lock."""
        return 0 if parent.isValid() else 5

    def headerData(self, section: int, way: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Return the columns' heads."""
        if way == Qt.Orientation.Vertical:
            return None
        if role in (Role.DisplayRole, Role.AccessibleTextRole):
            return ("point", *AXIS_HEADS, "" if role == Role.DisplayRole else "lock")[section]
        if role == Role.ToolTipRole and 0 < section < LOCK:
            unit = unit_of("length", self.session.units)
            return (
                f"{AXIS_NAMES[section - 1]} [{unit}], {AXIS_WORDS[section - 1]}.\n{COORDINATE_HINT}"
            )
        if role == Role.ToolTipRole and section == LOCK:
            return "A locked point or axis is not dragged, nudged or typed over."
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Make the coordinates that aren't locked editable."""
        flags = super().flags(index)
        if 0 < index.column() < LOCK and not self.is_locked(index):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def is_locked(self, index: Index) -> bool:
        """Tell whether a cell's axis is locked; for the last column, whether all are."""
        axes = self.session.locks.get(self.keys[index.row()], frozenset())
        return len(axes) == 3 if index.column() == LOCK else index.column() - 1 in axes

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return what a cell says."""
        key, column = self.keys[index.row()], index.column()
        if role in (Role.DisplayRole, Role.EditRole):
            return self._text(key, column, role)
        if role == Role.ToolTipRole:
            return tip(self._tip(index, key))
        if role == Role.AccessibleTextRole:
            return self._spoken(key, column)
        return None

    def _text(self, key: str, column: int, role: int) -> str:
        if column == NAME:
            return point_title(key, self.session.setup.evidence)
        if column == LOCK:
            axes = self.session.locks.get(key, frozenset())
            return "locked" if len(axes) == 3 else "partly locked" if axes else "free"
        value = self.proposed(key)[column - 1]
        if role == Role.DisplayRole:
            return self.number(value)
        units, decimal = self.session.units, decimal_sign()
        return coordinate_text(exact_number(value, "length", units, decimal=decimal))

    def _tip(self, index: Index, key: str) -> str:
        setup, column = self.session.setup, index.column()
        if column == NAME:
            words = [
                point_title(key, setup.evidence),
                where_words(key, setup.evidence),
                setup.point_notes.get(key, ""),
            ]
            words.append(within_words(setup, key, self.session.units, decimal_sign()))
            if any(self.move(key)):
                units, right = self.session.units, Point.at(key).is_right
                words.append(move_words(self.move(key), units, right=right))
            return "\n".join(filter(None, words))
        if column == LOCK:
            return "Click: lock or free the point. Right-click on a coordinate: one axis."
        origin = "Measured" if key in setup.evidence else "New with a change, at"
        read = setup.readings.get(key, setup.evidence.get(key))
        if read != setup.evidence.get(key):
            as_read = self.number(cast(Vec, read)[column - 1])
            origin = f"Read {as_read}; as the tapes agree best"
        locked = "Locked. Right-click to free it." if self.is_locked(index) else COORDINATE_HINT
        return f"{origin} {self.number(self.measured(key)[column - 1])}. {locked}"

    def _spoken(self, key: str, column: int) -> str:
        title = point_title(key, self.session.setup.evidence)
        if not 0 < column < LOCK:
            return f"{title} {self._text(key, column, Role.DisplayRole) if column else ''}".strip()
        axis, unit = AXIS_NAMES[column - 1], unit_of("length", self.session.units)
        number = f"{self.number(self.proposed(key)[column - 1])} {unit}"
        if not self.move(key)[column - 1]:
            return f"{title}, {axis} {number}"
        before = self.number(self.measured(key)[column - 1])
        return f"{title}, {axis} proposed {number}, measured {before}"

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Move a point so that one coordinate is `value` [mm]."""
        from app.gestures.move_points import together  # a start has no time for it
        from app.panels.proposing import move_by, move_to

        key, axis = self.keys[index.row()], index.column() - 1
        place = list(self.proposed(key))
        place[axis] = float(value)
        there = place[0], place[1], place[2]
        if len(together(self.session, key)) > 1:
            move_by(self.session, key, subtract(there, self.proposed(key)))
        else:
            move_to(self.session, key, there)
        return True

    def _follow(self) -> None:
        setup, axle = self.session.setup, self.session.system.key
        moves = total_moves(setup)
        self.known, self.axle = known_points(setup), axle
        keys = points_of(setup, axle)
        if keys != self.keys:
            self.beginResetModel()
            self.keys, self.moves = keys, moves
            self.endResetModel()
            return
        before, self.moves = self.moves, moves
        for row, key in enumerate(keys):
            self._tell(row, before.get(key, REST), moves.get(key, REST))

    def _tell(self, row: int, before: Vec, now: Vec) -> None:
        """Report which cells of a row changed: all of them where a move begins or ends."""
        if any(before) != any(now):
            self.dataChanged.emit(self.index(row, NAME), self.index(row, LOCK))
            return
        for axis, (old, new) in enumerate(zip(before, now, strict=True)):
            if old != new:
                self.dataChanged.emit(self.index(row, axis + 1), self.index(row, axis + 1))

    def _all_changed(self) -> None:
        if self.keys:
            last = self.index(len(self.keys) - 1, LOCK)
            self.dataChanged.emit(self.index(0, 0), last)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, LOCK)


@fenced
class PointPaper(EntryDelegate):
    """Paints a cell: the proposed figure, the measured one under it where the point is moved."""

    def __init__(self, view: QTableView, session: Session) -> None:
        super().__init__(view, session.said.emit)
        self.view, self.session = view, session
        self.inks = PALETTES["light"]
        self.plain, self.bold = text_font(), text_font(bold=True)
        self.small = text_font(SMALL)

    def reader(self, index: Index) -> Read:
        """Read a coordinate or a move from where the point is."""
        model = _model_of(index)
        now = model.proposed(model.keys[index.row()])[index.column() - 1]
        units = self.session.units  # those in which the field was opened
        return lambda text: read_coordinate(text, now, units)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room that the table gives."""
        return QSize(20, 20)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        model, box = _model_of(index), QRect(option.rect)
        row, column = index.row(), index.column()
        key = model.keys[row]
        painter.save()
        painter.setClipRect(box)
        if key in self.session.selection:
            painter.fillRect(box, self.inks.colour("wash"))
            if box.x() <= 0:
                painter.fillRect(0, box.y(), 3, box.height(), self.inks.colour("accent"))
        below = self._paint_name(painter, box, model, row)
        if column == LOCK:
            self._paint_lock(painter, box, self.session.locks.get(key, frozenset()))
        elif column > NAME:
            self._paint_figure(painter, below, model, index)
        painter.setPen(QPen(self.inks.colour("grid_middle"), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        if self.view.hasFocus() and index == self.view.currentIndex():
            paint_ring(painter, box, self.inks)
        painter.restore()

    @property
    def is_narrow(self) -> bool:
        """Tell whether names stand above their figures, for want of room beside them."""
        return self.view.isColumnHidden(NAME)

    def row_height(self, moved: bool) -> int:
        """Return the height of a row."""
        line, small = self.view.fontMetrics().height(), self.view.fontMetrics().height() - 1
        high = line + 7 + (small - 2 if moved else 0)
        return high + (line - 2 if self.is_narrow else 0)

    def _paint_name(self, painter: QPainter, box: QRect, model: PointsModel, row: int) -> QRect:
        """Paint the name, or this cell's share of it; return what is left for a figure."""
        words = QRect(EDGE, box.y() + 3, self.view.viewport().width(), box.height() - 4)
        narrow = self.is_narrow
        if narrow or box.x() <= 0:
            painter.setFont(self.bold if model.is_moved(row) else self.plain)
            painter.setPen(self.inks.colour("ink"))
            side = Qt.AlignmentFlag.AlignTop if narrow else Qt.AlignmentFlag.AlignVCenter
            if not narrow:
                words = box.adjusted(EDGE, 0, -2, 0)
            title = painter.fontMetrics().elidedText(
                model.title(row), Qt.TextElideMode.ElideMiddle, words.width()
            )
            painter.drawText(words, int(Qt.AlignmentFlag.AlignLeft | side), title)
        return box.adjusted(0, self.view.fontMetrics().height(), 0, 0) if narrow else box

    def _paint_figure(
        self, painter: QPainter, box: QRect, model: PointsModel, index: Index
    ) -> None:
        key, axis = model.keys[index.row()], index.column() - 1
        moved, locked = model.move(key)[axis] != 0.0, model.is_locked(index)
        area = box.adjusted(0, 3, -5, -3)
        right = Qt.AlignmentFlag.AlignRight
        two = model.is_moved(index.row())
        side = Qt.AlignmentFlag.AlignTop if two else Qt.AlignmentFlag.AlignVCenter
        painter.setFont(self.bold if moved else self.plain)
        painter.setPen(self.inks.colour("second" if locked else "accent" if moved else "ink"))
        painter.drawText(area, int(right | side), model.number(model.proposed(key)[axis]))
        if moved:
            painter.setFont(self.small)
            painter.setPen(self.inks.colour("second"))
            under = int(right | Qt.AlignmentFlag.AlignBottom)
            painter.drawText(area, under, model.number(model.measured(key)[axis]))
        if locked:
            small = QRect(box.x() + 2, box.y(), 9, box.height())
            self._paint_lock(painter, small, frozenset(AXES), 0.7)

    def _paint_lock(
        self, painter: QPainter, box: QRect, axes: frozenset[int], size: float = 1.0
    ) -> None:
        """Paint a padlock: shut, ajar where only some axes are locked, a faint open one."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(QRectF(box).center())
        painter.scale(size, size)
        ink = self.inks.colour("ink" if axes else "soft")
        painter.setPen(QPen(ink, 1.4))
        body, turn = QRectF(-4.5, -1, 9, 7), QRectF(-3, -6, 6, 8)
        bow = QPainterPath()
        bow.arcMoveTo(turn, 0 if axes else 40)
        bow.arcTo(turn, 0 if axes else 40, 180 if axes else 140)
        painter.drawPath(bow)
        painter.setBrush(ink if len(axes) == 3 else Qt.BrushStyle.NoBrush)
        painter.drawRect(body)
        if axes and len(axes) < 3:
            painter.fillRect(QRectF(-4.5, 2.5, 9, 3.5), ink)
        painter.restore()


def _model_of(index: Index) -> PointsModel:
    model = index.model()
    assert isinstance(model, PointsModel)
    return model

"""The leaves of a pack as a table: typed in place, with each leaf's stress beside its limit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.document.bounds import leaf_bound_words
from app.document.entries import EntryError, parse_value
from app.document.leaf_pairs import pieces_kept
from app.document.leaf_parts import MEASURED, LeafPart, measured_number
from app.document.model import Leaf
from app.document.schema import LEAF_KINDS
from app.document.units import exact_number, number_of, unit_of
from app.panels.figures import NOTHING, decimal_sign
from app.panels.proposing import give_value
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import Session
from app.systems.rear.leaf import fitted_leaf
from app.systems.rear.pack_edits import (
    KEY,
    Leaves,
    PackEdit,
    fields_changed,
    given,
    pack_of,
    refusal,
)
from app.systems.rear.pack_whatif import PackState, measured_pack, pack_state
from app.words.readings import within_words
from geometry.dataclass import dataclass

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

CLOSE: Final = 0.10  # of the limit left: a spring maker would ask (common practice, no source)


@dataclass(frozen=True, slots=True)
class Column:
    """A column: a field of a leaf, or a figure of the study where `field` is empty."""

    name: str
    head: str
    field: str = ""
    tip: str = ""


COLUMNS: Final = (
    Column("leaf", "leaf"),
    Column("thickness", "thick", "thickness", "Thickness at the clamp"),
    Column(
        "front", "front", "front", "From the centre bolt to the front tip; main leaf: to its eye"
    ),
    Column("rear", "rear", "rear", "From the centre bolt to the rear tip; main leaf: to its eye"),
    Column("ride", "stress\nat ride", "", "Bending stress at ride, the worse of both models"),
    Column("bump", "at full\nbump", "", "Bending stress at full bump, the worse of both models"),
    Column("left", "left of\nlimit", "", "What is left of the stress limit at full bump"),
    Column("clipped", "clip", "clipped", "Clipped to the main leaf: carries when a load reverses"),
    Column("contact", "helper\nfrom", "contact", "Bump from ride height at which a helper touches"),
    Column("taper", "taper", "taper", "Uniform thickness, or parabolic towards the tips"),
    Column("modulus", "own\nmodulus", "modulus", "Where it isn't the pack's"),
    Column("limit_stress", "own\nlimit", "limit_stress", "Stress limit where it isn't the pack's"),
)
NAMES: Final = tuple(column.name for column in COLUMNS)
SPOKEN: Final = {"": "none", "·": "none", "✓ clip": "clipped"}  # signs as they are read out
_OF_THE_PACK: Final = ("modulus", "limit_stress")  # where a leaf has none of its own
_OPTIONAL: Final = ("contact", *_OF_THE_PACK)


@fenced
class PackModel(QAbstractTableModel):
    """The proposed leaves with their stresses; what is typed goes into the active change."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.leaves: Leaves = ()
        self.measured: Leaves = ()
        self.state: PackState | None = None
        self._studied: object = None
        self.is_studied = False  # whether the stresses are those of these leaves
        self.follow()

    def follow(self) -> None:
        """Take the leaves and their stresses as they are now."""
        setup, study = self.session.setup, self.session.study
        leaves, self.measured = pack_of(setup), measured_pack(setup)
        self._take_state()
        sound = self.session.problem is None and fitted_leaf(study) is not None
        self.is_studied = sound and study is not None and pack_of(study.setup) == leaves
        same_count = len(leaves) == len(self.leaves)
        if not same_count:
            self.beginResetModel()
        self.leaves = leaves
        if not same_count:
            self.endResetModel()
        else:
            self.all_changed()

    def _take_state(self) -> None:
        study = self.session.study
        if study is self._studied:
            return
        self._studied = study
        fitted = fitted_leaf(study)
        self.state = None if fitted is None else pack_state(fitted)

    def all_changed(self) -> None:
        """Report that every cell may have changed."""
        if self.leaves:
            last = self.index(len(self.leaves) - 1, len(COLUMNS) - 1)
            self.dataChanged.emit(self.index(0, 0), last)

    # What the view asks

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of leaves."""
        return 0 if parent.isValid() else len(self.leaves)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, way: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Return a column's head."""
        if way == Qt.Orientation.Horizontal and role == Role.DisplayRole:
            return COLUMNS[section].head
        if way == Qt.Orientation.Horizontal and role == Role.ToolTipRole:
            return COLUMNS[section].tip
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Make numbers editable; clips and taper are toggled instead."""
        flags = super().flags(index)
        field = COLUMNS[index.column()].field
        typed = field not in ("", "clipped", "taper") and not self.is_void(index)
        return flags | Qt.ItemFlag.ItemIsEditable if typed else flags

    def is_void(self, index: Index) -> bool:
        """Tell whether a cell doesn't apply: the main leaf is no helper and needs no clip."""
        return index.row() == 0 and COLUMNS[index.column()].field in ("clipped", "contact")

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return what a cell says."""
        if role == Role.DisplayRole:
            return self.text(index.row(), index.column())
        if role == Role.EditRole:
            return self._whole(index)
        if role == Role.ToolTipRole:
            return tip(self._tip(index))
        if role == Role.AccessibleTextRole:
            head = COLUMNS[index.column()].head.replace("\n", " ")
            text = self.text(index.row(), index.column())
            return f"leaf {index.row() + 1}, {head} {SPOKEN.get(text, text)}"
        return None

    def text(self, row: int, column: int) -> str:
        """Return a cell's words."""
        leaf, name = self.leaves[row], COLUMNS[column].name
        if name == "leaf":
            return "main" if row == 0 else str(row + 1)
        if name in ("ride", "bump", "left"):
            return self._stress(row, name)
        if row == 0 and name in ("clipped", "contact"):
            return ""
        return self.field_text(leaf, name)

    def field_text(self, leaf: Leaf, name: str) -> str:
        """Return a leaf's field as it is shown."""
        value = getattr(leaf, name)
        if name == "clipped":
            return "✓ clip" if value else "·"
        if name == "taper":
            return "parabolic" if value == "parabolic" else "·"
        if value is None:
            return "·"
        return number_of(value, LEAF_KINDS[name], self.session.units, decimal=decimal_sign())

    def left(self, row: int) -> float | None:
        """Return the share of a leaf's limit left at full bump, None where it isn't known."""
        state = self.state
        if state is None or state.bump is None or not self.is_studied:
            return None
        share = float(state.bump.margin[row])
        return share if share < 1.0 else None  # whole where no limit is stated

    def _stress(self, row: int, name: str) -> str:
        state = self.state
        if state is None or not self.is_studied:
            return NOTHING
        if name == "left":
            share = self.left(row)
            if share is None:
                return NOTHING
            sign = "■ " if share < 0 else "▲ " if share < CLOSE else ""
            return f"{sign}{number_of(100.0 * share, 'percent', 'mm', places=0)} %"
        stress = state.ride if name == "ride" else state.bump
        if stress is None:
            return NOTHING
        return number_of(float(stress.worst[row]), "stress", self.session.units)

    def _whole(self, index: Index) -> str:
        name = COLUMNS[index.column()].field
        value = getattr(self.leaves[index.row()], name)
        if value is None:
            return ""
        return exact_number(value, LEAF_KINDS[name], self.session.units, decimal=decimal_sign())

    def is_changed(self, row: int, name: str) -> bool:
        """Tell whether a leaf's field isn't as measured."""
        changed = fields_changed(self.measured, self.leaves, row)
        return name in changed or (name == "leaf" and len(changed) == len(LEAF_KINDS))

    def _tip(self, index: Index) -> str:
        column, row = COLUMNS[index.column()], index.row()
        words = [column.tip]
        if column.field and self.is_changed(row, column.field):
            same = len(self.measured) == len(self.leaves)
            was = self.field_text(self.measured[row], column.field) if same else ""
            words.append(f"measured: {was}" if same else "not in the measured pack")
        if key := self.reading_of(index):
            words.append(within_words(self.session.setup, key, self.session.units, decimal_sign()))
        if column.name == "left":
            words.append("▲ little left, ■ past the limit")
        if column.field in LEAF_KINDS and LEAF_KINDS[column.field] in ("length", "stress"):
            words.append(f"in {unit_of(LEAF_KINDS[column.field], self.session.units)}")
        if column.field in _OPTIONAL:
            words.append("Leave it empty for none")
        return "\n".join(filter(None, words))

    def reading_of(self, index: Index) -> str:
        """Return the key of the reading that a cell goes back to; empty of what is none."""
        name = COLUMNS[index.column()].field
        was = pieces_kept(self.measured, self.leaves).get(index.row())
        key = "" if was is None or name not in MEASURED else LeafPart(was, name).key
        return key if key and measured_number(self.session.setup, key) is not None else ""

    # Editing

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Propose a leaf's field."""
        name = COLUMNS[index.column()].field
        if value != getattr(self.leaves[index.row()], name):
            self.give(index.row(), name, value)
        return True

    def turn(self, index: Index) -> bool:
        """Toggle a clip or a taper; tell whether the cell is one."""
        name = COLUMNS[index.column()].field
        if name not in ("clipped", "taper") or self.is_void(index):
            return False
        leaf = self.leaves[index.row()]
        taper = "none" if leaf.taper == "parabolic" else "parabolic"
        self.give(index.row(), name, not leaf.clipped if name == "clipped" else taper)
        return True

    def give(self, row: int, name: str, value: Any) -> None:
        """Give a leaf another field."""
        self.propose(given(self.leaves, row, name, value, self.session.units, decimal_sign()))

    def propose(self, edit: PackEdit) -> None:
        """Propose another pack in the active change, unless it can't be built."""
        words = refusal(self.session.setup, edit.leaves, self.session.units, decimal_sign())
        if words:
            self.session.said.emit(words)
        else:
            give_value(self.session, KEY, edit.leaves, edit.words)

    def reader(self, index: Index) -> Callable[[str], Any]:
        """Read a typed field; refuse in words what can't be part of a pack."""
        name, row = COLUMNS[index.column()].field, index.row()

        def read(text: str) -> Any:
            if not text.strip() and name in _OPTIONAL:
                return None
            units, decimal = self.session.units, decimal_sign()
            value = parse_value(text, LEAF_KINDS[name], units, decimal=decimal)
            bound = leaf_bound_words(name, value, units)
            if bound:
                hint = "; leave it empty for the pack's own" if name in _OF_THE_PACK else ""
                raise EntryError(f"It must be {bound.replace('.', decimal)}{hint}.")
            edit = given(self.leaves, row, name, value, units, decimal)
            words = refusal(self.session.setup, edit.leaves, units, decimal)
            if words:
                raise EntryError(words)
            return value

        return read

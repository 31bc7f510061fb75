"""What an alignment comes to, to be read: what to do in order, what is then read, what one does."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.document.address import SIDES
from app.document.model import Units
from app.judge.alignment import Alignment
from app.paint.palette import PALETTES
from app.panels.text_table import Cell, TextRows, TextTable
from app.panels.widgets import head_label, small_label
from app.panels.writing import Ink
from app.shop.alignment import (
    GAUGE_AGAIN,
    STANDING,
    AlignmentRows,
    ReadRow,
    WorkCell,
    WorkRow,
    alignment_rows,
)

_WORK: Final = "What to do, in this order"
_READS: Final = "What the wheels then read"
_EFFECTS: Final = "One of these does so much, in degrees"
_HOW: Final = "On both wheels alike; toe before the tie rods are set."
_HEADS: Final = ("read", "then", "remains")
UNMET: Final = "!"


class AlignAnswer(QWidget):
    """The answer, or words in its place."""

    def __init__(self) -> None:
        super().__init__()
        self.says = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.says.setWordWrap(True)
        self.met = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.met.setWordWrap(True)
        self.met.setStyleSheet("font-weight: bold")
        self.work, self.reads, self.effects = map(TextTable, (_WORK, _READS, _EFFECTS))
        self.notes, self.cautions = small_label(), small_label("\n".join((*STANDING, GAUGE_AGAIN)))
        self.parts = [
            head_label(_WORK),
            self.work,
            self.notes,
            head_label(_READS),
            self.reads,
            self.met,
            head_label(_EFFECTS),
            small_label(_HOW),
            self.effects,
            head_label("Before a bolt is undone"),
            self.cautions,
        ]
        rows = QVBoxLayout(self)
        rows.setContentsMargins(14, 8, 12, 8)
        rows.setSpacing(6)
        for widget in (self.says, *self.parts):
            rows.addWidget(widget)
        rows.addStretch(1)
        self.say("")

    def set_palette_name(self, name: str) -> None:
        """Take the inks of a paper."""
        for table in (self.work, self.reads, self.effects):
            table.take_inks(PALETTES[name])

    def say(self, words: str, keeps: bool = False) -> None:
        """Show words alone, or above the answer that is shown."""
        self.says.setText(words)
        self.says.setVisible(bool(words))
        for part in self.parts if not keeps else ():
            part.hide()

    def show_alignment(self, alignment: Alignment, units: Units, decimal: str) -> None:
        """Show an alignment."""
        rows = alignment_rows(alignment, units, decimal)
        for part in self.parts:
            part.show()
        self.says.hide()
        heads = ("", f"left, {rows.unit}", f"right, {rows.unit}")
        self.work.show_rows(TextRows(heads, tuple(map(_work_row, rows.work))))
        self.reads.show_rows(
            TextRows(
                ("", "target", "±", *(f"{s}\n{h}" for s in SIDES for h in _HEADS)),
                tuple(map(_read_row, rows.reads)),
            )
        )
        self.effects.show_rows(
            TextRows(
                ("", "camber", "caster", "toe-in"),
                tuple((Cell(each.what), *map(Cell, each.angles)) for each in rows.effects),
            )
        )
        self.notes.setText("\n".join(rows.notes))
        self.notes.setVisible(bool(rows.notes))
        self.met.setText(met_words(rows))


def _work_row(row: WorkRow) -> tuple[Cell, ...]:
    name = f"{row.number}  {row.what}"
    return Cell(name, tip=f"for {row.purpose}"), _work_cell(row.left), _work_cell(row.right)


def _work_cell(cell: WorkCell) -> Cell:
    if not cell.is_done:
        words = f"{cell.before} stays" if cell.before else cell.step
        return Cell(words, ink="second")
    if cell.before:
        pieces = f" = {cell.made_of}" if cell.made_of not in ("", cell.after) else ""
        return Cell(f"{cell.before} → {cell.after}{pieces}", "bold", tip=cell.step)
    return Cell(cell.step, "bold")


def _read_row(row: ReadRow) -> tuple[Cell, ...]:
    cells = [Cell(row.title), Cell(row.target), Cell(row.within, ink="second")]
    for (read, then, left), sign, is_met in zip(
        (row.left, row.right), row.signs, row.is_met, strict=True
    ):
        mark = "" if is_met or not then else f" {UNMET}"
        ink: Ink = "ink" if is_met else "accent"
        cells += [Cell(read, ink="second"), Cell(f"{then}{mark}", "bold", ink, sign)]
        cells.append(Cell(left, ink="second" if is_met else "accent"))
    return tuple(cells)


def met_words(rows: AlignmentRows) -> str:
    """Return whether the targets are met, and on which wheel they aren't."""
    if not rows.unmet:
        return "Both wheels meet their targets."
    whose = "Neither wheel" if len(rows.unmet) == 2 else f"The {rows.unmet[0]} wheel doesn't"
    verb = "meets" if len(rows.unmet) == 2 else "meet"
    return (
        f"{whose} {verb} all targets with what can be adjusted: this is the nearest. {UNMET} marks "
        "what isn't met."
    )

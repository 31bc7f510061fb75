"""The alignment as a page: packs before and after, turns, readings, boxes for as left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from app.document.model import Setup
from app.judge.known_alignment import known_alignment
from app.paper.faces import FINE, SMALL, SMALL_STRONG, STRONG, TEXT, Face, wrapped
from app.paper.flow import Block, kept
from app.paper.ink import GREY, MIDDLE, THIN, Ink
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.sheet.work_order import framed
from app.shop.alignment import (
    GAUGE_AGAIN,
    STANDING,
    STAYS,
    AlignmentRows,
    ReadRow,
    WorkCell,
    WorkRow,
    alignment_rows,
    as_change_words,
)
from geometry.errors import GeometryError

Section = tuple[str, list[Block]]

TITLE: Final = "Alignment"
WORK: Final = "Work in this order"
READS: Final = "Readings"
READ_NOTE: Final = "as left: on its wheels, after rolling it"
EFFECTS: Final = "One of these does so much"
BEFORE: Final = "Before a bolt is undone"
HOW: Final = (
    "After the jobs of the work order. An arrow is the way that the pivot goes, seen from the seat."
)
UNMET: Final = (
    "What is marked ! isn't met with what can be adjusted: this is the nearest. Ask before work "
    "starts."
)
ROW: Final = 7.0
GUTTER: Final = 6.0  # between two columns [mm]
TALL: Final = 10.6  # of a row with what a pack is made of
LINE: Final = 4.5  # more for each further line
BOX: Final = (17.0, 5.6)  # for a reading [mm]
ARROW: Final = 7.0
FITTED: Final = 14.0  # right edge of the packs as fitted, from the wheel's own left [mm]
NEW: Final = 31.0  # and of those to fit
TICK: Final = 3.4


def alignment_sections(setup: Setup, paper: Paper, decimal: str) -> Iterator[Section]:
    """Yield the page; none without adjusters, without targets, or of a car that can't be built."""
    try:
        alignment = known_alignment(setup)
    except GeometryError:
        return
    if alignment is not None:
        rows = alignment_rows(alignment, setup.units, decimal)
        yield TITLE, _blocks(rows, as_change_words(alignment, setup), paper)


def _blocks(rows: AlignmentRows, as_change: str, paper: Paper) -> list[Block]:
    left, inner = paper.margin, paper.inner
    unmet = paragraph(UNMET, left, inner, SMALL_STRONG, 1.0) if rows.unmet else []
    notes = [block for text in rows.notes for block in paragraph(text, left, inner, SMALL, 0.8)]
    again = paragraph(GAUGE_AGAIN, left, inner, SMALL, 0.8)
    blocks = [
        framed(BEFORE, STANDING, SMALL, paper),
        *_work(rows, paper),
        *(paragraph(as_change, left, inner, SMALL_STRONG, 0.8) if as_change else ()),
        *notes,
        *_reads(rows, paper),
        *unmet,
        *again,
        *_effects(rows, paper),
    ]
    return [*blocks[:-1], replace(blocks[-1], keeps=True), _names(paper)]  # names don't stand alone


# The work


def _work(rows: AlignmentRows, paper: Paper) -> list[Block]:
    columns = _sides(paper)
    note = f"{rows.unit} · whole packs"
    heads = ["", *("fitted", "to fit", "") * 2]
    tops = row(_halves(paper), [("left wheel", SMALL_STRONG), ("right wheel", SMALL_STRONG)], 4.6)
    head = row(columns, [(words, FINE) for words in heads], 4.4)
    body = [_work_row(each, paper) for each in rows.work]
    how = paragraph(HOW, paper.margin, paper.inner, SMALL)
    title = heading(WORK, paper.margin, note, paper.right)
    return kept([title, *how, tops, head, *body])


def _halves(paper: Paper) -> list[Column]:
    wide = _half(paper)
    return [
        Column(paper.right - 2 * wide + 2.0, wide - 4.0, "left"),
        Column(paper.right - wide + 2.0, wide - 4.0, "left"),
    ]


def _half(paper: Paper) -> float:
    """Return the width of what one wheel has in the table of work [mm]."""
    return 0.5 * (paper.inner - 62.0)


def _sides(paper: Paper) -> list[Column]:
    """Return columns of the work: name, and fitted, to fit and the arrow of each wheel."""
    wide = _half(paper)
    columns = [Column(paper.margin, 60.0, "left")]
    for start in (paper.right - 2 * wide + 2.0, paper.right - wide + 2.0):
        columns += [
            Column(start + FITTED, FITTED),
            Column(start + NEW, NEW - FITTED - 1.0),
            Column(start + NEW + 2.0, wide - NEW - 6.0, "left"),
        ]
    return columns


def _work_row(line: WorkRow, paper: Paper) -> Block:
    columns, wide = _sides(paper), _half(paper)
    name, starts = columns[0], [paper.right - 2 * wide + 2.0, paper.right - wide + 2.0]
    cells = [(cell, _lines(line, cell, wide - 4.0)) for cell in (line.left, line.right)]
    height = TALL + LINE * max(
        0, max(len(lines) for _, lines in cells) - (1 if line.is_pack else 2)
    )

    def paint(ink: Ink, top: float) -> None:
        first, second = top + 4.4, top + 8.9
        ink.box(name.x, first - TICK + 0.2, TICK, TICK, MIDDLE)
        ink.write(name.x + 5.4, first, f"{line.number} {line.what}", STRONG, width=54.0)
        ink.write(name.x + 5.4, second, f"for {line.purpose}", SMALL, width=54.0)
        for start, (cell, lines), side in zip(starts, cells, (1, -1), strict=True):
            if line.is_pack:
                _paint_pack(ink, cell, start, wide - 4.0, first, side)
            face = SMALL if line.is_pack else STRONG if cell.is_done else TEXT
            for index, words in enumerate(lines):
                base = (second if line.is_pack else first) + index * LINE
                ink.write(start, base, words, face, width=wide - 4.0)
        ink.rule((name.x, top + height), (paper.right, top + height), THIN, GREY)

    return Block(height, paint)


def _lines(line: WorkRow, cell: WorkCell, width: float) -> list[str]:
    """Return what stands under a pack, or what is turned, line by line."""
    if not line.is_pack:
        return wrapped(cell.step, STRONG, width)
    return (
        wrapped(f"{cell.step}: {cell.made_of or 'no shim'}", SMALL, width) if cell.is_done else []
    )


def _paint_pack(
    ink: Ink, cell: WorkCell, start: float, width: float, first: float, side: int
) -> None:
    """Write a pack before and after, and the way that its pivot goes.

    `side` is +1 where inboard is to the right, as on the left wheel seen from the seat.
    """
    ink.write(start + FITTED, first, cell.before, TEXT, "right", FITTED)
    if not cell.is_done:
        ink.write(start + NEW, first, STAYS, TEXT, "right", NEW - FITTED - 1.0)
        return
    ink.write(start + NEW, first, cell.after, STRONG, "right", NEW - FITTED - 1.0)
    _arrow(ink, start + NEW + 2.5, first - 1.2, side * cell.inwards)
    at, way = NEW + 4.0 + ARROW, "inboard" if cell.inwards > 0 else "outboard"
    ink.write(start + at, first, way, FINE, width=width - at)


def _arrow(ink: Ink, x: float, y: float, way: int) -> None:
    """Draw an arrow to the right, or with -1 to the left."""
    tail, tip = (x, x + ARROW) if way > 0 else (x + ARROW, x)
    ink.rule((tail, y), (tip, y), MIDDLE)
    for across in (-1.2, 1.2):
        ink.rule((tip - way * 2.4, y + across), (tip, y), MIDDLE)


# The readings


def _reads(rows: AlignmentRows, paper: Paper) -> list[Block]:
    columns = _read_columns(paper)
    names = ("", "target", "within", *("as found", "worked out", "as left") * 2)
    sides = ("left wheel", "right wheel")
    over = [Column(columns[place].x - columns[place].width, 40.0, "left") for place in (3, 6)]
    tops = row(over, [(words, SMALL_STRONG) for words in sides], 4.6, rule=False)
    head = row(columns, [(name, FINE) for name in names], 4.4)
    body = [_read_row(each, columns) for each in rows.reads]
    return kept([heading(READS, paper.margin, READ_NOTE, paper.right), tops, head, *body])


def _read_columns(paper: Paper) -> list[Column]:
    columns = [Column(paper.margin, 46.0, "left")]
    wide = BOX[0] + 35.0
    start = paper.right - 2 * wide
    columns += [Column(start - 14.0, 14.0), Column(start - 1.0, 12.0)]
    for left in (start, start + wide):
        columns += [
            Column(left + 15.0, 14.0),
            Column(left + 33.0, 17.0),
            Column(left + wide, BOX[0]),
        ]
    return columns


def _read_row(line: ReadRow, columns: Sequence[Column]) -> Block:
    def paint(ink: Ink, top: float) -> None:
        base = top + 0.5 * (ROW + TEXT.rise)
        _write(ink, columns[0], base, line.title, TEXT)
        _write(ink, columns[1], base, line.target, STRONG)
        _write(ink, columns[2], base, f"± {line.within}" if line.within else "", SMALL)
        sides = ((line.left, line.is_met[0]), (line.right, line.is_met[1]))
        for place, ((read, then, _), is_met) in enumerate(sides):
            found, worked, left = columns[3 + 3 * place : 6 + 3 * place]
            if line.is_total and place:
                continue
            _write(ink, found, base, read, TEXT)
            _write(ink, worked, base, then if is_met or not then else f"! {then}", TEXT)
            ink.box(left.x - BOX[0], top + 0.5 * (ROW - BOX[1]), *BOX, MIDDLE)
        ink.rule((columns[0].x, top + ROW), (columns[-1].x, top + ROW), THIN, GREY)

    return Block(ROW, paint)


def _write(ink: Ink, column: Column, base: float, words: str, face: Face) -> None:
    ink.write(column.x, base, words, face, column.align, column.width)


# What one does, and names


def _effects(rows: AlignmentRows, paper: Paper) -> list[Block]:
    """Return the rows in two columns, down the first one first: a bolt has one for each shim."""
    wide = 0.5 * (paper.inner - GUTTER)
    starts = (paper.margin, paper.right - wide)
    columns = [column for start in starts for column in _effect_columns(start, wide)]
    heads: list[Cell] = [(name, FINE) for name in ("", "camber", "caster", "toe-in")]
    cells = [_effect_cells(each.what, each.angles) for each in rows.effects]
    high = (len(cells) + 1) // 2
    empty: list[Cell] = [("", SMALL)] * len(heads)
    pairs = zip(cells[:high], [*cells[high:], empty][:high], strict=True)
    body = [row(columns, [*left, *right], 4.6) for left, right in pairs]
    note = "degrees · toe before the tie rods are set"
    head = row(columns, [*heads, *heads], 4.4)
    return kept([heading(EFFECTS, paper.margin, note, paper.right), head, *body])


def _effect_columns(start: float, wide: float) -> list[Column]:
    figures = [Column(start + wide - step, 11.0) for step in (22.0, 11.0, 0.0)]
    return [Column(start, wide - 33.0, "left"), *figures]


def _effect_cells(what: str, angles: Sequence[str]) -> list[Cell]:
    return [(what, SMALL), *((angle, SMALL) for angle in angles)]


def _names(paper: Paper) -> Block:
    """Return room for what was fitted otherwise, and for who set and who checked."""
    names = ("aligned by, date", "bolts and lock nuts checked by, date")

    def paint(ink: Ink, top: float) -> None:
        words = "Fitted otherwise:"
        ink.write(paper.margin, top + 4.0, words, SMALL)
        ink.rule((paper.margin + 30.0, top + 4.6), (paper.right, top + 4.6), THIN)
        width = 0.5 * paper.inner - 4.0
        for start, name in zip((paper.margin, paper.right - width), names, strict=True):
            ink.rule((start, top + 13.5), (start + width, top + 13.5), THIN)
            ink.write(start, top + 16.8, name, FINE)

    return Block(17.2, paint, gap=2.0, sinks=True)

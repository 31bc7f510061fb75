"""Blocks that several pages are made of: headings, paragraphs, rules, tables' cells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from app.paper.faces import HEADING, SMALL, Face, wrapped
from app.paper.flow import Block
from app.paper.ink import GREY, THICK, THIN, Align, Ink
from geometry.dataclass import dataclass


def heading(words: str, x: float, note: str = "", right: float = 0.0, gap: float = 3.2) -> Block:
    """Return a heading that stays with what follows; a note stands at the right margin."""

    def paint(ink: Ink, top: float) -> None:
        ink.write(x, top + 4.7, words, HEADING)
        if note:
            ink.write(right, top + 4.7, note, SMALL, "right")

    return Block(7.0, paint, gap, keeps=True)


def banner(words: str, x: float, right: float) -> Block:
    """Return the title of a section that goes on below another one, under a thick rule."""

    def paint(ink: Ink, top: float) -> None:
        ink.rule((x, top + 0.8), (right, top + 0.8), THICK)
        ink.write(x, top + 6.6, words, HEADING)

    return Block(8.6, paint, gap=4.0, keeps=True)


def paragraph(
    text: str, x: float, width: float, face: Face, gap: float = 0.0, bullet: str = ""
) -> list[Block]:
    """Return text as a block a line; where a page ends in it, two lines stay on either side."""
    hang = 0.0 if not bullet else 4.0
    lines = wrapped(text, face, width - hang)
    blocks = [
        _line(line, x, hang, face, gap if index == 0 else 0.0, bullet if index == 0 else "")
        for index, line in enumerate(lines)
    ]
    joined = {0, len(blocks) - 2} if len(blocks) > 1 else set()
    return [replace(each, keeps=index in joined) for index, each in enumerate(blocks)]


def _line(words: str, x: float, hang: float, face: Face, gap: float, bullet: str) -> Block:
    def paint(ink: Ink, top: float) -> None:
        baseline = top + 0.78 * face.line
        ink.write(x, baseline, bullet, face)
        ink.write(x + hang, baseline, words, face)

    return Block(face.line, paint, gap)


@dataclass(frozen=True)
class Column:
    """A column of a table: where its words begin or end, and the room they have [mm]."""

    x: float
    width: float
    align: Align = "right"


Cell = tuple[str, Face]


def row(
    columns: Sequence[Column], cells: Sequence[Cell], height: float, rule: bool = True
) -> Block:
    """Return a row of a table, with a fine rule under it."""

    def paint(ink: Ink, top: float) -> None:
        tallest = max((face.rise for _, face in cells), default=0.0)
        baseline = top + 0.5 * (height + tallest)
        for column, (words, face) in zip(columns, cells, strict=True):
            ink.write(column.x, baseline, words, face, column.align, column.width)
        if rule:
            left, right = _span(columns)
            ink.rule((left, top + height), (right, top + height), THIN, GREY)

    return Block(height, paint)


def _span(columns: Sequence[Column]) -> tuple[float, float]:
    ends = [edge for column in columns for edge in _edges(column)]
    return min(ends), max(ends)


def _edges(column: Column) -> Iterator[float]:
    shift = {"left": 0.0, "centre": 0.5, "right": 1.0}[column.align]
    yield column.x - shift * column.width
    yield column.x + (1.0 - shift) * column.width

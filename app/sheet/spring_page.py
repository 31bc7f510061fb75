"""The spring order as a page: what a maker asks, as found and to be made, room for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from app.paper.faces import FINE, SMALL, STRONG, TEXT
from app.paper.flow import Block, kept, spaced
from app.paper.ink import GREY, MIDDLE, THIN, Ink
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.sheet.pack_table import pack_blocks
from app.systems.answers import Study
from app.systems.spring_order import OrderRow, SpringOrder

Section = tuple[str, list[Block]]

TITLE: Final = "Spring order"
ROW: Final = 7.0
BOX: Final = 5.6  # height of a box that is filled in [mm]


def spring_sections(study: Study[Any], paper: Paper, decimal: str) -> Iterator[Section]:
    """Yield a page of each order of a study, with its name."""
    for order in study.system.spring_orders(study, decimal):
        yield f"{TITLE} · {order.title}", _order(order, study, paper, decimal)


def _order(order: SpringOrder, study: Study[Any], paper: Paper, decimal: str) -> list[Block]:
    columns = _columns(paper)
    head = row(columns, [("", FINE), ("as found", FINE), ("to be made", FINE)], 4.6)
    rows = [_row(each, columns) for each in order.rows]
    leaves = pack_blocks(study, paper, decimal) if order.has_leaves else []
    notes = [spaced(paragraph(text, paper.margin, paper.inner, SMALL), 1.0) for text in order.notes]
    return [
        heading(order.title, paper.margin, f"Number: {order.count}", paper.right),
        *kept([head, *rows]),
        *leaves,
        *spaced([block for note in notes for block in note], 2.0),
        _delivery(paper),
    ]


def _columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    wide = 0.5 * (paper.inner - 84.0)
    return [
        Column(left, 82.0, "left"),
        Column(right - wide - 3.0, wide - 2.0),
        Column(right, wide),
    ]


def _row(line: OrderRow, columns: list[Column]) -> Block:
    """Return a line of the order; one that nobody has told has a box to be filled in."""
    if line.wanted:
        cells = [(line.title, TEXT), (line.found, TEXT), (line.wanted, STRONG)]
        return row(columns, cells, ROW)

    def paint(ink: Ink, top: float) -> None:
        name, found, wanted = columns
        baseline = top + 0.5 * (ROW + TEXT.rise)
        ink.write(name.x, baseline, line.title, TEXT, width=found.x - found.width - name.x)
        start = found.x - found.width
        ink.write(found.x, baseline, line.found, TEXT, "right", found.width)
        start = start if not line.found else wanted.x - wanted.width
        ink.box(start, top + 0.5 * (ROW - BOX), wanted.x - start, BOX, MIDDLE)
        ink.rule((name.x, top + ROW), (start - 2.0, top + ROW), THIN, GREY)

    return Block(ROW, paint)


def _delivery(paper: Paper) -> Block:
    """Return room for who orders, from whom, and by when."""
    names = ("ordered by, date", "spring maker", "wanted by")

    def paint(ink: Ink, top: float) -> None:
        width = (paper.inner - 16.0) / len(names)
        for index, name in enumerate(names):
            start = paper.margin + index * (width + 8.0)
            ink.rule((start, top + 11.0), (start + width, top + 11.0), THIN)
            ink.write(start, top + 14.4, name, FINE)

    return Block(15.0, paint, gap=3.0, sinks=True)

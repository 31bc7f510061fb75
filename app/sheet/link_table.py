"""The links of an axle: how long they are, bush to bush, before and after."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import Units
from app.document.plain_text import upper_first
from app.document.units import NO_VALUE, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, STRONG, TEXT
from app.paper.flow import Block, kept, spaced
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.link_forces import SHEAR, link_force_tables
from app.systems.rear.shop.links import LinkRow, link_rows

ROW: Final = 5.4
TOLD: Final = (
    "Set links to length before they are fitted; tighten their bolts with the car at ride height. "
    "A line without a side is for left and right."
)


def link_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the table of links; nothing for an axle that hangs on none."""
    links, units = link_rows(study), study.setup.units
    if not links:
        return []
    columns = _columns(paper)
    come_off = all(link.fitted is None for link in links)
    one = come_off or not study.changed
    lengths = ("", "length") if one else ("as found", "to fit")
    heads = ("", *lengths, "", f"bushes, {unit_of('spring rate', units)}")
    rows = [row(columns, [(head, FINE) for head in heads], 4.4)]
    rows += [row(columns, list(_cells(link, one, units, decimal)), ROW) for link in links]
    note = f"{unit_of('length', units)} · bush to bush, unloaded"
    title = "Links that come off" if come_off else "Links"
    table = kept([heading(title, paper.margin, note, paper.right), *rows])
    below = [] if come_off else paragraph(TOLD, paper.margin, paper.inner, SMALL)
    return kept([*table, *spaced(below, 0.8)])


def link_force_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the forces in the links standing, driving and braking; of the last car on links."""
    tables, units = link_force_tables(study), study.setup.units
    if not tables:
        return []
    table = tables[-1]
    left, wide = paper.margin, 40.0
    columns = [Column(left, 50.0, "left")]
    columns += [Column(left + 50.0 + wide * (place + 1), wide - 2.0) for place in range(3)]
    columns = columns[: 1 + len(table.cases)]
    body = [row(columns, [("", FINE), *((case, FINE) for case in table.cases)], 4.4)]
    for line in table.rows:
        texts = [
            number_of(force, "force", units, decimal=decimal, plus=True) for force in line.forces
        ]
        cells = [(upper_first(line.name), TEXT), *((text, TEXT) for text in texts)]
        body.append(row(columns, cells, ROW))
    if table.shear:
        texts = [number_of(shear, "stress", units, decimal=decimal) for shear in table.shear]
        name = f"{upper_first(SHEAR)}, {unit_of('stress', units)}"
        body.append(row(columns, [(name, TEXT), *((text, TEXT) for text in texts)], ROW))
    title = f"Forces in the links, {table.car}"
    head = heading(title, paper.margin, unit_of("force", units), paper.right)
    return kept([head, *body, *spaced(paragraph(table.note, left, paper.inner, SMALL), 0.8)])


def _columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    return [
        Column(left, 50.0, "left"),
        Column(left + 78.0, 26.0),
        Column(left + 108.0, 28.0),
        Column(left + 113.0, 40.0, "left"),
        Column(right, 27.0),
    ]


def _cells(link: LinkRow, one: bool, units: Units, decimal: str) -> Iterator[Cell]:
    """Yield a link's cells: both lengths and what becomes of it, or its only length."""
    changes = not one and link.fate != "stays"
    face = STRONG if changes else TEXT
    yield upper_first(link.name), face
    yield ("" if one else _length(link.found, units, decimal)), TEXT
    only = link.found if link.fitted is None else link.fitted
    yield _length(only, units, decimal), face
    yield ("" if one else _fate(link, units, decimal)), SMALL_STRONG if changes else SMALL
    yield number_of(link.rate, "spring rate", units, decimal=decimal, places=0), SMALL


def _length(length: float | None, units: Units, decimal: str) -> str:
    return NO_VALUE if length is None else number_of(length, "length", units, decimal=decimal)


def _fate(link: LinkRow, units: Units, decimal: str) -> str:
    if link.found is None or link.fitted is None or link.fate == "stays":
        return {"stays": "same link"}.get(link.fate, link.fate)
    return f"{_length(abs(link.fitted - link.found), units, decimal)} {link.fate}"

"""The table of what is set and read on the finished car, with room for readings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from app.paper.faces import (
    FIGURE,
    SMALL,
    STRONG,
    TEXT,
)
from app.paper.flow import Block, kept
from app.paper.ink import GREY, MIDDLE, THIN, Ink
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.sheet.place_table import READING
from app.shop.work import standing_words
from app.systems.answers import Study
from app.systems.targets import Target

ROW: Final = 7.3


def target_blocks(
    title: str,
    study: Study[Any],
    rows: Sequence[Target],
    paper: Paper,
    decimal: str,
    is_stopped: bool,
) -> list[Block]:
    """Return a table with its title: what is set, within what, and a box for what was read."""
    columns = _columns(paper)
    names = _reading_names(study)
    head = row(columns, [(name, SMALL) for name in names], 5.0, rule=False)
    standing = "" if is_stopped else standing_words(study, decimal)
    note = paragraph(standing, paper.margin, paper.inner, SMALL) if standing else []
    body = [_target_row(target, columns, paper, study.has_work or study.changed) for target in rows]
    return [heading(title, paper.margin), *kept([*note, head, *body])]


def _reading_names(study: Study[Any]) -> tuple[str, ...]:
    """Return the heads of readings: what stays as it is isn't set to anything."""
    if study.has_work:
        return ("", "as found", "set to", "within", "left as built", "right as built")
    cars = ("as found", "as built") if study.changed else ("", "as found")
    return ("", *cars, "within", "left now", "right now")


def _columns(paper: Paper) -> list[Column]:
    right, box = paper.right, READING[0]
    lefts = (right - 2 * box - 4.0, right - box)
    return [
        Column(paper.margin, 62.0, "left"),
        Column(lefts[0] - 52.0, 20.0),
        Column(lefts[0] - 22.5, 28.0),
        Column(lefts[0] - 3.0, 18.0),
        Column(lefts[0] + box, box),
        Column(right, box),
    ]


def _row_height(paper: Paper) -> float:
    """Return the height of a row for a reading: a little less on shorter paper."""
    return ROW * paper.height / 297.0


def _target_row(target: Target, columns: list[Column], paper: Paper, two_cars: bool) -> Block:
    lines = max(len(target.found), len(target.wanted))
    tall = _row_height(paper)
    height = tall + (lines - 1) * 4.6

    def paint(ink: Ink, top: float) -> None:
        baseline = top + 0.5 * (tall + TEXT.rise)
        name, found_column, wanted_column, within, left, right = columns
        alone = not any((*target.found, *target.wanted))
        room = within.x - name.x if alone else name.width
        ink.write(name.x, baseline, target.title, TEXT, width=room)
        if two_cars:
            _figures(ink, found_column, baseline, target.found, bold=False)
        _figures(ink, wanted_column, baseline, target.wanted, bold=True)
        ink.write(within.x, baseline, target.within, SMALL, "right", within.width)
        boxes = (
            [(left.x - left.width, right.x)]
            if target.both
            else [(column.x - column.width, column.x) for column in (left, right)]
        )
        for start, end in boxes:
            ink.box(start, top + 0.5 * (height - READING[1]), end - start, READING[1], MIDDLE)
        edge = within.x
        ink.rule((name.x, top + height), (edge, top + height), THIN, GREY)

    return Block(height, paint)


def _figures(
    ink: Ink, column: Column, baseline: float, figures: tuple[str, ...], bold: bool
) -> None:
    """Write one figure, or left and right under each other."""
    if len(figures) == 1:
        ink.write(column.x, baseline, figures[0], FIGURE if bold else TEXT, "right", column.width)
        return
    for index, (side, figure) in enumerate(zip("LR", figures, strict=True)):
        words = f"{side} {figure}"
        face = STRONG if bold else TEXT
        ink.write(column.x, baseline + index * 4.6, words, face, "right", column.width)

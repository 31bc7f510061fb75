"""What is drilled, welded and set: where it comes, how exactly, and boxes for what it became."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from app.paper.faces import SMALL, STRONG, TEXT, wrapped
from app.paper.flow import Block, kept, spaced, voided
from app.paper.ink import GREY, MIDDLE, THIN, Ink
from app.paper.parts import Column, heading, row
from app.paper.sizes import Paper
from app.shop.places import PlaceRow, place_rows
from app.systems.answers import Study

READING: Final = (23.0, 5.8)  # width and height of a box for a reading [mm]
ROW: Final = 6.8
TITLE: Final = "Drilled, welded and set"
NEW: Final = "new"
TEMPLATES: Final = "holes at full size: drill templates, last pages"


def place_blocks(
    study: Study[Any],
    paper: Paper,
    decimal: str,
    several: bool,
    is_stopped: bool,
    has_templates: bool,
) -> list[Block]:
    """Return the table, struck through of what `is_stopped`; nothing where no point is moved."""
    rows = place_rows(study, decimal)
    if not rows:
        return []
    columns = _columns(paper)
    names = ("", "from the old place", "within", "left as built", "right as built")
    head = row(columns, [(name, SMALL) for name in names], 5.0, rule=False)
    note = TEMPLATES if has_templates and not is_stopped else ""
    title = f"{TITLE} at the {study.system.key}" if several else TITLE
    blocks = [
        replace(block, repeats=head if index == 0 else None)
        for each in rows
        for index, block in enumerate(_row(each, columns, paper))
    ]
    if is_stopped:
        blocks = voided(blocks)
    first = 1 + next(i for i, block in enumerate(blocks) if not block.keeps)
    return [
        *kept([heading(title, paper.margin, note, paper.right), head, *blocks[:first]]),
        *blocks[first:],
    ]


def _columns(paper: Paper) -> list[Column]:
    right, box = paper.right, READING[0]
    left_box = right - 2 * box - 4.0
    return [
        Column(paper.margin, 52.0, "left"),
        Column(paper.margin + 54.0, left_box - 22.0 - paper.margin - 54.0, "left"),
        Column(left_box - 3.0, 19.0),
        Column(left_box + box, box),
        Column(right, box),
    ]


def _row(place: PlaceRow, columns: list[Column], paper: Paper) -> list[Block]:
    """Return a line with the boxes, and lines with distances under it."""
    lines = wrapped(place.distances, SMALL, paper.inner - 3.0)
    steps = wrapped(place.step or NEW, STRONG, columns[1].width)
    blocks = [_first_line(place, steps[0], columns)]
    blocks += [_step_line(words, columns[1]) for words in steps[1:]]
    blocks += [
        _distance_line(line, paper, index == len(lines) - 1) for index, line in enumerate(lines)
    ]
    return spaced(kept(blocks), 0.8)


def _step_line(words: str, column: Column) -> Block:
    return Block(
        STRONG.line,
        lambda ink, top: ink.write(column.x, top + 0.78 * STRONG.line, words, STRONG),
    )


def _first_line(place: PlaceRow, way: str, columns: list[Column]) -> Block:
    name, step, within, left, right = columns

    def paint(ink: Ink, top: float) -> None:
        baseline = top + 0.5 * (ROW + TEXT.rise)
        ink.write(name.x, baseline, place.title, TEXT, width=name.width)
        ink.write(step.x, baseline, way, STRONG, width=step.width)
        ink.write(within.x, baseline, place.within, SMALL, "right", within.width)
        for start, end in _boxes(place, left, right):
            ink.box(start, top + 0.5 * (ROW - READING[1]), end - start, READING[1], MIDDLE)

    return Block(ROW, paint)


def _boxes(place: PlaceRow, left: Column, right: Column) -> list[tuple[float, float]]:
    """Return where boxes begin and end: one of both widths for what the car has once."""
    if not place.sides:
        return [(left.x - left.width, right.x)]
    columns = {"left": left, "right": right}
    return [(columns[side].x - columns[side].width, columns[side].x) for side in place.sides]


def _distance_line(words: str, paper: Paper, is_last: bool) -> Block:
    def paint(ink: Ink, top: float) -> None:
        ink.write(paper.margin + 3.0, top + 0.78 * SMALL.line, words, SMALL)
        if is_last:
            under = top + SMALL.line + 0.6
            ink.rule((paper.margin, under), (paper.right, under), THIN, GREY)

    return Block(SMALL.line + (0.6 if is_last else 0.0), paint)

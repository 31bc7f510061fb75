"""The table of points: where they were measured, where they are proposed, and each move."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.model import Setup, Units, Vec
from app.document.units import MINUS, NO_VALUE
from app.paper.faces import FINE, LEAST, SMALL, SMALL_STRONG, Face, width_of
from app.paper.flow import Block, kept
from app.paper.ink import Ink
from app.paper.parts import Cell, Column, heading, row
from app.paper.sizes import Paper
from app.shop.points import PointRow, point_rows
from app.systems.answers import Study
from app.words.lengths import bench_number, ruled_number, shortened
from app.words.moves import way

FAR: Final = 1000.0  # an X from here on has a figure more [mm]
ROW: Final = 4.6
MOVE: Final = 32.0  # room for a move in words [mm]
LEAST_MOVE: Final = 14.0
MOST_APART: Final = 4.0  # between columns of fractions
SMALLEST: Final = Face(LEAST, bold=True)
SEEN: Final = 0.005  # a smaller move is none [mm]


def point_table(
    study: Study[Any], paper: Paper, decimal: str, is_stopped: bool = False
) -> list[Block]:
    """Return the table; its head is repeated where it goes on overleaf."""
    points = point_rows(study, is_stopped)
    columns = _columns(study, points, paper)
    head = _head(columns, study, any(point.within is not None for point in points), decimal)
    rows = [row(columns, list(_cells(point, study, decimal)), ROW) for point in points]
    body = [replace(head, keeps=True), *(replace(block, repeats=head) for block in rows)]
    note = f"{study.setup.units} · {study.system.axes}"
    title = "Points" if any(point.is_right for point in points) else "Points, left side"
    return kept([heading(title, paper.margin, note, paper.right), *body])


def _columns(study: Study[Any], points: Sequence[PointRow], paper: Paper) -> list[Column]:
    """Return columns for the name, X Y Z measured, within, and X Y Z proposed and the move."""
    left, right = paper.margin, paper.right
    if not study.changed:
        measured = [Column(right - at, 20.0) for at in (74.0, 50.0, 26.0)]
        return [Column(left, 80.0, "left"), *measured, Column(right, 20.0)]
    is_far = any(abs(row.measured[0]) >= FAR for row in points if row.measured is not None)
    if study.setup.units == "in":
        has_within = any(row.within is not None for row in points)
        fates = [_fate(row, "in", ".") for row in points]
        rooms = (
            max(width_of(row.title, SMALL_STRONG) for row in points),
            max(width_of(fate, SMALL_STRONG) for fate in fates),
        )
        return _fraction_columns(paper, has_within, is_far, rooms)
    if is_far:
        return _far_columns(paper)
    wider = right - left - 182.0
    measured = [Column(left + at + 0.4 * wider, 13.5) for at in (64.0, 78.0, 92.0)]
    within = Column(left + 103.0 + 0.4 * wider, 10.0)
    proposed = [Column(left + at + 0.6 * wider, 13.5) for at in (117.0, 131.0, 145.0)]
    return [Column(left, 50.0, "left"), *measured, within, *proposed, Column(right, 35.0)]


def _far_columns(paper: Paper) -> list[Column]:
    """Return the same with more room for X, where points are far from the front axle."""
    left, wide = paper.margin, (17.0, 14.4, 13.5)
    measured = [Column(left + at, w) for at, w in zip((61.5, 76.3, 90.0), wide, strict=True)]
    proposed = [Column(left + at, w) for at, w in zip((118.5, 133.3, 147.0), wide, strict=True)]
    within = Column(left + 100.5, 10.0)
    return [Column(left, 44.0, "left"), *measured, within, *proposed, Column(paper.right, MOVE)]


def _fraction_columns(
    paper: Paper, has_within: bool, is_far: bool, rooms: tuple[float, float]
) -> list[Column]:
    """Return the same with room for fractions: "−118 23/32".

    What the names and the moves leave of their `rooms` [mm] keeps the figures apart.
    """
    wide, most = ((19.5, 16.0, 15.5), 33.0) if is_far else ((14.5, 15.0, 13.5), 37.0)
    within, move = 10.0 if has_within else 0.0, min(max(rooms[1], LEAST_MOVE), most)
    spare = paper.inner - rooms[0] - 2 * sum(wide) - within - move
    apart = min(max(spare / 9, 1.2), MOST_APART)
    right = paper.right - move - apart
    proposed: list[Column] = []
    for width in reversed(wide):
        proposed.insert(0, Column(right, width))
        right -= width + apart
    inside = Column(right, max(within, 1.0))
    right -= within + (apart if within else 0.0)
    measured: list[Column] = []
    for width in reversed(wide):
        measured.insert(0, Column(right, width))
        right -= width + apart
    name = Column(paper.margin, right - paper.margin, "left")
    return [name, *measured, inside, *proposed, Column(paper.right, move)]


def _head(columns: list[Column], study: Study[Any], has_within: bool, decimal: str) -> Block:
    names = ["", "X", "Y", "Z", "within" if has_within else ""]
    names += ["X", "Y", "Z", "move"] if study.changed else []
    names_row = row(columns, [(name, FINE) for name in names], 4.0)
    within = _size(study.setup.evidence.get("sheet.measured_within"), study.setup, decimal)
    measured = f"measured {within}".strip()

    def paint(ink: Ink, top: float) -> None:
        ink.write(columns[3].x, top + 3.4, measured, SMALL, "right", 60.0)
        if study.changed:
            words = "proposed, at the measured height"
            room = columns[7].x - columns[3].x - 2.0
            ink.write(columns[7].x, top + 3.4, words, SMALL_STRONG, "right", room)
        names_row.paint(ink, top + 4.6)

    return Block(8.8, paint)


def _cells(point: PointRow, study: Study[Any], decimal: str) -> Iterator[Cell]:
    setup = study.setup
    face = SMALL_STRONG if point.fate == "new" or point.move is not None else SMALL
    yield point.title, face
    yield from _numbers(point.measured, setup.units, decimal, SMALL)
    yield _size(point.within, setup, decimal).removesuffix(f" {setup.units}"), FINE
    if study.changed:
        yield from _numbers(point.proposed, setup.units, decimal, face)
        yield _fate(point, setup.units, decimal), face


def _numbers(place: Vec | None, units: Units, decimal: str, face: Face) -> list[Cell]:
    if place is None:
        return [(NO_VALUE, face)] * 3
    return [(ruled_number(part, units, decimal), face) for part in place]


def _size(value: object, setup: Setup, decimal: str) -> str:
    if not isinstance(value, float | int):
        return ""
    return f"± {ruled_number(float(value), setup.units, decimal)} {setup.units}"


def _fate(point: PointRow, units: Units, decimal: str) -> str:
    """Return what becomes of a point: "22 lower, 3 inboard", "new"."""
    if point.fate in ("new", "comes off"):
        return point.fate
    return "" if point.move is None else _move(point.move, point.is_right, units, decimal)


def _move(move: Vec, is_right: bool, units: Units, decimal: str) -> str:
    side = -1.0 if is_right else 1.0
    lengths = [_step(part, units, decimal) for part in move]
    parts = [
        f"{lengths[axis]} {way(axis, move[axis], side)}"
        for axis in (2, 1, 0)
        if abs(move[axis]) >= SEEN
    ]
    if len(parts) < 3:
        return ", ".join(parts)
    steps = [f"{'+' if part > 0 else MINUS}{lengths[axis]}" for axis, part in enumerate(move)]
    named = ", ".join(f"{name} {step}" for name, step in zip("XYZ", steps, strict=True))
    return named if width_of(named, SMALLEST) <= MOVE else ", ".join(steps)


def _step(part: float, units: Units, decimal: str) -> str:
    number = bench_number(abs(part), units, ".")
    return number if "/" in number else shortened(number, decimal)

"""The table of points: where they were measured, where they are proposed, and each move."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from app.document.keys import ALL_KEYS, KEYS, left_of, points_of
from app.document.model import Setup, Units, Vec
from app.document.moves import total_moves
from app.document.units import MINUS, NO_VALUE, format_value, number_of
from app.paper.faces import FINE, LEAST, SMALL, SMALL_STRONG, Face, width_of
from app.paper.flow import Block, kept
from app.paper.ink import Ink
from app.paper.parts import Cell, Column, heading, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.front import places as front_places
from app.systems.front.drawing.words import FrontWords
from app.systems.rear import places as rear_places
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR

ROW: Final = 4.6
MOVE: Final = 32.0  # room for a move in words [mm]
SMALLEST: Final = Face(LEAST, bold=True)
SEEN: Final = 0.005  # a smaller move is none [mm]
NOTE: Final = "X forward of the axle, Y from the middle of the car, Z above the ground"
NOTE_REAR: Final = "X forward of the front axle, Y from the middle, Z above the ground"
NEW: Final = "new"
GONE: Final = "comes off"


def point_table(study: Study[Any], paper: Paper, decimal: str) -> list[Block]:
    """Return the table; its head is repeated where it goes on overleaf."""
    columns = _columns(study, paper)
    head = _head(columns, study, decimal)
    rows = [row(columns, cells, ROW) for cells in _rows(study, decimal)]
    body = [replace(head, keeps=True), *(replace(block, repeats=head) for block in rows)]
    both = _has_right(study)
    note = f"{study.setup.units} · {NOTE if study.system.key == 'front' else NOTE_REAR}"
    title = "Points" if both else "Points, left side"
    return kept([heading(title, paper.margin, note, paper.right), *body])


def _has_right(study: Study[Any]) -> bool:
    keys = _rear_keys(study) if study.system is REAR else points_of(study.setup, "front")
    return any(left_of(key) != key for key in keys)


def _columns(study: Study[Any], paper: Paper) -> list[Column]:
    """Return columns for the name, X Y Z measured, within, and X Y Z proposed and the move."""
    left, right = paper.margin, paper.right
    if not study.changed:
        measured = [Column(right - at, 20.0) for at in (74.0, 50.0, 26.0)]
        return [Column(left, 80.0, "left"), *measured, Column(right, 20.0)]
    if study.system is REAR:
        return _rear_columns(paper)
    wider = right - left - 182.0
    measured = [Column(left + at + 0.4 * wider, 13.5) for at in (64.0, 78.0, 92.0)]
    within = Column(left + 103.0 + 0.4 * wider, 10.0)
    proposed = [Column(left + at + 0.6 * wider, 13.5) for at in (117.0, 131.0, 145.0)]
    return [Column(left, 50.0, "left"), *measured, within, *proposed, Column(right, 35.0)]


def _rear_columns(paper: Paper) -> list[Column]:
    """Return the same with more room for X, which is far behind the front axle."""
    left, wide = paper.margin, (17.0, 14.4, 13.5)
    measured = [Column(left + at, w) for at, w in zip((61.5, 76.3, 90.0), wide, strict=True)]
    proposed = [Column(left + at, w) for at, w in zip((118.5, 133.3, 147.0), wide, strict=True)]
    within = Column(left + 100.5, 10.0)
    return [Column(left, 44.0, "left"), *measured, within, *proposed, Column(paper.right, MOVE)]


def _head(columns: list[Column], study: Study[Any], decimal: str) -> Block:
    names = ["", "X", "Y", "Z", "within" if study.setup.within else ""]
    names += ["X", "Y", "Z", "move"] if study.changed else []
    names_row = row(columns, [(name, FINE) for name in names], 4.0)
    within = _size(study.setup.evidence.get("sheet.measured_within"), study.setup, decimal)
    measured = f"measured {within}".strip()

    def paint(ink: Ink, top: float) -> None:
        ink.write(columns[3].x, top + 3.4, measured, SMALL, "right", 60.0)
        if study.changed:
            ink.write(columns[7].x, top + 3.4, "proposed", SMALL_STRONG, "right")
        names_row.paint(ink, top + 4.6)

    return Block(8.8, paint)


@dataclass(frozen=True)
class _Points:
    """The points of an end: which there are, what they are called, where they go.

    `new` and `gone` are points of a kind of axle that is only proposed, or only measured.
    """

    keys: tuple[str, ...]
    title: Callable[[str], str]
    moves: Mapping[str, Vec]
    proposed: Mapping[str, Vec]
    new: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()


def _points(study: Study[Any]) -> _Points:
    setup = study.setup
    if study.system is REAR:
        return _rear_points(study)
    return _Points(
        points_of(setup, "front"),
        lambda key: _front_title(key, setup),
        total_moves(setup),
        front_places.proposed_places(study),
    )


def _rear_points(study: Study[RearAnswers]) -> _Points:
    setup, keys = study.setup, _rear_keys(study)
    was, now = (
        frozenset(key for key in keys if KEYS[key].fits & KEYS[_OF[car.kind]].fits)
        for car in (study.measured, study.proposed)
    )
    return _Points(
        keys,
        _rear_title,
        total_moves(setup),
        rear_places.proposed_places(study),
        new=now - was,
        gone=was - now,
    )


def _rear_title(key: str) -> str:
    """Return a point's title without what its page says."""
    title = KEYS[key].title.removeprefix("Rear ")
    return f"{title[:1].upper()}{title[1:]}"


def _rear_keys(study: Study[RearAnswers]) -> tuple[str, ...]:
    """Return the points of what was and what will be fitted, those that a change adds included."""
    on = [change for change in study.setup.changes if change.on]
    there = {*study.setup.evidence, *(k for change in on for k in (*change.moves, *change.sets))}
    fits = {name for car in (study.measured, study.proposed) for name in KEYS[_OF[car.kind]].fits}
    return tuple(
        key.name
        for key in ALL_KEYS
        if key.kind == "point"
        and key.name.startswith("rear.")
        and key.name in there
        and key.fits & fits
    )


_OF: Final = {"leaf axle": "rear.front_eye", "five-link axle": "rear.lower_body"}


def _rows(study: Study[Any], decimal: str) -> Iterator[list[Cell]]:
    setup, points = study.setup, _points(study)
    words = FrontWords(setup.units, decimal)
    for key in points.keys:
        measured = _measured(setup, key)
        is_new = measured is None or key in points.new
        face = SMALL_STRONG if is_new or key in points.moves else SMALL
        cells = [(points.title(key), face)]
        cells += _numbers(measured, setup.units, decimal, SMALL)
        cells.append((_within(setup, key, decimal), FINE))
        if study.changed:
            there = None if key in points.gone else points.proposed.get(key, measured)
            cells += _numbers(there, setup.units, decimal, face)
            told = GONE if key in points.gone else NEW if is_new else ""
            cells.append((told or _move(key, points.moves, words), face))
        yield cells


def _measured(setup: Setup, key: str) -> Vec | None:
    """Return where a point was measured, or is the mirror of one; None for one that is new."""
    if key in setup.evidence:
        return cast(Vec, setup.evidence[key])
    left = setup.evidence.get(left_of(key))
    if left is None:
        return None
    x, y, z = cast(Vec, left)
    return x, -y, z


def _front_title(key: str, setup: Setup) -> str:
    """Return a point's title; of a link and a strut rod by the part it holds."""
    title = KEYS[key].title
    if setup.evidence.get("front.lower_arm") != "link and strut rod":
        return title
    title = title.replace("Lower arm, front pivot", "Strut rod, body bush")
    return title.replace("Lower arm, rear pivot", "Lower link, body bush")


def _numbers(place: Vec | None, units: Units, decimal: str, face: Face) -> list[Cell]:
    if place is None:
        return [(NO_VALUE, face)] * 3
    return [(number_of(part, "length", units, decimal=decimal), face) for part in place]


def _within(setup: Setup, key: str, decimal: str) -> str:
    """Return a point's own uncertainty; that of all others is in the table's head."""
    return _size(setup.within.get(key), setup, decimal).removesuffix(f" {setup.units}")


def _size(value: object, setup: Setup, decimal: str) -> str:
    if not isinstance(value, float | int):
        return ""
    words = format_value(float(value), "length", setup.units, decimal=decimal, fractions=True)
    return f"± {words}"


def _move(key: str, moves: Mapping[str, Vec], words: FrontWords) -> str:
    """Return a move in words: "22 lower, 3 in"."""
    move = moves.get(key)
    if move is None:
        return ""
    side = -1.0 if ".right." in key else 1.0
    told = [words.move(axis, move[axis], side) for axis in (2, 1, 0) if abs(move[axis]) >= SEEN]
    if len(told) < 3:
        return ", ".join(told)
    steps = [f"{'+' if part > 0 else MINUS}{words.step(part)}" for part in move]
    named = ", ".join(f"{name} {step}" for name, step in zip("XYZ", steps, strict=True))
    return named if width_of(named, SMALLEST) <= MOVE else ", ".join(steps)

"""A setup laid out as a file holds it: every single value by its path, in the file's units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, cast

from app.document.ends import ENDS, end_of, name_in_end
from app.document.heights import HEIGHT_KEYS
from app.document.keys import ALL_KEYS, KEYS, kind_of
from app.document.leaf_parts import LeafPart
from app.document.model import (
    Change,
    FrozenMap,
    Leaf,
    Limit,
    Plane,
    Setup,
    Tape,
    Value,
    Vec,
    Within,
    mark_key,
)
from app.document.plan_cells import Cell, Cells, plan_cells
from app.document.quantities import QUANTITIES, from_inside
from app.document.schema import LEAF_KINDS
from app.document.toml_layout import Path
from app.document.upgrades import FORMAT

LEAF_FIELDS: Final = tuple(LEAF_KINDS)
NOTHING_SAID: Final[FrozenMap[Within]] = FrozenMap()
DEFAULTS: Final[dict[str, Cell]] = {  # of values that needn't be written when they are these
    "notes": "",
    "note": "",
    "by": "",
    "on": True,
    "parts": "kept",
    "toe": "reset",
    "aligns": False,
    "clipped": False,
    "taper": "none",
    "weight": 1.0,
    "moves_with": "body",
    "side": "both",
}


def setup_cells(setup: Setup) -> Cells:
    """Return every value of a setup but those of its changes, in the order of a new file."""
    cells: Cells = {("format",): FORMAT, ("title",): setup.title, ("units",): setup.units}
    cells[("notes",)] = setup.notes
    for axle in ("sheet", "car", *ENDS):
        for key in ALL_KEYS:
            if key.name in setup.readings and end_of(key.name) == axle:
                value = setup.readings[key.name]
                cells |= _value_cells(setup, key.name, key.place, value, setup.within)
                cells |= _extras(setup, key.name)
        for name, limit in setup.limits.items():
            if end_of(name) == axle:
                cells |= _limit_cells(setup, (axle, "limits", name_in_end(name)), limit)
        cells |= plan_cells(setup, axle)
    return cells | _mark_cells(setup) | _height_cells(setup)


def change_cells(setup: Setup, change: Change) -> Cells:
    """Return every value of a change, by paths from its own table."""
    cells: Cells = {("name",): change.name, ("on",): change.on, ("parts",): change.parts}
    cells |= {("toe",): change.toe, ("aligns",): change.aligns, ("note",): change.note}
    for key, move in change.moves.items():
        cells |= _value_cells(setup, key, ("move", key), move)
    for key, value in change.sets.items():
        cells |= _value_cells(setup, key, ("set", key), value)
    return cells


def _value_cells(
    setup: Setup, name: str, path: Path, value: Value, within: Mapping[str, Within] = NOTHING_SAID
) -> Cells:
    """Return a value's cells; those of leaves with how well each number is known."""
    kind = kind_of(name, setup.readings)
    if kind == "leaves":
        return {
            cell_path: cell
            for place, leaf in enumerate(cast(tuple[Leaf, ...], value))
            for cell_path, cell in _leaf(setup, path, place, leaf, within)
        }
    if kind == "point":
        x, y, z = (from_inside(n, "length", setup.units) for n in cast(Vec, value))
        return {path: (x, y, z)}
    if kind in QUANTITIES:
        return {path: from_inside(cast(float, value), kind, setup.units)}
    return {path: cast(Cell, value)}


def _leaf(
    setup: Setup, path: Path, place: int, leaf: Leaf, within: Mapping[str, Within]
) -> Iterator[tuple[Path, Cell]]:
    for name in LEAF_FIELDS:
        value = getattr(leaf, name)
        if value is None:
            continue
        kind, own = LEAF_KINDS[name], (*path, place, name)
        yield own, from_inside(value, kind, setup.units) if kind in QUANTITIES else value
        known = within.get(LeafPart(place, name).key)
        if known is not None:
            yield (*own, "within"), _within_cell(known, kind, setup)


def tape_cells(setup: Setup, tape: Tape) -> Cells:
    """Return every value of a tape, by paths from its own table."""
    length, within = (from_inside(n, "length", setup.units) for n in (tape.length, tape.within))
    cells: Cells = {("between",): tape.between, ("length",): length, ("within",): within}
    return {**cells, ("note",): tape.note}


def plane_cells(setup: Setup, plane: Plane) -> Cells:
    """Return every value of a plane, by paths from its own table."""
    at = from_inside(plane.at, "length", setup.units)
    cells: Cells = {("name",): plane.name, ("axis",): plane.axis, ("at",): at}
    return {**cells, ("points",): plane.points}


def _mark_cells(setup: Setup) -> Cells:
    """Return the marks on the floor, and how well each is known where that is said."""
    cells: Cells = {}
    for name, place in setup.marks.items():
        x, y, z = (from_inside(n, "length", setup.units) for n in place)
        cells[("marks", name)] = (x, y, z)
        if mark_key(name) in setup.within:
            within = setup.within[mark_key(name)]
            cells[("marks", name, "within")] = _within_cell(within, "length", setup)
    return cells


def _within_cell(within: Within, kind: str, setup: Setup) -> float | Vec:
    if isinstance(within, tuple):
        x, y, z = (from_inside(number, kind, setup.units) for number in within)
        return (x, y, z)
    return from_inside(within, kind, setup.units)


def _extras(setup: Setup, name: str) -> Cells:
    """Return a value's uncertainty and note, which share a table with the value when there."""
    cells: Cells = {}
    if name in setup.within:
        is_point = KEYS[name].kind == "point"
        kind = "length" if is_point else kind_of(name, setup.readings)
        cells[(*KEYS[name].place, "within")] = _within_cell(setup.within[name], kind, setup)
    if name in setup.point_notes:
        cells[(*KEYS[name].place, "note")] = setup.point_notes[name]
    return cells


def _height_cells(setup: Setup) -> Cells:
    """Return the heights chosen for the ends of the proposed car."""
    return {
        ("proposal", name): choice
        if isinstance(choice := setup.heights[end], str)
        else from_inside(choice, "length", setup.units)
        for end, name in HEIGHT_KEYS.items()
        if end in setup.heights
    }


def _limit_cells(setup: Setup, path: Path, limit: Limit) -> Cells:
    """Return a limit's ends, or the one number that stands for both."""
    ends = {"min": limit.minimum, "max": limit.maximum}
    inside = {n: from_inside(v, limit.kind, setup.units) for n, v in ends.items() if v is not None}
    return {**{(*path, n): v for n, v in inside.items()}, (*path, "by"): limit.by}

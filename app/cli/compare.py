"""Cars side by side: a table for people, and an object for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite
from pathlib import Path

from app.cli.bands import NOT_SAID
from app.cli.files import load
from app.cli.machine import UNITS, kind_number, machine_number, name
from app.cli.questions import unbuilt_words
from app.cli.refused import WRONG_CALL, Refused
from app.cli.tables import Column as Head
from app.cli.tables import Page, Row
from app.cli.terminal import Terminal
from app.document.model import Units
from app.document.units import NO_VALUE, number_of
from app.judge.compare import (
    BEST,
    PAST,
    Cell,
    Column,
    CompareError,
    CompareRow,
    Comparison,
    comparison,
)
from app.shop.results import AT_REST
from app.systems.clearance.results import is_clearance, key_of_clearance, own_clearances
from app.words.results import limit_words, result_unit
from geometry.errors import GeometryError


def compare_files(
    path: Path, sets: Sequence[Sequence[str]], other_paths: Sequence[Path]
) -> Comparison:
    """Return the comparison that a call asks for, or refuse with the reason."""
    setup, others = load(path), [load(other) for other in other_paths]
    try:
        return comparison(setup, sets, others)
    except CompareError as error:
        raise Refused(f"{path.name}: {error}", WRONG_CALL) from None
    except GeometryError as error:
        words = "the car as measured can't be built."
        raise Refused(unbuilt_words(words, error, setup.having(changes=()), path, "")) from None


def with_bands(compared: Comparison, path: Path) -> Comparison:
    """Return a comparison with bands; refuse a file that says of nothing how well it is known."""
    from app.judge.compare_bands import banded, has_bands

    told = banded(compared)
    if not has_bands(told):
        raise Refused(NOT_SAID.format(path.name))
    return told


def compare_object(compared: Comparison, path: Path) -> dict[str, object]:
    """Return the columns, and per result a list, a value a column.

    The first system's results are at the top, a second one's under its name.
    """
    systems = list(dict.fromkeys(row.system for row in compared.rows))
    parts = {system: _part(compared, system) for system in systems}
    first = parts.pop(systems[0], {}) if systems else {}
    return {
        "title": compared.setup.title,
        "file": path.name,
        "units": UNITS,
        "columns": [_column(column, systems) for column in compared.columns],
        **first,
        **_balance(compared),
        **parts,
    }


def _column(column: Column, systems: Sequence[str]) -> dict[str, object]:
    return {
        "name": column.name,
        "changes": list(column.changes),
        "stands_mm": {system: column.stands(system) for system in systems},
        "refusal": column.refusal or None,
        "doubt": column.doubt or None,
    }


def _part(compared: Comparison, system: str) -> dict[str, object]:
    named: dict[str, list[CompareRow]] = {}
    for row in compared.rows:
        if row.system == system and not is_clearance(row.result.key):
            named.setdefault(name(row.result), []).append(row)
    places = range(len(compared.columns))
    told = {key: [_told(rows, place) for place in places] for key, rows in named.items()}
    sided = {key for key, rows in named.items() if rows[0].result.scope == "wheel"}
    limited = {key for key, rows in named.items() if any(row.limit is not None for row in rows)}
    return {
        **{key: [_number(row, cell.value) for row, cell in cells] for key, cells in told.items()},
        "right": {
            key: [
                _number(row, cell.value if cell.right is None else cell.right)
                for row, cell in told[key]
            ]
            for key in told
            if key in sided
        },
        "best": {
            key: list(rows[0].best)
            for key, rows in named.items()
            if len(rows) == 1 and rows[0].best
        },
        "kept": {key: [cell.is_kept for _, cell in told[key]] for key in told if key in limited},
        **_withins(told),
        **_clearances(compared, system),
    }


def _withins(told: dict[str, list[tuple[CompareRow, Cell]]]) -> dict[str, object]:
    """Return how far each figure may be off, of the left wheel; nothing where nothing is known."""
    withins = {
        key: [_number(row, _finite(cell.withins[0])) for row, cell in cells]
        for key, cells in told.items()
        if any(cell.withins[0] is not None for _, cell in cells)
    }
    return {"within": withins} if withins else {}


def _finite(within: float | None) -> float | None:
    return within if within is None or isfinite(within) else None


def _clearances(compared: Comparison, system: str) -> dict[str, object]:
    """Return the clearances of an end as a list; of a car without one there are none."""
    rows = [row for row in compared.rows if row.system == system and is_clearance(row.result.key)]
    named = {key_of_clearance(each): each for each in own_clearances(compared.setup, system)}
    told = [
        {
            "between": list(named[row.result.key].between),
            "at_least_mm": named[row.result.key].at_least,
            "gap_mm": [cell.value for cell in row.cells],
            "kept": [cell.is_kept for cell in row.cells],
            "best": list(row.best),
        }
        for row in rows
    ]
    return {"clearances": told} if told else {}


def _told(rows: Sequence[CompareRow], place: int) -> tuple[CompareRow, Cell]:
    """Return a column's own row and cell: results of two kinds of axle may share one name."""
    cells = [(row, row.cells[place]) for row in rows]
    return next((each for each in cells if each[1].value is not None), cells[0])


def _number(row: CompareRow, value: float | None) -> float | None:
    return machine_number(value, row.result)


def _balance(compared: Comparison) -> dict[str, object]:
    cars = [column.balance for column in compared.columns]
    if not any(cars):
        return {}
    return {
        "balance": {
            "roll_gradient_deg": [
                None if car is None else kind_number(car.roll, "angle") for car in cars
            ],
            "front_share_percent": [None if car is None else car.front_share for car in cars],
        }
    }


def compare_text(compared: Comparison, path: Path, terminal: Terminal) -> str:
    """Return the comparison as tables: a column a car, numbered as in the list above them."""
    page = Page(terminal)
    page.heading(compared.setup.title)
    page.paragraph(f"{path.name} · each car as it will stand, on its wheels", indent="")
    for number, column in enumerate(compared.columns):
        page.paragraph(f"{column.name}{_stands(compared, column)}", f"{number} ")
        for words in filter(None, (column.refusal, column.doubt)):
            page.paragraph(words, "!! ")
    for system in dict.fromkeys(row.system for row in compared.rows):
        page.heading(f"{system.capitalize()}, {BEST} best of its row, {PAST} past its limit")
        rows = [
            row for row in compared.rows if row.system == system and row.result.key not in AT_REST
        ]
        page.table(_heads(compared), list(_table(compared, rows)))
    _add_balance(page, compared)
    return page.text()


def _stands(compared: Comparison, column: Column) -> str:
    """Say how each end stands, where it stands elsewhere than as measured."""
    units, words = compared.setup.units, []
    for system in dict.fromkeys(row.system for row in compared.rows):
        travel = column.stands(system)
        text = "" if travel is None else number_of(abs(travel), "length", units, places=None)
        if travel is not None and text.strip("0."):
            words.append(f"{system} {text} {units} {'lower' if travel > 0 else 'higher'}")
    return f": {', '.join(words)}" if words else ""


def _heads(compared: Comparison) -> list[Head]:
    numbers = [Head(str(number)) for number in range(len(compared.columns))]
    return [Head("", words=True), *numbers, Head("unit", words=True), Head("limit", words=True)]


def _table(compared: Comparison, rows: Sequence[CompareRow]) -> Iterator[Row]:
    group, units = "", compared.setup.units
    for row in rows:
        if row.result.group != group:
            yield from ("", row.result.group) if group else (row.result.group,)
            group = row.result.group
        limit = "" if row.limit is None else limit_words(row.limit, row.result, units)
        both = any(cell.right is not None for cell in row.cells)
        for side in (0, 1) if both else (0,):
            title = f"  {row.result.title}{(', left', ', right')[side] if both else ''}"
            figures = [
                _figure(compared, row, place, side) for place in range(len(compared.columns))
            ]
            yield [title, *figures, result_unit(row.result, units), limit]


def _figure(compared: Comparison, row: CompareRow, place: int, side: int) -> str:
    cell: Cell = row.cells[place]
    units = compared.setup.units
    text = cell.text(row.result, units, side)
    band = cell.band_text(row.result, units, side)
    mark = PAST if cell.is_kept is False else BEST if place in row.best else ""
    return f"{text}{f' {band}' if band else ''}{mark or ' '}"


def _add_balance(page: Page, compared: Comparison) -> None:
    cars = [column.balance for column in compared.columns]
    if not any(cars):
        return
    units = compared.setup.units
    page.heading("In a corner, per g")
    rolls = [_plain(None if car is None else car.roll, "angle", units) for car in cars]
    shares = [_plain(None if car is None else car.front_share, "percent", units) for car in cars]
    rows: list[Row] = [
        ["Body roll", *rolls, "°"],
        ["Front's share of the load that changes sides", *shares, "%"],
    ]
    page.table(_heads(compared)[:-1], rows)


def _plain(value: float | None, kind: str, units: Units) -> str:
    text = NO_VALUE if value is None else number_of(value, kind, units, places=1)
    return f"{text} "

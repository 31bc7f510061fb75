"""Cars side by side with how far each figure may be off, and which of them can be told apart.

Proposals of one car share its readings: what moves all of them alike leaves their difference as it
was, which is often known far better than either figure. Another car's readings are its own.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from app.judge.bands import Band, Bands, bands_of
from app.judge.cars import SAMPLES, Asked
from app.judge.compare import Cell, Column, CompareRow, Comparison, best_of
from app.judge.pausing import Pause, go_on
from app.systems.answers import Study
from app.systems.banded import CarBands, CarOf, StudyBands
from app.systems.clearance.results import is_clearance
from geometry.catalogue.front import JOINTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.numeric import quietly
from geometry.uncertainty import expanded, spread_of
from geometry.vectors import Array

Which = Callable[[CompareRow], bool]
Withins = tuple[float | None, float | None]
TellingRow = tuple[tuple[Withins, ...], tuple[int, ...]]
"""How far the figures of a row may be off, and which of its columns are best."""

_REST: Final = Asked("travel", np.array([0.0]))


def _every(row: CompareRow) -> bool:
    return True


@dataclass(frozen=True)
class _Known:
    """The bands of one car's results, and which of both cars of its study it is."""

    bands: Bands
    is_found: bool

    @property
    def told(self) -> Mapping[str, Band]:
        """The bands by result."""
        return self.bands.found if self.is_found else self.bands.built

    def moved(self, key: str) -> Array | None:
        """Return how a result changes with each reading, or its values in sampled cars."""
        for cars in (self.bands.slopes, self.bands.samples):
            values = cars.found if self.is_found else cars.built
            if key in values:
                return values[key]
        return None

    def band(self, result: Result) -> Array | None:
        """Return how far a result may be off, a number a wheel; None where it isn't known."""
        band = self.told.get(result.key)
        return None if band is None else _at_rest(band.within, result)


def banded(compared: Comparison, samples: int = SAMPLES, which: Which = _every) -> Comparison:
    """Return cars with the bands of their figures at rest, and the best of each row by them.

    The same where nothing says how well the car is known. The most that joints swing, and
    clearances, have none: they are of all poses. `which` tells the rows that are asked for.
    """
    for system in systems_of(compared):
        compared = banded_system(compared, system, which, samples)
    return compared


def systems_of(compared: Comparison) -> tuple[str, ...]:
    """Return the systems that cars are compared by."""
    return tuple(dict.fromkeys(row.system for row in compared.rows))


def banded_system(
    compared: Comparison,
    system: str,
    which: Which,
    samples: int = SAMPLES,
    pause: Pause = go_on,
) -> Comparison:
    """Return cars with the bands of some of one system's figures; other rows as they were.

    `samples` of 0 leaves out what must be sampled.
    """
    result_keys = {
        row.result.key
        for row in compared.rows
        if row.system == system and _has_band(row.result) and which(row)
    }
    if not result_keys:
        return compared
    knowledge = [_known(column, system, result_keys, samples, pause) for column in compared.columns]
    rows = (
        _banded_row(row, knowledge, compared)
        if row.system == system and row.result.key in result_keys
        else row
        for row in compared.rows
    )
    return replace(compared, rows=tuple(rows))


def told_by(compared: Comparison, rows: Sequence[TellingRow]) -> Comparison:
    """Return cars with bands, and the best by them, that were worked out elsewhere."""
    banded_rows = (
        replace(
            row,
            cells=tuple(replace(c, withins=w) for c, w in zip(row.cells, withins, strict=True)),
            best=best,
        )
        for row, (withins, best) in zip(compared.rows, rows, strict=True)
    )
    return replace(compared, rows=tuple(banded_rows))


def telling(compared: Comparison) -> tuple[TellingRow, ...]:
    """Return what bands add to each row."""
    return tuple((tuple(cell.withins for cell in row.cells), row.best) for row in compared.rows)


def has_bands(compared: Comparison) -> bool:
    """Tell whether any figure of a comparison has its band."""
    return any(cell.withins != (None, None) for row in compared.rows for cell in row.cells)


def studies_of(compared: Comparison, place: int) -> tuple[Study[Any], ...]:
    """Return a column's studies with the bands of its figures at rest, for what is said of it."""
    return tuple(_with_bands(compared, place, study) for study in compared.columns[place].studies)


def _with_bands(compared: Comparison, place: int, study: Study[Any]) -> Study[Any]:
    is_of_this_car = study.setup.evidence == compared.setup.evidence
    found = _rest_of(compared, 0, study.system.key) if is_of_this_car else {}
    built = _rest_of(compared, place, study.system.key)
    if not built:
        return study
    cars: dict[CarOf, CarBands] = {
        "found": CarBands(found),
        "built": CarBands(built),
        "moves": CarBands(),
    }
    return replace(study, bands=StudyBands(cars))


def _rest_of(compared: Comparison, place: int, system: str) -> dict[str, Array]:
    """Return how far each figure of a column may be off at rest, a number a wheel."""
    cells = {row.result.key: row.cells[place] for row in compared.rows if row.system == system}
    return {
        key: np.array([cell.withins[0], cell.of_side(1)[1]], dtype=float)
        for key, cell in cells.items()
        if cell.withins[0] is not None
    }


def _has_band(result: Result) -> bool:
    return result.group != JOINTS and not is_clearance(result.key)


def _known(
    column: Column, system: str, keys: Collection[str], samples: int, pause: Pause
) -> _Known | None:
    study = column.study(system)
    if study is None:
        return None
    bands = bands_of(study, _REST, keys, samples, pause)
    return None if bands is None else _Known(bands, column.is_found)


@quietly
def _banded_row(
    row: CompareRow, known: Sequence[_Known | None], compared: Comparison
) -> CompareRow:
    result = row.result
    if all(one is None or one.band(result) is None for one in known):
        return row
    cells = tuple(
        _banded_cell(cell, one, result) for cell, one in zip(row.cells, known, strict=True)
    )
    unsure = _differences(known, result)
    best = best_of(result, row.limit, cells, compared.setup.units, unsure)
    return replace(row, cells=cells, best=best)


def _banded_cell(cell: Cell, known: _Known | None, result: Result) -> Cell:
    band = None if known is None or cell.value is None else known.band(result)
    if band is None:
        return cell
    return replace(cell, withins=(float(band[0]), float(band[-1])))


def _differences(known: Sequence[_Known | None], result: Result) -> Callable[[int, int], float]:
    """Return what tells how far the difference of two columns may be off, of the worse wheel."""

    def unsure(one: int, other: int) -> float:
        pair = [each for each in (known[one], known[other]) if each is not None]
        sizes = list(_sizes(pair, result)) if len(pair) == 2 else []
        return max((size for size in sizes if np.isfinite(size)), default=0.0)

    return unsure


def _sizes(pair: Sequence[_Known], result: Result) -> Iterator[float]:
    first, second = pair
    swings = [each.moved(result.key) for each in pair]
    is_one_car = _readings(first) == _readings(second)
    if swings[0] is not None and swings[1] is not None and is_one_car:
        step = swings[0] - swings[1]
        if result.key in first.bands.slopes.built or result.key in first.bands.slopes.found:
            yield from _at_rest(expanded(step, first.bands.known.factor), result)
        else:
            yield from _at_rest(spread_of(step).within, result)
        return
    bands = [each.band(result) for each in (first, second)]
    if bands[0] is not None and bands[1] is not None:
        yield from np.hypot(bands[0], bands[1])


def _readings(known: _Known) -> tuple[object, ...]:
    """Return all that was read of a car, and how well."""
    return known.bands.study.setup.readings, known.bands.known.parameters


def _at_rest(array: Array, result: Result) -> Array:
    """Return an array at its first pose, a number a wheel."""
    return np.atleast_1d(array if result.scope == "car" else array[..., 0])

"""Sets of changes side by side, each car as it will stand, the car as found first.

What is best in a row is said only where it is plain which way is better: away from a limit that has
one end, or less of what nobody wants more of (stress, joint swing, bump steer).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from math import isfinite
from typing import Any, Final

from app.document.model import Limit, Setup, Units
from app.document.plans import Together
from app.document.units import NO_VALUE
from app.judge.balance import Balance, balances
from app.systems.answers import CarAnswers, Study
from app.systems.clearance.clearances import nearer, of_one_car
from app.systems.clearance.results import clearance_result, is_clearance, limit_of, own_clearances
from app.systems.every import given_systems
from app.systems.limits import LimitCheck, limit_checks, readings
from app.systems.sentences import stop_texts
from app.systems.study_results import value_of
from app.words.bands import banded_number, within_number
from app.words.errors import geometry_words
from app.words.results import is_zero, result_number
from geometry.catalogue.front import JOINTS, Result
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

AS_FOUND: Final = "As found"
BEST: Final = "*"
PAST: Final = "!"
LESS: Final = (  # is better, whatever else is wanted (common practice, no source)
    "bump_steer_range",
    "stress_ride",
    "stress_bump",
    "wind_up_full",
    "lift_full",
    "thrust_angle",
    "wheelbase_difference",
    "pinion_joint_angle_full",
    "gearbox_joint_angle_full",
)
MORE: Final = (  # likewise
    "stress_margin",
    "hop_damping",
    "tramp_damping",
    "wind_up_damping",
    "coil_bind_travel",
    "damper_bump_travel",
    "damper_droop_travel",
    "damper_bump_roll",
    "damper_droop_roll",
)


class CompareError(ValueError):
    """A comparison that can't be made, with the reason in the user's words."""


@dataclass(frozen=True)
class Column:
    """One car: its name, the changes that make it, and its studies, front first.

    `studies` is empty and `refusal` says why where it can't be built; `doubt` says why its figures
    are of no real part, or why it can't be as proposed. As found, each study's measured car is
    meant, otherwise the proposed one.
    """

    name: str
    changes: tuple[str, ...]
    studies: tuple[Study[Any], ...]
    is_found: bool = False
    refusal: str = ""
    doubt: str = ""

    def study(self, system: str) -> Study[Any] | None:
        """Return the study of a system, None where the car hasn't it or can't be built."""
        return next((each for each in self.studies if each.system.key == system), None)

    def car(self, system: str) -> CarAnswers | None:
        """Return the answers of a system of this car."""
        study = self.study(system)
        if study is None:
            return None
        car: CarAnswers = study.measured if self.is_found else study.proposed
        return car

    def stands(self, system: str) -> float | None:
        """Return how far the wheels rise into the body from the measured height [mm]."""
        study = self.study(system)
        return None if study is None else 0.0 if self.is_found else study.stands

    @property
    def balance(self) -> Balance | None:
        """The car in a corner, None where that isn't known."""
        return balances(self.studies).get("measured" if self.is_found else "proposed")


@dataclass(frozen=True)
class Cell:
    """A result of one car: of the left wheel, of the right one where it differs, its limit kept.

    `withins` say how far each may be off, k = 2; NaN where it may be anywhere, through infinity,
    None where that isn't known.
    """

    value: float | None
    right: float | None = None
    is_kept: bool | None = None
    withins: tuple[float | None, float | None] = (None, None)

    def of_side(self, side: int) -> tuple[float | None, float | None]:
        """Return the figure of a wheel, 0 left, and how far it may be off."""
        if side and self.right is not None:
            return self.right, self.withins[1]
        return self.value, self.withins[0]

    def text(self, result: Result, units: Units, side: int = 0, decimal: str = ".") -> str:
        """Return a wheel's figure with the digits that its band leaves it."""
        value, within = self.of_side(side)
        if within is None:
            return result_number(value, result, units, decimal=decimal)
        if not isfinite(within):
            return NO_VALUE
        return banded_number(value, within, result, units, decimal=decimal)

    def band_text(self, result: Result, units: Units, side: int = 0, decimal: str = ".") -> str:
        """Return how far a wheel's figure may be off: "±0.05"; empty where it isn't known."""
        return within_number(self.of_side(side)[1], result, units, decimal=decimal)


@dataclass(frozen=True)
class CompareRow:
    """A result of all cars, with the numbers of the columns that are best."""

    system: str
    result: Result
    limit: Limit | None
    cells: tuple[Cell, ...]
    best: tuple[int, ...]

    @property
    def is_first(self) -> bool:
        """Whether it is among what is asked first."""
        return self.limit is not None or self.result.asked is not None or self.result.first


@dataclass(frozen=True)
class Comparison:
    """Cars side by side: their columns, and a row a result."""

    setup: Setup
    columns: tuple[Column, ...]
    rows: tuple[CompareRow, ...]


def comparison(
    setup: Setup, sets: Sequence[Sequence[str]], others: Sequence[Setup] = ()
) -> Comparison:
    """Return the car as found, with each set of changes, and other cars, side by side.

    A set is changes by their names; no set at all means the proposals that the setup itself names,
    or else each change alone. Of another setup the car as found is shown, and as built where
    changes are on. The first setup's limits count for all.

    Raises
    ------
    CompareError
        There is no change of that name, or nothing to compare.
    GeometryError
        The car as found can't be built.
    """
    chosen = [Together(" + ".join(names), tuple(names)) for names in sets] or proposals(setup)
    columns = [_found(setup, AS_FOUND)]
    columns += [_built(_with(setup, each.changes), each.name, each.changes) for each in chosen]
    columns += [column for other in others for column in _other(setup, other)]
    if len(columns) == 1:
        raise CompareError("There is nothing to compare: the car has no changes.")
    return Comparison(setup, tuple(columns), tuple(_rows(setup, columns)))


def proposals(setup: Setup) -> list[Together]:
    """Return what a setup proposes: what it names itself, or else each change alone."""
    named = list(setup.together)
    return named or [Together(change.name, (change.name,)) for change in setup.changes]


def _with(setup: Setup, names: Sequence[str]) -> Setup:
    known = [change.name for change in setup.changes]
    for name in names:
        if name not in known:
            raise CompareError(
                f"There is no change “{name}”. There are: {'; '.join(known) or 'none'}."
            )
    changes = tuple(replace(each, on=each.name in names) for each in setup.changes)
    return setup.having(changes=changes)


def _found(setup: Setup, name: str) -> Column:
    as_found = setup.having(changes=())
    return Column(name, (), _studies(as_found), is_found=True)


def _built(setup: Setup, name: str, changes: Sequence[str]) -> Column:
    try:
        studies = _studies(setup)
    except GeometryError as error:
        why = geometry_words(error, setup.units, evidence=setup.evidence)
        return Column(name, tuple(changes), (), refusal=f"It can't be built: {why}")
    doubts = filter(None, (_doubt(study) for study in studies))
    return Column(name, tuple(changes), studies, doubt=" ".join(doubts))


def _doubt(study: Study[Any]) -> str:
    """Return why the figures of a car as built aren't of one that can be, empty where they are."""
    return study.system.unreal(study, ".") or " ".join(stop_texts(study))


@lru_cache(maxsize=16)
def _studies(setup: Setup) -> tuple[Study[Any], ...]:
    """Return the studies of a car, kept by value: one proposal is changed while others stay."""
    return tuple(system.study(setup) for system in given_systems(setup))


def _other(setup: Setup, other: Setup) -> Iterator[Column]:
    setup_shown = other.having(limits=setup.limits, units=setup.units)
    title = other.title or "The other car"
    yield _found(setup_shown, f"{title}, as found")
    on = tuple(change.name for change in other.changes if change.on)
    if on:
        yield _built(setup_shown, f"{title}, as built", on)


def _rows(setup: Setup, columns: Sequence[Column]) -> Iterator[CompareRow]:
    systems = {study.system.key for column in columns for study in column.studies}
    for system in (each.key for each in given_systems(setup) if each.key in systems):
        checks = [_checks(column, system) for column in columns]
        for result in _results(columns, system):
            cells = tuple(
                _cell(column, system, result, check.get(result.identity))
                for column, check in zip(columns, checks, strict=True)
            )
            if all(cell.value is None for cell in cells):
                continue
            limit = setup.limits.get(f"{system}.{result.key}")
            yield CompareRow(
                system, result, limit, cells, best_of(result, limit, cells, setup.units)
            )
        yield from _clearances(setup, columns, system)


def _clearances(setup: Setup, columns: Sequence[Column], system: str) -> Iterator[CompareRow]:
    """Yield a row a clearance of the first setup; another car is asked for the same pair."""
    told = [_gaps(column, system) for column in columns]
    for clearance in own_clearances(setup, system):
        result, limit = clearance_result(clearance), limit_of(clearance)
        gaps = [gaps.get(frozenset(clearance.between)) for gaps in told]
        cells = tuple(
            Cell(gap, None, None if limit is None or gap is None else limit.allows(gap))
            for gap in gaps
        )
        if any(gap is not None for gap in gaps):
            yield CompareRow(
                system, result, limit, cells, best_of(result, limit, cells, setup.units)
            )


def _gaps(column: Column, system: str) -> dict[frozenset[str], float]:
    """Return how near each pair of a car comes in the nearest of all poses, on the nearer side."""
    study = column.study(system)
    clearances = () if study is None else own_clearances(study.setup, system)
    if study is None or not clearances:
        return {}
    readings = map(nearer, of_one_car(study, "found" if column.is_found else "built"))
    both = zip(clearances, readings, strict=True)
    return {frozenset(each.between): one.gap for each, one in both if one is not None}


def _results(columns: Sequence[Column], system: str) -> tuple[Result, ...]:
    """Return the results that any of the cars has, group by group."""
    by_identity: dict[str, Result] = {}
    for car in filter(None, (column.car(system) for column in columns)):
        for result in car.results:
            by_identity.setdefault(result.identity, result)
    groups = list(dict.fromkeys(result.group for result in by_identity.values()))
    return tuple(sorted(by_identity.values(), key=lambda result: groups.index(result.group)))


def _checks(column: Column, system: str) -> dict[str, LimitCheck]:
    study = column.study(system)
    checks: Iterable[LimitCheck] = () if study is None else limit_checks(study)
    return {check.result.identity: check for check in checks}


def _cell(column: Column, system: str, result: Result, check: LimitCheck | None) -> Cell:
    car = column.car(system)
    if car is None:
        return Cell(None)
    if result.group == JOINTS:
        largest = max((reading.value for reading in readings(car, result)), default=None)
        if check is None or largest is None:
            return Cell(largest)
        return Cell(largest, None, check.limit.allows(largest))
    left = value_of(car, result)
    right = value_of(car, result, 1) if result.scope == "wheel" else None
    is_kept = None
    if check is not None:
        is_kept = check.held_before if column.is_found else check.held
    return Cell(left, None if right == left else right, is_kept)


def best_of(
    result: Result,
    limit: Limit | None,
    cells: Sequence[Cell],
    units: Units,
    unsure: Callable[[int, int], float] = lambda one, other: 0.0,
) -> tuple[int, ...]:
    """Return the columns that are best; none where nothing says which way is better.

    Cars that the digits shown don't tell apart are equally good, and so are those that differ by no
    more than the difference of two columns may be off, which `unsure` tells. None is best that is
    no better than one that isn't.
    """
    marks = [_mark(result, limit, cell) for cell in cells]
    marks_set = [mark for mark in marks if mark is not None]
    if len(marks_set) < 2:
        return ()
    top = max(marks_set)
    first = marks.index(top)

    def is_behind(place: int) -> bool:
        mark = marks[place]
        assert mark is not None
        texts = {_texts(cells[each], result, units) for each in (first, place)}
        is_seen = len(texts) > 1 and not is_zero(top - mark, result, units)
        return is_seen and top - mark > unsure(first, place)

    places = [(place, mark) for place, mark in enumerate(marks) if mark is not None]
    behind = max((mark for place, mark in places if is_behind(place)), default=None)
    return () if behind is None else tuple(place for place, mark in places if mark > behind)


def _texts(cell: Cell, result: Result, units: Units) -> tuple[str, str]:
    return cell.text(result, units), cell.text(result, units, 1)


def _mark(result: Result, limit: Limit | None, cell: Cell) -> float | None:
    """Return how good a cell is, more being better; of both wheels, the worse one."""
    values = [value for value in (cell.value, cell.right) if value is not None]
    is_anywhere = any(within is not None and not isfinite(within) for within in cell.withins)
    if not values or is_anywhere:
        return None
    if limit is not None:
        if limit.minimum is not None and limit.maximum is not None:
            return None
        return -max(values) if limit.minimum is None else min(values)
    if result.key in LESS or result.group == JOINTS:
        return -max(map(abs, values))
    return min(values) if result.key in MORE or is_clearance(result.key) else None

"""Sets of changes side by side are the cars that the report tells, each alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.document.clearances import Clearance
from app.document.model import Limit
from app.document.plans import Together
from app.judge.compare import Cell, CompareError, best_of, comparison
from app.systems.clearance.clearances import clearances
from app.systems.clearance.results import clearance_result, is_clearance
from app.systems.every import given_systems
from app.systems.study_results import value_of
from tests.helpers.entering import sample
from tests.systems.clearance.test_clearances import saloon

pytestmark = pytest.mark.gui

LOWER = "Upper pivots 22 mm lower"
HIGHER = "Outer tie rod ends 2 mm higher"
SAMPLES = ("small_saloon", "torsion_coupe", "hillclimb_special", "inch_sedan")


@pytest.mark.parametrize("name", SAMPLES)
def test_each_column_is_the_car_that_its_own_study_tells(name: str) -> None:
    """Each column against a study of a setup in which exactly its changes are on."""
    setup = sample(name).having(together=())
    compared = comparison(setup, ())
    assert [column.changes for column in compared.columns[1:]] == [
        (change.name,) for change in setup.changes
    ]
    for place, column in enumerate(compared.columns):
        alone = setup.having(
            changes=tuple(replace(c, on=c.name in column.changes) for c in setup.changes)
        )
        if not column.studies:
            assert column.refusal
            continue
        for system in given_systems(setup):
            car = system.study(alone).proposed
            rows = [row for row in compared.rows if row.system == system.key]
            checked = [row for row in rows if row.result.group != "Joints"]
            assert checked
            for row in checked:
                assert row.cells[place].value == value_of(car, row.result), row.result.key


def test_a_set_does_its_changes_together_whatever_is_on_in_the_file() -> None:
    setup = sample("small_saloon")
    compared = comparison(setup, [(LOWER, HIGHER), (HIGHER,)])
    bump = next(row for row in compared.rows if row.result.key == "bump_steer_range")
    values = [cell.value for cell in bump.cells]
    assert len(values) == 3
    assert len({round(value, 9) for value in values}) == 3
    assert compared.columns[1].name == f"{LOWER} + {HIGHER}"
    assert compared.columns[1].stands("front") == pytest.approx(23.6, abs=1.0)
    assert compared.columns[0].stands("front") == 0.0


def test_proposals_that_the_file_names_are_the_columns() -> None:
    setup = sample("small_saloon").having(together=(Together("Both", (LOWER, HIGHER)),))
    columns = comparison(setup, ()).columns
    assert [(c.name, c.changes) for c in columns] == [("As found", ()), ("Both", (LOWER, HIGHER))]


def test_best_goes_away_from_a_limit_with_one_end_and_is_silent_elsewhere() -> None:
    setup = sample("small_saloon")
    compared = comparison(setup, [(LOWER,), (LOWER, HIGHER)])
    rows = {(row.system, row.result.key): row for row in compared.rows}
    bump = rows["front", "bump_steer_range"]
    least = min(range(3), key=lambda place: bump.cells[place].value)
    assert bump.best == (least,)
    assert rows["front", "camber"].best == ()  # a limit with two ends
    assert rows["front", "anti_dive"].best == ()  # nobody says which way is better
    assert rows["rear", "stress_bump"].best == ()  # all three alike


def test_no_car_is_best_by_more_than_the_digits_show() -> None:
    """1.16 and 1.24 mm are both told as 1.2; 1.249 and 1.251 are apart by rounding alone."""
    result = clearance_result(Clearance("front", ("tyre", "rail")))

    def told(*gaps: float) -> tuple[int, ...]:
        return best_of(result, Limit(maximum=3.0), [Cell(gap) for gap in gaps], "mm")

    assert told(1.16, 1.24) == ()
    assert told(1.16, 1.24, 1.4) == (0, 1)
    assert told(1.16, 1.4) == (0,)
    assert told(1.249, 1.251) == ()


def test_clearances_are_rows_of_each_car_with_the_first_ones_limits() -> None:
    """Each cell against the study of that car alone; another car is asked for the same pair."""
    setup = saloon()
    other = setup.having(clearances=(replace(setup.clearances[1], at_least=None),), changes=())
    compared = comparison(setup, [(LOWER,)], [other])
    rows = [row for row in compared.rows if is_clearance(row.result.key)]
    assert len(rows) == len(setup.clearances)
    for system in given_systems(setup):
        changes = tuple(replace(c, on=c.name == LOWER) for c in setup.changes)
        checks = clearances(system.study(setup.having(changes=changes)))
        own = [row for row in rows if row.system == system.key]
        for row, check in zip(own, checks, strict=True):
            found, built, third = row.cells
            assert (found.value, built.value) == (check.found.gap, check.built.gap)
            assert (found.is_kept, built.is_kept) == (check.held_before, check.held)
            is_told = check.clearance.between == setup.clearances[1].between
            assert third.value == (pytest.approx(found.value, abs=1e-3) if is_told else None)
            assert third.is_kept == (found.is_kept if is_told else None)
            gaps = {cell.value for cell in row.cells[:2]}
            assert len(gaps) == 1 or row.best == (
                (0, 2)[: 1 + is_told] if found.value > built.value else (1,)
            )


def test_a_limit_that_is_not_kept_is_told_of_its_column() -> None:
    setup = sample("small_saloon")
    limits = {**setup.limits, "front.camber": Limit(0.0 + 0.005, None)}
    compared = comparison(setup.having(limits=limits), [(LOWER,), (LOWER, HIGHER)])
    row = next(row for row in compared.rows if row.result.key == "camber")
    for cell in row.cells:
        assert cell.is_kept is (cell.value >= 0.005)
    assert {cell.is_kept for cell in row.cells} == {True, False}


def test_another_car_stands_beside_it_in_the_first_ones_units_and_limits() -> None:
    setup, other = sample("small_saloon"), sample("inch_sedan")
    compared = comparison(setup, [(LOWER,)], [other])
    names = [column.name for column in compared.columns]
    assert names[2] == f"{other.title}, as found"
    assert names[3] == f"{other.title}, as built"
    found = next(s for s in given_systems(other) if s.key == "front").study(
        other.having(changes=())
    )
    row = next(row for row in compared.rows if row.result.key == "caster")
    assert row.cells[2].value == value_of(found.measured, row.result)
    assert compared.columns[2].studies[0].setup.units == "mm"


def test_what_cannot_be_built_says_why_and_takes_nothing_else_away() -> None:
    setup = sample("small_saloon")
    far = replace(setup.changes[0], moves={"front.upper_rear": (0.0, -900.0, 0.0)}, name="Far")
    compared = comparison(setup.having(changes=(*setup.changes, far)), [("Far",), (LOWER,)])
    assert compared.columns[1].refusal.startswith("It can't be built: ")
    row = next(row for row in compared.rows if row.result.key == "caster")
    assert row.cells[1].value is None
    assert row.cells[2].value is not None


def test_a_stretched_arm_is_told_of_its_column() -> None:
    setup = sample("small_saloon")
    off = replace(setup.changes[0], moves={"front.upper_rear": (-20.0, 0.0, 0.0)}, name="Off")
    compared = comparison(setup.having(changes=(off,), together=()), ())
    assert "of no real part" in compared.columns[1].doubt


def test_a_name_that_is_not_there_lists_those_that_are() -> None:
    with pytest.raises(CompareError, match=r"no change “Lower”\. There are: Upper pivots 22 mm"):
        comparison(sample("small_saloon"), [("Lower",)])
    bare = sample("small_saloon").having(changes=(), together=())
    with pytest.raises(CompareError, match="nothing to compare"):
        comparison(bare, ())

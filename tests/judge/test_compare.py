"""Sets of changes side by side are the cars that the report tells, each alone."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest

from app.document.clearances import Clearance
from app.document.model import FrozenMap, Limit, Setup
from app.document.plans import Together
from app.judge.bands import bands_of
from app.judge.cars import Asked
from app.judge.compare import Cell, CompareError, best_of, comparison
from app.judge.compare_bands import banded, has_bands, told_by
from app.judge.compare_worker import CompareJob, CompareReply, answer
from app.judge.known_comparison import remember
from app.shop.proposals import compared_setup, proposal_page
from app.systems.clearance.clearances import clearances
from app.systems.clearance.results import clearance_result, is_clearance
from app.systems.every import given_systems
from app.systems.study_results import value_of
from app.words.bands import banded_number, within_number
from tests.helpers.entering import sample
from tests.helpers.long_cases import typical_of
from tests.systems.clearance.test_clearances import saloon

pytestmark = pytest.mark.gui

LOWER = "Upper pivots 22 mm lower"
HIGHER = "Outer tie rod ends 2 mm higher"
SAMPLES = ("small_saloon", "torsion_coupe", "hillclimb_special", "inch_sedan")
TYPICAL = ("small_saloon", "hillclimb_special")


@pytest.mark.parametrize("name", typical_of(SAMPLES, TYPICAL))
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


def test_one_car_is_told_apart_by_what_the_readings_shift_alike_and_another_car_is_not() -> None:
    """Lower by 22 and by 21 mm: both bands are wider than the step, which is known far better."""
    setup = without_rear(sample("small_saloon"))
    (lower,) = (change for change in setup.changes if change.name == LOWER)
    moves = {key: (x, y, z + 1.0) for key, (x, y, z) in lower.moves.items()}
    nearly = replace(lower, name="21", moves=FrozenMap(moves))
    limits = FrozenMap({"front.camber_gain": Limit(maximum=1.0, kind="angle per length")})
    setup = setup.having(changes=(lower, nearly), limits=limits, together=())
    compared = banded(comparison(setup, [(LOWER,), ("21",)]), samples=0)
    (row,) = (row for row in compared.rows if row.result.key == "camber_gain")
    bands = bands_of(compared.columns[1].studies[0], Asked("travel", np.array([0.0])), samples=0)
    assert row.cells[1].withins[0] == pytest.approx(bands.built["camber_gain"].within[0, 0])
    step = row.cells[2].value - row.cells[1].value
    assert 0.0 < step < row.cells[1].withins[0]
    assert row.best == (1,)
    other = setup.having(
        changes=(replace(nearly, on=True),),
        evidence=FrozenMap({**setup.readings, "sheet.customer": "Another"}),
    )
    beside = banded(comparison(setup, [(LOWER,)], [other]), samples=0)
    (row,) = (row for row in beside.rows if row.result.key == "camber_gain")
    assert row.best == (1, 3)  # of another car nobody knows which one gains more


def test_what_bands_add_goes_over_a_pipe_and_comes_to_the_owners_page() -> None:
    """The nearest thing to the process beside: its answers, told by the figures of this one."""
    setup = without_rear(sample("small_saloon"))
    setup = setup.having(title="Told by a pipe", together=setup.together[:1])
    whole = compared_setup(setup)
    replies: list[CompareReply] = []

    def send(reply: CompareReply) -> None:
        replies.append(pickle.loads(pickle.dumps(reply)))

    answer(CompareJob(7, whole), send, samples=40)
    assert [(reply.number, reply.is_last) for reply in replies] == [(7, False)] * 3 + [(7, True)]
    plain = proposal_page(setup)
    told = told_by(comparison(whole, ()), replies[2].rows)
    assert has_bands(told)
    remember(told)
    page = proposal_page(setup)
    assert (plain.has_bands, page.has_bands) == (False, True)
    (row,) = (each for each in page.rows if each.title.startswith("Roll centre height"))
    (cell_row,) = (each for each in told.rows if each.result.key == "roll_centre_height")
    for figure, cell in zip(row.figures, cell_row.cells, strict=True):
        number, _, band = figure.text.partition(" ")
        within = within_number(cell.withins[0], cell_row.result, "mm")
        assert band == within
        assert number == banded_number(cell.value, cell.withins[0], cell_row.result, "mm")


def without_rear(setup: Setup) -> Setup:
    """Return a car of which the front alone is measured, so that its bands are soon there."""
    readings = {k: v for k, v in setup.readings.items() if not k.startswith("rear.")}
    changes = tuple(
        change
        for change in setup.changes
        if not any(key.startswith("rear.") for key in (*change.moves, *change.sets))
    )
    limits = {k: v for k, v in setup.limits.items() if not k.startswith("rear.")}
    return setup.having(evidence=FrozenMap(readings), changes=changes, limits=FrozenMap(limits))

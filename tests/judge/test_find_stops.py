"""What keeps wants from being met where no bound and no limit does, on straight-line conditions."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from app.document.plans import Room, Want
from app.judge.answer_table import answer_table
from app.judge.clearing import End
from app.judge.find import find
from app.judge.found import Stop
from app.judge.prices import Pricing
from geometry.seeking import Problem, seek
from tests.helpers.sought import saloon

pytestmark = pytest.mark.gui


def ended(slopes: Any, aims: Any, bend: float = 0.0) -> tuple[End, Pricing]:
    lines, wanted = np.array(slopes, dtype=float), np.array(aims, dtype=float)
    count, wide = lines.shape
    problem = Problem(
        np.full(wide, -1.0),
        np.full(wide, 1.0),
        np.ones(wide),
        wanted,
        wanted,
        np.ones(count),
        np.zeros(count, dtype=bool),
        lambda places: places @ lines.T - bend * (places[:, :1] - 0.3) ** 2,
    )
    names = tuple(f"front.{n}" for n in range(count))
    found = seek(problem, np.full(wide, 0.1))
    assert found is not None
    conditions = [SimpleNamespace(name=name) for name in names]
    pricing = Pricing(saloon(), conditions, (), lambda: True)  # type: ignore[arg-type]
    return End(found, problem, names), pricing


def test_wants_that_pull_against_each_other_are_named() -> None:
    end, pricing = ended([[20.0, 0.0], [20.0, 0.0], [0.0, 9.0]], [8.0, -8.0, 3.0])
    assert pricing.stop(end, False, False) == Stop("wants", ("front.0", "front.1"))


def test_steps_are_named_where_all_can_be_had_between_them() -> None:
    end, pricing = ended([[20.0, 0.0]], [8.0])
    assert pricing.stop(end, False, True) == Stop("steps")


def test_what_nothing_moves_is_named_beside_a_bound() -> None:
    end, pricing = ended([[0.0], [2.0]], [5.0, 9.0])
    assert pricing.stop(end, True, False) == Stop("nothing moves it", ("front.0",))


def test_a_result_that_turns_back_is_told_from_one_that_nothing_moves() -> None:
    end, pricing = ended([[0.0]], [5.0], bend=50.0)
    assert pricing.stop(end, False, False) == Stop("turn", ("front.0",))


def test_a_much_smaller_move_that_counts_as_met_is_offered_beside_the_best() -> None:
    """A block for the last hair of a ride rate: standing still is as near as counts."""
    want = Want("rear.ride_rate", 15.41, kind="spring rate")
    setup = saloon(wants=(want,), rooms={"rear.block": Room(span=(0.0, 20.0))})
    search = find(setup)
    assert search is not None
    assert search.answer.moves[0] > 1.0
    (other,) = search.others
    assert other.is_enough
    assert other.is_met
    assert other.moves == (0.0,)
    rows = {row.head: row.cells[-1].text for row in answer_table(setup, search, "mm", ".").rows}
    assert rows["What moves"] == "Nothing need move"
    assert "near enough to count as met" in rows["Size of the move"]

"""Every place that tells of a leaf's stress tells the same, and a dash where it isn't known."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from app.cli.rear_tables import leaf_lines
from app.systems.rear.pack_whatif import pack_state
from app.systems.rear.shop.leaves import stress_rows
from geometry.leaf.load import Model
from tests.helpers import expected_tables as expected
from tests.shop.setups import solved

LEAF_CARS = (
    *("small_saloon", "small_saloon, all on", "inch_sedan", "inch_sedan, all on"),
    *("torsion_coupe", "back on leaves", "weighed later", "bare rear"),
)


def cars(name: str) -> list[Any]:
    study = solved(name)["rear"]
    return [car for car in (study.measured, study.proposed) if car.leaf is not None]


@pytest.mark.parametrize("name", LEAF_CARS)
def test_results_pack_editor_sheet_and_report_agree(name: str) -> None:
    for car in cars(name):
        wanted = expected.stress(car)
        lines, rows, state = leaf_lines(car.leaf), stress_rows(car), pack_state(car.leaf)
        assert len(rows) == len(wanted)
        if not wanted:
            assert state.ride is None
            assert state.bump is None
            assert all(line.ride is None and line.bump is None for line in lines)
            assert not {"stress_ride", "stress_bump", "stress_margin"} & car.single.keys()
            continue
        for when in ("ride", "bump"):
            by_model = [getattr(stress, when) for stress in wanted]
            on_sheet, edited = ([getattr(each, when) for each in own] for own in (rows, lines))
            if by_model[0] is None:
                assert on_sheet == edited == by_model
                assert getattr(state, when) is None
                assert f"stress_{when}" not in car.single
            else:
                stresses = [max(both) for both in by_model]
                assert [max(both) for both in on_sheet] == pytest.approx(stresses, rel=1e-9)
                assert edited == pytest.approx(stresses, rel=1e-9)
                assert list(getattr(state, when).worst) == pytest.approx(stresses, rel=1e-9)
                assert car.single[f"stress_{when}"] == pytest.approx(max(stresses), rel=1e-9)


@pytest.mark.parametrize("name", LEAF_CARS)
def test_what_is_left_is_of_the_leaf_that_has_least(name: str) -> None:
    for car in cars(name):
        left = [stress.left for stress in expected.stress(car) if stress.left is not None]
        margin = car.single.get("stress_margin")
        assert (margin is None) == (not left)
        assert margin is None or margin == pytest.approx(100.0 * min(left), rel=1e-9)


def test_where_the_height_is_not_known_only_the_stress_at_ride_is() -> None:
    _, car = cars("weighed later")
    assert car.leaf.settled_travel is None
    state = pack_state(car.leaf)
    assert car.single["stress_ride"] == pytest.approx(
        max(max(stress.ride) for stress in expected.stress(car))
    )
    assert state.static == car.single["static_deflection"]
    assert {row.bump for row in stress_rows(car)} == {None}
    assert {row.left for row in stress_rows(car)} == {None}


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "torsion_coupe"])
def test_leaves_bear_the_load_before_the_shackle_s_lever(name: str) -> None:
    """Virtual work: load on the car over the pack's deflection per mm of travel, by differences."""
    car = cars(name)[0]
    for travel, worst in ((0.0, "stress_ride"), (car.leaf.car.bump, "stress_bump")):
        near = travel + np.array([-0.5, 0.0, 0.5])
        spring = car.leaf.on_car(near, Model.COMMON_CURVATURE)
        lever = spring.deflection[2] - spring.deflection[0]
        stresses = car.leaf.stresses(float(spring.load[1] / lever)).worst
        assert car.single[worst] == pytest.approx(stresses.max(), rel=1e-5)
        assert abs(lever - 1.0) > 0.002  # a lever that would be noticed

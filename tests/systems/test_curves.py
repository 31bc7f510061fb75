"""A study's curves: every sample is the study's number, of the right car and the right wheel."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.units import shown
from app.drawing.axes import Axis
from app.drawing.chart import Chart, Field, Frame, strokes_of
from app.systems.answers import Study
from app.systems.curves import Driver, breaks, curve_chart, curve_of, curves_shown, least_span
from app.systems.every import LIMIT_KINDS
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR
from geometry.catalogue.every import result_of
from geometry.catalogue.front import BY_KEY
from geometry.catalogue.result import CURVES_SHOWN, Result
from tests.helpers.long_cases import typical_of
from tests.helpers.project import SAMPLE_FILES, SAMPLE_FOLDER

NAMES = [path.stem for path in SAMPLE_FILES]
DRIVERS: tuple[Driver, ...] = ("travel", "roll", "steer")
KEPT = [(name, "in" if name in ("inch_sedan", "torsion_coupe") else "mm") for name in NAMES]
SIZES = {  # of a unit as shown, in inside units: definitions, not the program's table
    ("length", "mm"): 1.0,
    ("length", "in"): 25.4,
    ("angle", "mm"): np.pi / 180.0,
    ("angle", "in"): np.pi / 180.0,
    ("spring rate", "mm"): 1.0,
    ("spring rate", "in"): 4.4482216152605 / 25.4,
    ("percent", "mm"): 1.0,
    ("ratio", "in"): 1.0,
}


def both_ends(name: str) -> list[Study | Study[RearAnswers]]:
    setup = read_setup(SAMPLE_FOLDER / f"{name}.toml", limit_kinds=LIMIT_KINDS).setup
    return [FRONT.whole(FRONT.study(setup)), REAR.study(setup)]


@pytest.mark.parametrize(("name", "units"), typical_of(product(NAMES, ("mm", "in")), KEPT))
def test_every_sample_of_every_curve_is_the_studys_number(name: str, units: Any) -> None:
    """Strokes read back through the axes give the numbers of the sweeps."""
    for made in both_ends(name):
        for driver in DRIVERS:
            for result in made.results:
                for side in (0, 1):
                    check_curves(made, driver, result, units, side)


def check_curves(
    made: Study[FrontAnswers] | Study[RearAnswers],
    driver: Driver,
    result: Result,
    units: Any,
    side: int,
) -> None:
    chart = curve_chart(made, driver, result, units, side)
    assert chart.upright == (driver == "travel")
    assert len(chart.series) in (0, 2 if made.changed else 1)
    for series in chart.series:
        car = getattr(made, series.look)
        sweep: Any = getattr(car, driver)
        numbers = sweep.values[result.key]
        row = np.where(sweep.reached, numbers[side] if numbers.ndim == 2 else numbers, np.nan)
        size = SIZES.get((result.kind, units))
        assert size is None or size == pytest.approx(shown(result.kind, units).size)
        there = np.isfinite(series.values)
        assert np.array_equal(there, np.isfinite(row) & (np.abs(row) < 1e15))
        given = series.values[there] * (size or shown(result.kind, units).size)
        assert np.allclose(given, row[there], rtol=1e-12)
        per = 1.0 if driver != "roll" and units == "mm" else 25.4
        per = np.pi / 180.0 if driver == "roll" else per
        assert np.allclose(series.at * per, sweep.at, rtol=1e-12)


def test_strokes_read_back_through_the_axes_are_the_numbers() -> None:
    front, rear = both_ends("small_saloon")
    for made in (front, rear):
        for result in curves_shown(made):
            chart = curve_chart(made, "travel", result, "mm")
            low, high = float(chart.values.min()) - 1.0, float(chart.values.max()) + 1.0
            frame = Frame(Field(0, 0, 100.0, 50.0), Axis(-200, 200), Axis(low, high), upright=True)
            traces = strokes_of(chart, frame).traces
            for series, trace in zip(chart.series, traces, strict=True):
                x, y = np.array(trace.places).T
                assert np.allclose(low + x / 100.0 * (high - low), series.values)
                assert np.allclose(200 - y / 50.0 * 400, series.at)


def test_the_right_wheels_curve_is_the_right_wheels() -> None:
    """In roll the wheels part: the right one does at -roll what the left one does at +roll."""
    front, _ = both_ends("small_saloon")
    for key in ("camber", "toe", "wheel_travel"):
        left, right = (curve_of(front.proposed, "roll", BY_KEY[key], "mm", side) for side in (0, 1))
        assert left is not None
        assert right is not None
        assert np.allclose(right.values, left.values[::-1], atol=1e-6)
        assert not np.allclose(right.values, left.values, atol=1e-2)


def test_a_curve_that_breaks_off_is_marked_at_its_end() -> None:
    reached = np.array([False, True, True, True, False, False])
    assert breaks(reached) == (1, 3)
    assert breaks(np.ones(4, dtype=bool)) == ()


def test_a_result_that_lacks_data_has_no_curve() -> None:
    setup = read_setup(SAMPLE_FOLDER / "small_saloon.toml", limit_kinds=LIMIT_KINDS).setup
    kept = {key: value for key, value in setup.evidence.items() if key != "front.spring.rate"}
    lacking = FRONT.study(setup.having(evidence=kept, changes=()))
    assert curve_chart(lacking, "travel", BY_KEY["wheel_rate"], "mm").series == ()


@pytest.mark.parametrize("name", NAMES)
def test_a_page_begins_with_as_many_curves_as_it_has_room_for(name: str) -> None:
    for made in both_ends(name):
        results = curves_shown(made)
        assert len(results) == CURVES_SHOWN
        assert [each.plotted for each in results] == sorted(each.plotted for each in results)


def test_a_pinion_whose_angle_was_not_measured_is_not_plotted_on_paper() -> None:
    _, rear = both_ends("small_saloon")
    keys = [each.key for each in curves_shown(rear)]
    assert "pinion_angle" in keys
    evidence = rear.setup.evidence
    kept = {key: value for key, value in evidence.items() if key != "rear.axle.pinion_angle"}
    keys = [each.key for each in curves_shown(REAR.study(rear.setup.having(evidence=kept)))]
    assert "pinion_angle" not in keys
    assert "shackle_angle" in keys  # what comes next takes its place


def test_a_least_span_is_the_same_in_both_units() -> None:
    camber, rate = BY_KEY["camber"], BY_KEY["wheel_rate"]
    assert least_span(camber, "mm") == least_span(camber, "in") == pytest.approx(1.0)
    assert least_span(rate, "in") * SIZES["spring rate", "in"] == pytest.approx(
        least_span(rate, "mm")
    )


def test_the_curves_to_begin_with_are_of_the_axle() -> None:
    front, rear = both_ends("hillclimb_special")
    for made in (front, rear):
        assert all(result_of(made.results, each.key) is each for each in curves_shown(made))


def lowered() -> Setup:
    setup = read_setup(SAMPLE_FOLDER / "small_saloon.toml", limit_kinds=LIMIT_KINDS).setup
    cut = Change("Cut", on=True, sets=FrozenMap({"front.spring.free_length": 305.0}))
    return setup.having(changes=(cut,))


@pytest.mark.parametrize("in_body", [False, True])
def test_curves_carry_their_stops_where_each_car_stands(in_body: bool) -> None:
    """As found they are the file's; a car that stands lower has less bump and more rebound."""
    study = FRONT.study(lowered())
    stands = study.proposed.stand.travel
    assert stands > 5.0
    bump, rebound = (study.setup.evidence[f"front.travel.{way}"] for way in ("bump", "rebound"))
    for size, units in ((1.0, "mm"), (25.4, "in")):
        found, built = curve_chart(study, "travel", BY_KEY["camber"], units, in_body=in_body).series
        assert found.stops == pytest.approx((-rebound / size, bump / size))
        less = 0.0 if in_body else stands
        assert built.stops == pytest.approx(((-rebound - less) / size, (bump - less) / size))
        frame = Frame(Field(0.0, 0.0, 100.0, 100.0), Axis(-5.0, 5.0), Axis(-5.0, 5.0), True)
        marks = strokes_of(Chart((built,)), frame).marks
        assert [mark.sign for mark in marks] == ["stop", "stop"]


def test_curves_over_roll_and_of_a_car_without_stops_have_none() -> None:
    study = FRONT.study(lowered())
    assert all(not each.stops for each in curve_chart(study, "roll", BY_KEY["camber"], "mm").series)
    kept = {key: value for key, value in lowered().evidence.items() if ".travel." not in key}
    bare = FRONT.study(lowered().having(evidence=FrozenMap(kept)))
    assert all(
        not each.stops for each in curve_chart(bare, "travel", BY_KEY["camber"], "mm").series
    )

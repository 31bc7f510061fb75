"""Gauges' readings become values with bands and a note; by hand figures and by drawing."""

from __future__ import annotations

from math import atan, degrees, radians

import numpy as np
import pytest

from app.document.as_read import (
    WAYS,
    AsRead,
    bound_error,
    note_of,
    ways_for,
    ways_of,
    with_readings,
    worked,
)
from app.document.entries import EntryError
from app.document.keys import KEYS
from app.document.rewriting import rewritten
from app.systems.front.system import FRONT
from tests.document.examples import COIL
from tests.helpers.entering import sample
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui


def way(title: str) -> AsRead:
    return next(each for each in WAYS if each.title == title)


def test_total_toe_is_halved_and_its_band_is_that_of_drawn_readings() -> None:
    """1371.0 ahead, 1373.5 behind, over 610: 2.5 / 1220 rad a wheel (by hand 0.1174 degrees)."""
    between = way("Toe between the wheels")
    read = {"ahead": 1371.0, "behind": 1373.5, "over": 610.0}
    result = worked(between, read, {"ahead": 1.0, "behind": 1.0, "over": 2.0})
    assert degrees(result.values["front.toe"]) == pytest.approx(0.11741, abs=1e-5)
    drawn = np.random.default_rng(3).normal(size=(100_000, 3)) * [0.5, 0.5, 1.0]
    toes = np.arcsin((2.5 + drawn[:, 1] - drawn[:, 0]) / (2.0 * (610.0 + drawn[:, 2])))
    assert result.within["front.toe"] == pytest.approx(2.0 * toes.std(), rel=0.02)


def test_each_wheel_by_a_beam_and_signs_in_the_trades_sense() -> None:
    """A spot nearer to the centreline is toe-in; a spot lower than the start leans out."""
    toe = way("Toe by a beam to a wall ahead")
    read = {"distance": 4000.0, "left_start": 700.0, "left_spot": 686.0}
    assert degrees(worked(toe, read, {}).values["front.toe"]) == pytest.approx(
        degrees(atan(14 / 4000))
    )
    camber = way("Camber by a beam to a wall beside")
    read = {"distance": 2000.0, "left_start": 305.0, "left_spot": 270.0}
    read |= {"right_start": 305.0, "right_spot": 322.0}
    values = worked(camber, read, {}).values
    assert degrees(values["front.camber"]) == pytest.approx(1.00259, abs=1e-4)  # atan(35/2000)
    assert degrees(values["front.camber_right"]) == pytest.approx(-0.48699, abs=1e-4)
    plumb = way("Camber by a plumb line")
    read = {"over": 380.0, "left_high": 20.0, "left_low": 26.6}
    leans = degrees(worked(plumb, read, {}).values["front.camber"])
    assert leans == pytest.approx(0.9952, abs=1e-4)


def test_four_scales_give_mass_and_share_with_their_bands() -> None:
    scales = {"front_left": 331.0, "front_right": 325.0, "rear_left": 270.0, "rear_right": 274.0}
    weights = way("Weights by wheel")
    result = worked(weights, scales, dict.fromkeys(scales, 2.0))
    assert result.values["car.mass"] == 1200.0
    assert result.values["car.front_share"] == pytest.approx(656 / 1200)
    assert result.within["car.mass"] == pytest.approx(4.0)  # four independent readings of 2
    assert "50.1 % stands on the left wheels" in weights.says(scales, "mm", ".")
    assert "50.4 % on the left front and right rear" in weights.says(scales, "mm", ".")


def test_a_cable_tie_gives_the_dampers_ends() -> None:
    tie = way("Front damper's stroke by cable tie")
    read = {"between": 325.0, "showing": 61.0, "tie": 44.0}
    assert worked(tie, read, {}).values == {"front.damper.closed_length": 264.0}
    whole = worked(tie, {**read, "stroke": 118.0}, {}).values
    assert whole["front.damper.open_length"] == 382.0
    assert tie.says(read, "mm", ".") == (
        "The damper has closed by 44.0 mm of the 61.0 mm that it has, since the tie was set."
    )


def test_a_wheels_travel_by_the_tie_is_the_travel_that_the_kernel_gives_the_rod() -> None:
    """The kernel's own damper at rest, 30 mm up, 60 mm up and 50 mm down stands for the car."""
    car = sample("small_saloon").having(changes=())
    travel = np.array([0.0, 30.0, 60.0, -50.0])
    lengths = FRONT.solve_many([car], ["damper_length"], travel=travel).values["damper_length"]
    rest, up, top, hanging = lengths[0, 0]
    tie = way("Front wheel's travel by cable tie")
    read = {"wheel": 30.0, "moved": rest - up, "showing": rest - top, "out": hanging - rest}
    values = worked(tie, read, {}).values
    assert values["front.travel.bump"] == pytest.approx(60.0, rel=0.03)
    assert values["front.travel.rebound"] == pytest.approx(50.0, rel=0.05)
    within = worked(tie, read, {"wheel": 1.0}).within["front.travel.bump"]
    assert within == pytest.approx(values["front.travel.bump"] / 30.0, rel=1e-3)
    assert tie.says(read, "mm", ".").startswith("The wheel goes 2.31 as far as the damper")
    with pytest.raises(EntryError, match="must be more than 0"):
        worked(tie, {**read, "moved": 0.0}, {})


def test_what_is_missing_and_what_is_of_no_car_is_said() -> None:
    between = way("Toe between the wheels")
    with pytest.raises(EntryError, match="Width behind the axle is missing"):
        worked(between, {"ahead": 1371.0, "over": 610.0}, {})
    with pytest.raises(EntryError, match="can't be of one car"):
        worked(between, {"ahead": 100.0, "behind": 1373.5, "over": 10.0}, {})
    half_right = {"over": 380.0, "left_high": 20.0, "left_low": 26.6, "right_high": 20.0}
    with pytest.raises(EntryError, match="Right wheel: line to rim at the bottom is missing"):
        worked(way("Camber by a plumb line"), half_right, {})
    zero = dict.fromkeys(("front_left", "front_right", "rear_left", "rear_right"), 0.0)
    with pytest.raises(EntryError):
        worked(way("Weights by wheel"), zero, {})


def test_a_value_out_of_the_files_bounds_is_told_before_it_is_taken() -> None:
    tie = way("Front damper's stroke by cable tie")
    result = worked(tie, {"between": 61.0, "showing": 61.0, "tie": 1.0}, {})
    assert bound_error(parse(COIL), result).startswith("Damper, closed length must be")


def test_values_bands_and_note_are_saved() -> None:
    setup = parse(COIL)
    each = way("Toe of each wheel as a length")
    read = {"left": 1.5, "right": 0.5, "over": 600.0}
    result = worked(each, read, {"left": 0.5, "right": 0.5, "over": 1.0})
    after = with_readings(setup, result, note_of(each, read, "mm"))
    again = parse(rewritten(COIL, setup, after))
    assert degrees(again.readings["front.toe"]) == pytest.approx(0.14324, abs=1e-5)
    assert degrees(again.readings["front.toe_right"]) == pytest.approx(0.04775, abs=1e-5)
    assert degrees(again.within["front.toe"]) == pytest.approx(0.04775, abs=1e-4)
    assert again.notes.rstrip().endswith(
        "Toe of each wheel as a length: left wheel: front mark nearer by 1.5 mm, right wheel: "
        "front mark nearer by 0.5 mm, between the front and the rear mark 600.0 mm."
    )


def test_a_right_wheel_as_the_left_one_gets_no_value_of_its_own() -> None:
    setup = parse(COIL)
    result = worked(way("Toe between the wheels"), {"ahead": 1.0, "behind": 2.0, "over": 600.0}, {})
    assert "front.toe_right" not in with_readings(setup, result, "").readings
    unlike = setup.having(evidence=setup.readings.having("front.toe_right", radians(1.0)))
    after = with_readings(unlike, result, "")
    assert after.readings["front.toe_right"] == after.readings["front.toe"]


def test_every_way_gives_values_of_the_file_and_is_offered_for_its_car() -> None:
    for each in WAYS:
        assert set(each.gives) <= set(KEYS)
        assert each in ways_for(each.gives)
    front_only = {each.title for each in ways_of(parse(COIL))}
    assert "Rear damper's stroke by cable tie" not in front_only
    assert "Weights by wheel" in front_only
    assert "Rear damper's stroke by cable tie" in {
        each.title for each in ways_of(sample("small_saloon"))
    }

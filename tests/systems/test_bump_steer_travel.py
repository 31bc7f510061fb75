"""Over which travel bump steer's range is told: the setup's, and never beyond a car's own stops."""

from __future__ import annotations

import numpy as np
import pytest

from app.document.edits import remove_evidence, set_limit
from app.document.files import read_setup
from app.document.model import Change, Limit, Setup, Units
from app.document.samples import sample_paths
from app.systems.every import LIMIT_KINDS
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from app.systems.naming import title_of
from tests.helpers.setup_edits import set_evidence
from tests.helpers.telling import sentences

SETUPS = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
SALOON = SETUPS["small_saloon"]
SOFT = SALOON.having(changes=(Change("Soft", sets={"front.spring.rate": 45.0}),))
KEY = "front.bump_steer_travel"


def range_between(car: FrontAnswers, low: float, high: float) -> float:
    """Return the left wheel's largest less its least toe [rad] in poses close together [mm]."""
    poses = car.sweep_at("travel", np.linspace(low, high, 801).tolist())
    assert poses.reached.all()
    return float(np.ptp(poses.values["toe"][0]))


def said(setup: Setup, units: Units = "mm") -> list[str]:
    told = sentences(FRONT.study(setup.having(units=units)))
    return [sentence.text for sentence in told if sentence.result_key == "bump_steer_range"]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_it_is_over_50_mm_in_either_unit_where_the_setup_says_nothing(units: Units) -> None:
    study = FRONT.study(SALOON.having(units=units, changes=()))
    assert study.measured.window == (-50.0, 50.0)
    toe = range_between(study.measured, -50.0, 50.0)
    assert study.measured.single["bump_steer_range"] == pytest.approx(toe, rel=2e-3)


@pytest.mark.parametrize("travel", [20.0, 50.8, 65.0])
def test_it_is_over_the_travel_that_the_setup_gives(travel: float) -> None:
    study = FRONT.study(set_evidence(SALOON.having(changes=()), KEY, travel))
    toe = range_between(study.measured, -travel, travel)
    assert study.measured.single["bump_steer_range"] == pytest.approx(toe, rel=2e-3)
    assert FRONT.report(study).conditions()["bump_steer_each_way_mm"] == travel


def test_it_ends_at_the_stops_of_each_car() -> None:
    study = FRONT.study(SOFT)
    left = 75.0 - study.proposed.stand.travel  # mm of bump
    assert 0.0 < left < 10.0
    assert study.measured.window == (-50.0, 50.0)
    assert study.proposed.window == pytest.approx((-50.0, left))
    toe = range_between(study.proposed, -50.0, left)
    assert study.proposed.single["bump_steer_range"] == pytest.approx(toe, rel=2e-3)


def test_a_car_whose_stops_are_not_given_has_the_whole_travel() -> None:
    bare = remove_evidence(SOFT, "front.travel.bump")
    assert FRONT.study(bare).proposed.window == (-50.0, 50.0)


def test_a_short_travel_of_the_measured_car_ends_at_its_stops_too() -> None:
    study = FRONT.study(set_evidence(SALOON.having(changes=()), "front.travel.rebound", 40.0))
    toe = range_between(study.measured, -40.0, 50.0)
    assert study.measured.single["bump_steer_range"] == pytest.approx(toe, rel=2e-3)


def test_the_words_say_over_how_much() -> None:
    assert said(SOFT) == [
        "Bump steer over −50 to +6 mm between its stops is 0.21° (was 0.15° over ±50 mm), "
        "inside its limit of 0.25°."
    ]
    lower = Limit(maximum=0.003, kind="angle")
    (text,) = said(set_limit(SOFT, "front.bump_steer_range", lower), "in")
    assert text == (
        "Bump steer over −1.97 to +0.24 in between its stops is 0.21° (was 0.15° over ±50 mm), "
        "past its limit of 0.17°."
    )


def test_titles_and_notes_say_over_how_much() -> None:
    report = FRONT.report(FRONT.study(SOFT))
    (result,) = (each for each in report.results if each.key == "bump_steer_range")
    assert report.titled(result) == "Bump steer, toe range over ±50 mm, or to its stops"
    note = "Bump steer, toe range: over −50 to +6 mm between its stops."
    assert note in list(report.rest_notes("proposed", title_of))
    assert note not in list(report.rest_notes("measured", title_of))
    assert report.conditions()["bump_steer_found_mm"] == [-50.0, 50.0]
    inches = FRONT.report(FRONT.study(SETUPS["inch_sedan"]))
    assert inches.titled(result) == "Bump steer, toe range over ±2 in"

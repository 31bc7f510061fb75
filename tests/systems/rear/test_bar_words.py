"""Traction bars in words: in bump, in roll, at full drive, given in part, bolted on."""

import numpy as np
import pytest

from app.cli.report_text import _made
from app.document.model import Change, FrozenMap
from app.panels.lists.job_words import made_words
from app.shop.jobs import jobs
from app.systems.answers import Pose
from app.systems.naming import title_of
from app.systems.rear.notes import rest_notes
from app.systems.rear.shop.targets import GAP, rear_targets
from app.systems.rear.shop.torque import torque_rows
from app.systems.rear.system import REAR
from app.words.changes import is_bolted_on
from tests.helpers.setup_edits import set_evidence
from tests.helpers.sheets import sample, with_on

SALOON = sample("small_saloon")
BARRED = with_on(SALOON, "Traction")


def said(setup, key):
    sentences = REAR.sentences(REAR.study(setup), ".")
    return [sentence for sentence in sentences if sentence.result_key == key]


def bars_with(**sets):
    """The saloon's bars with other values, None for one that isn't given."""
    (bars,) = (change for change in BARRED.changes if change.on)
    values = dict(bars.sets)
    for name, value in sets.items():
        key = f"rear.traction_bar.{name}"
        values.pop(key, None)
        if value is not None:
            values[key] = value
    return SALOON.having(changes=(Change("Bars", on=True, sets=FrozenMap(values)),))


def test_the_travel_at_which_the_axle_sits_on_its_snubbers_is_told_first():
    text = said(BARRED, "bars_close_travel")[0].text
    assert text.startswith("The axle sits on its snubbers after 12 mm of bump: from there")
    rate = REAR.study(BARRED).proposed.single["bars_wheel_rate"]
    assert f"wheel rate is {rate:.1f} N/mm" in text
    assert said(BARRED, "bars_turn_bump")[0].severity == "watch"
    assert "in roll is 277.9 N/mm" in said(BARRED, "bars_roll_rate")[0].text


def test_bars_whose_gap_outlasts_the_travel_are_not_said_to_touch_in_bump():
    assert said(bars_with(gap=200.0), "bars_close_travel") == []


def test_bars_without_a_gap_touch_where_the_car_stands():
    pressed = bars_with(gap=0.0)
    assert "where the car stands" in said(pressed, "bars_close_travel")[0].text
    assert REAR.study(pressed).proposed.hop.closed is True


def test_lift_at_full_drive_is_told_against_the_same_springs_without_bars():
    car = REAR.study(BARRED).proposed
    plain = REAR.study(SALOON.having(changes=())).proposed
    more = car.single["lift_full"] - plain.single["lift_full"]
    assert abs(car.single["bars_lift_full"] - more) < 1e-9
    text = said(BARRED, "bars_lift_full")[0].text
    assert f"with bars it lifts {more:.0f} mm more" in text


def test_what_bars_given_in_part_lack_is_told():
    for name, words in (("stiffness", "the snubber's rate"), ("gap", "the gap")):
        (sentence,) = said(bars_with(**{name: None}), "bars_close_travel")
        assert sentence.text == f"The traction bars aren't counted: {words} isn't given."


def test_bars_are_new_parts_and_move_none():
    (bars,) = (change for change in BARRED.changes if change.on)
    assert is_bolted_on(bars)
    assert made_words(bars) == "new parts, bolted on" == _made(bars)
    others = [change for change in SALOON.changes if change.name != bars.name]
    assert not any(is_bolted_on(change) for change in others)


@pytest.mark.parametrize("roll", [0.0, 0.003, 0.035])
def test_many_cars_with_bars_are_each_as_it_is_alone(roll):
    keys = ("wheel_rate", "roll_wheel_rate", "pinion_angle", "spring_load")
    travels = (-30.0, 5.0, 20.0, 50.0)
    many = REAR.solve_many([BARRED, BARRED], keys, travel=travels, roll=roll)
    car = REAR.study(BARRED).proposed
    for place, travel in enumerate(travels):
        alone = car.at_pose(Pose(travel=travel, roll=roll)).values
        for key in keys:
            assert many.values[key][1, place] == pytest.approx(float(alone[key][0]), rel=1e-9)


def lowered_onto_its_bars():
    """The saloon found with bars, then lowered by flatter springs: the gap is the measured one."""
    found = {
        "rear.traction_bar.length": 565.0,
        "rear.traction_bar.gap": 10.0,
        "rear.traction_bar.stiffness": 400.0,
    }
    setup = SALOON
    for key, value in found.items():
        setup = set_evidence(setup, key, value)
    lower = Change("Flatter", on=True, sets=FrozenMap({"rear.pack.free_arch": 90.0}))
    return setup.having(changes=(lower,))


def test_a_car_that_rests_on_its_bars_is_told_with_their_gap_set_again():
    """It is the same car as one whose change sets the measured gap where it stands."""
    setup = lowered_onto_its_bars()
    study = REAR.study(setup)
    sentences = list(REAR.sentences(study, "."))
    assert sentences[0].text.startswith("The car rests on its traction bars: where the springs")
    assert "Set their gap again at ride height, to 10 mm" in sentences[0].text
    set_there = Change("Gap", on=True, sets=FrozenMap({"rear.traction_bar.gap": 10.0}))
    again = REAR.study(setup.having(changes=(*setup.changes, set_there))).proposed
    car = study.proposed
    assert car.single == pytest.approx(dict(again.single))
    assert car.stance == again.stance
    for key, value in car.rest.values.items():
        np.testing.assert_allclose(value, again.rest.values[key], err_msg=key)
    assert car.hop.closed is False
    assert car.leaf.pressed > 5.0
    assert again.leaf.pressed == 0.0


def test_a_gap_is_set_again_by_a_job_of_its_own():
    setup = lowered_onto_its_bars()
    study = REAR.study(setup)
    (gap,) = (target for target in rear_targets(study) if target.title == GAP)
    assert (gap.found, gap.wanted) == (("10.0 mm",), ("10.0 mm",))
    assert jobs([study])[-1].title == (
        "Set the gap of both traction bars again, to 10.0 mm at ride height."
    )
    assert not any("traction bars again" in job.title for job in jobs([REAR.study(BARRED)]))


def test_a_pinion_under_torque_turns_from_where_the_springs_alone_hold_it():
    study = REAR.study(lowered_onto_its_bars())
    car = study.proposed
    assert car.pinion_on_springs == pytest.approx(float(car.rest.values["pinion_angle"][0]))
    full = next(row for row in torque_rows(study) if row.name == "Full drive, as built")
    assert full.pinion == pytest.approx(car.pinion_on_springs + full.wind_up)
    open_car = REAR.study(SALOON.having(changes=())).proposed
    assert open_car.pinion_on_springs == pytest.approx(open_car.rest.values["pinion_angle"][0])


def test_a_wheel_rate_is_the_sum_of_its_parts_with_closed_bars_too():
    values = REAR.study(BARRED).proposed.at_pose(Pose(travel=40.0)).values
    parts = [values[f"wheel_rate_{part}"][0] for part in ("pack", "shackle", "bars")]
    assert parts[2] > 5.0
    assert sum(parts) == pytest.approx(values["wheel_rate"][0])


def test_a_car_found_without_bars_is_not_said_to_have_bars_that_never_close():
    notes = " ".join(rest_notes(REAR.study(BARRED), REAR.study(BARRED).measured, title_of))
    assert "which has no traction bars: Wheel rate, the traction bars' part; Traction bars" in notes
    assert "closes them" not in notes

"""Pinion and propshaft: working angles by hand, and a pinion that nobody measured."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import numpy as np
import pytest

from app.document.model import Change, FrozenMap, Setup
from app.shop.results import result_rows
from app.systems.answers import Pose
from app.systems.rear.shop.pinion import pinion_rows
from app.systems.rear.shop.targets import rear_targets
from app.systems.rear.system import REAR
from app.systems.rear.words.sentences import rear_sentences
from tests.helpers.rear_setups import leaf_car, link_car

GEARBOX = (-1000.0, 0.0, 360.0)
WEDGE = Change("w", sets=FrozenMap({"rear.wedge": radians(-3.0)}))


def with_propshaft(*changes: Change) -> Setup:
    return leaf_car(*changes, rear__gearbox_angle=radians(3.0), rear__gearbox_joint=GEARBOX)


def words(setup: Setup) -> str:
    return " ".join(each.text for each in rear_sentences(REAR.study(setup), "."))


def test_joints_at_rest_work_at_what_a_level_and_a_tape_say():
    values = REAR.study(with_propshaft()).measured.rest.values
    shaft = degrees(atan2(360.0 - 300.0, -1000.0 + 2280.0))  # pinion at (-2280, 300)
    assert degrees(values["pinion_to_gearbox"][0]) == pytest.approx(2.0 - 3.0)
    assert degrees(values["pinion_joint_angle"][0]) == pytest.approx(2.0 - shaft)
    assert degrees(values["gearbox_joint_angle"][0]) == pytest.approx(3.0 - shaft)


def test_wound_up_the_joint_goes_round_the_axle():
    car = REAR.study(with_propshaft()).measured
    wound, turn = car.single["wind_up_full"], float(car.rest.values["pinion_turn"][0])
    assert turn == pytest.approx(0.0, abs=1e-9)
    # The axle turns about the seat, 55 below the wheel centre, and the body lifts from it; the
    # joint is 280 ahead of the wheel centre at (-2560, 305) and 5 below it.
    rise = -car.single["lift_full"]
    assert rise < -1.0
    x = -2560.0 + 280.0 * cos(wound) - (55.0 - 5.0) * sin(wound)
    z = 305.0 - 55.0 + rise + 280.0 * sin(wound) + (55.0 - 5.0) * cos(wound)
    shaft = atan2(360.0 - z, -1000.0 - x)
    full = car.single["pinion_joint_angle_full"]
    assert full == pytest.approx(radians(2.0) + wound - shaft, abs=1e-6)
    against = car.single["pinion_to_gearbox_full"]
    assert against == pytest.approx(radians(2.0 - 3.0) + wound, abs=1e-9)


def test_a_wedge_turns_the_pinion_against_the_gearbox_and_is_told():
    study = REAR.study(with_propshaft(WEDGE))
    before, after = (car.rest.values["pinion_to_gearbox"][0] for car in study.cars.values())
    assert degrees(after - before) == pytest.approx(-3.0, abs=0.2)
    assert "Against the gearbox line the pinion goes from −1.00° to −4." in words(study.setup)
    assert any("to the gearbox" in row.title for row in rear_targets(study))


def test_joints_past_the_usual_are_told():
    text = words(leaf_car(rear__gearbox_angle=radians(9.0), rear__gearbox_joint=GEARBOX))
    assert "The propshaft's gearbox joint works at 6.32° at ride: about 3° is usual." in text


def evenness(pinion: float, gearbox: float) -> float:
    """Return by how much the pinion's speed swings in a turn of two joints in phase, by its law.

    A universal joint at an angle b turns its driven side so that tan(driven) = tan(driving)·cos b
    (textbook); the second one undoes it from a quarter turn on.
    """
    turns = np.linspace(0.01, 2 * np.pi + 0.01, 721)
    shaft = np.unwrap(np.arctan2(np.sin(turns) * cos(gearbox), np.cos(turns)))
    out = np.unwrap(np.arctan2(np.sin(shaft), np.cos(shaft) * cos(pinion)))
    return float(np.ptp(np.gradient(out, turns)))


@pytest.mark.parametrize(
    ("pinion", "gearbox", "is_even"),
    [(2.0, 2.0, True), (2.0, 3.37, True), (2.0, 6.0, False), (-3.0, 3.0, False)],
)
def test_joints_as_measured_are_judged_by_their_sizes(pinion, gearbox, is_even):
    """2 and 3.37° are -0.69 and +0.69° at the shaft: of one size, the ends not parallel."""
    setup = leaf_car(
        rear__axle__pinion_angle=radians(pinion),
        rear__gearbox_angle=radians(gearbox),
        rear__gearbox_joint=GEARBOX,
    )
    values = REAR.study(setup).measured.rest.values
    swing = evenness(*(float(values[f"{end}_joint_angle"][0]) for end in ("pinion", "gearbox")))
    assert (swing < 1e-4) == is_even
    assert ("the pinion's speed is uneven" in words(setup)) != is_even


def test_a_joint_that_is_wide_at_full_braking_is_told():
    setup = leaf_car(
        rear__axle__pinion_angle=radians(-3.0),
        rear__gearbox_angle=radians(3.0),
        rear__gearbox_joint=GEARBOX,
        car__front_brake_share=0.6,
    )
    (row,) = [row for row in pinion_rows(REAR.study(setup)) if row.key == "pinion_joint_angle"]
    braking = abs(degrees(row.angles[-1]))
    assert braking > 5.0
    assert f"The propshaft's pinion joint works at {braking:.2f}° at full braking" in words(setup)


@pytest.mark.parametrize("kind", [leaf_car, link_car])
def test_an_unmeasured_pinion_has_a_turn_and_no_angle(kind):
    changes = (WEDGE,) if kind is leaf_car else ()
    setup = kind(*changes)
    kept = {key: value for key, value in setup.evidence.items() if "pinion_angle" not in key}
    study = REAR.study(setup.having(evidence=FrozenMap(kept)))
    car = study.proposed
    assert "pinion_angle" not in car.rest.values
    assert "pinion_angle" not in car.sweep_at("roll", [0.02]).values
    assert study.missing["pinion_angle"] == ("rear.axle.pinion_angle",)
    whole = REAR.study(setup).proposed.rest.values
    assert car.rest.values["pinion_turn"] == pytest.approx(whole["pinion_turn"])
    assert "pinion_angle" not in {row.result.key for row in result_rows(study)}
    if changes:
        text = " ".join(each.text for each in rear_sentences(study, "."))
        assert "The pinion turns by 3." in text
        assert "0.00°" not in text


def test_a_pinion_at_rest_in_bump_and_wound_up_stands_in_one_table():
    setup = with_propshaft()
    study = REAR.study(setup)
    car, rows = study.measured, {row.key: row.angles for row in pinion_rows(study)}
    assert set(rows) == {
        "pinion_angle",
        "pinion_to_gearbox",
        "pinion_joint_angle",
        "gearbox_joint_angle",
    }
    bump = car.at_pose(Pose(travel=study.ranges.travel[1])).values
    for key, (rest, at_bump, drive, braking) in rows.items():
        assert rest == pytest.approx(float(car.rest.values[key][0]))
        assert at_bump == pytest.approx(float(bump[key][0]))
        assert drive > rest > braking or key == "gearbox_joint_angle"
    assert rows["pinion_joint_angle"][2] == pytest.approx(car.single["pinion_joint_angle_full"])
    turned = rows["pinion_angle"][2] - rows["pinion_angle"][0]
    assert turned == pytest.approx(car.single["wind_up_full"])


def test_an_unmeasured_pinion_has_no_table():
    kept = {k: v for k, v in leaf_car().evidence.items() if k != "rear.axle.pinion_angle"}
    assert pinion_rows(REAR.study(leaf_car().having(evidence=FrozenMap(kept)))) == ()

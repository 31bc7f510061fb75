"""What a car has of both wheels is the worse wheel's, and what is said of it names the wheel.

The reference is a property that physics demands: each wheel moves by itself over travel, so that a
car with unlike wheels has what a car with two of the worse wheel has, whichever side that is on.
"""

import pytest

from app.document.model import Setup
from app.shop.results import result_rows
from app.systems.front.many import values_of_many
from app.systems.front.system import FRONT
from tests.helpers.front_setups import PLAIN, front_setup, mirrored, moved
from tests.helpers.telling import sentences

SOLID, SHUT, OUT = 160.0, 405.0, 470.0
WORSE = PLAIN | {
    "tie_inner": moved(PLAIN["tie_inner"], (0.0, 0.0, -12.0)),
    "damper_body": moved(PLAIN["damper_body"], (0.0, 0.0, -8.0)),
    "spring_body": moved(PLAIN["spring_body"], (0.0, 0.0, -8.0)),
}
KEYS = ("bump_steer_range", "coil_bind_travel", "damper_bump_travel")


def car(left: dict, right: dict, **values: object) -> Setup:
    ends = {
        "front__spring__solid_length": SOLID,
        "front__damper__closed_length": SHUT,
        "front__damper__open_length": OUT,
    }
    return front_setup(left, right=mirrored(right), **{**ends, **values})


def singles(setup: Setup) -> dict[str, float]:
    return FRONT.study(setup).measured.single


@pytest.mark.parametrize("sides", [(PLAIN, WORSE), (WORSE, PLAIN)])
def test_the_car_has_what_two_of_the_worse_wheel_have(sides):
    found, bad, good = singles(car(*sides)), singles(car(WORSE, WORSE)), singles(car(PLAIN, PLAIN))
    many = values_of_many([car(*sides)], KEYS).values
    for key in KEYS:
        assert abs(bad[key] - good[key]) > 0.001, key
        assert found[key] == pytest.approx(bad[key], abs=1e-4), key
        assert many[key][0] == pytest.approx(bad[key], abs=1e-4), key
    # a damper that hangs lower is open later: there the other wheel is the first
    assert found["damper_droop_travel"] == pytest.approx(good["damper_droop_travel"], abs=1e-4)


def test_what_is_said_names_the_wheel():
    setup = car(PLAIN, WORSE, front__travel__bump=75.0, front__travel__rebound=75.0)
    said = " ".join(sentence.text for sentence in sentences(FRONT.study(setup)))
    assert "° on the right." in said
    for words in ("The right damper is closed at", "The right coil is solid at"):
        assert words in said
    assert "The left damper is at its full length at" in said
    alike = " ".join(s.text for s in sentences(FRONT.study(car(PLAIN, PLAIN))))
    assert "on the right" not in alike


LEANT = PLAIN | {"upper_ball": moved(PLAIN["upper_ball"], (-12.0, 0.0, 0.0))}


@pytest.mark.parametrize("sides", [(PLAIN, LEANT), (LEANT, PLAIN)])
def test_turn_plates_read_each_wheel_by_itself(sides):
    key = "caster_turn_plates"
    unlike, *alike = (
        FRONT.study(car(*pair)).measured for pair in (sides, *((one, one) for one in sides))
    )
    each = [one.single[key] for one in alike]
    assert abs(each[0] - each[1]) > 0.01
    assert unlike.wheels[key] == pytest.approx(each, abs=1e-4)
    assert unlike.single[key] == pytest.approx(min(each), abs=1e-4)
    many = values_of_many([car(*sides)], (key,)).values
    assert many[key][0] == pytest.approx(min(each), abs=1e-4)


def test_every_figure_told_of_an_unlike_front_is_of_each_wheel():
    """Rows of an unlike front are the rows of two fronts, each with two of one of its wheels."""
    of_wheels = [
        {row.result.key: row.measured for row in result_rows(FRONT.study(car(side, side)))}
        for side in (LEANT, WORSE)
    ]
    rows = result_rows(FRONT.study(car(LEANT, WORSE)))
    told = {(row.result.key, row.side): row.measured for row in rows}
    by_itself = {"camber", "toe", "caster", "camber_gain", "bump_steer", "anti_dive", *KEYS}
    for key in by_itself | {"caster_turn_plates", "spring_motion_ratio", "damper_droop_travel"}:
        for side, alike in zip(("left", "right"), of_wheels, strict=True):
            value = told.get((key, side), told.get((key, None)))
            assert value == pytest.approx(alike[key], abs=2e-4, rel=1e-3), (key, side)
    assert ("caster", "left") in told
    assert ("caster", None) not in told


def test_what_is_said_of_an_unlike_front_as_found_is_said_of_each_wheel():
    said = [sentence.text for sentence in sentences(FRONT.study(car(LEANT, WORSE)))]
    leans = [text for text in said if "wheel leans" in text]
    assert [text.split()[1] for text in leans] == ["left", "right"]
    dive = next(text for text in said if "anti-dive" in text)
    assert "on the left," in dive
    assert "on the right" in dive

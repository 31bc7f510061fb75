"""What looks mistyped is questioned, in words; a car that is all right is left in peace."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from app.document.address import Point
from app.document.files import read_setup
from app.document.model import FrozenMap, Setup, Value, Vec
from app.document.plausible import Question, place_words, questions
from app.systems.every import LIMIT_KINDS
from tests.helpers.project import SAMPLE_FILES

SAMPLES = SAMPLE_FILES
CAR: Mapping[str, Value] = {
    "front.kind": "double wishbone",
    "front.lower_arm": "link and strut rod",
    "front.tyre_radius": 305.0,
    "front.camber": -0.0087,
    "front.toe": 0.0017,
    "front.upper_front": (105.0, 372.0, 585.0),
    "front.upper_rear": (-118.0, 380.0, 578.0),
    "front.upper_ball": (-12.0, 628.0, 560.0),
    "front.lower_front": (420.0, 345.0, 232.0),
    "front.lower_rear": (-20.0, 262.0, 248.0),
    "front.lower_ball": (4.0, 684.0, 205.0),
    "front.strut_joint": (30.0, 560.0, 215.0),
    "front.tie_inner": (-150.0, 335.0, 262.0),
    "front.tie_outer": (-146.0, 650.0, 238.0),
    "front.wheel_centre": (0.0, 742.0, 305.0),
    "front.spring_body": (-5.0, 470.0, 735.0),
    "front.spring_arm": (-5.0, 500.0, 553.0),
    "front.damper_body": (-5.0, 470.0, 735.0),
    "front.damper_arm": (-5.0, 500.0, 553.0),
    "front.spring.kind": "coil",
    "front.spring.on": "upper arm",
    "front.spring.rate": 52.0,
    "front.spring.free_length": 345.0,
    "front.steering.kind": "rack",
    "car.mass": 1240.0,
    "car.front_share": 0.54,
    "car.front_unsprung": 82.0,
}
POINTS = [key for key, value in CAR.items() if isinstance(value, tuple)]


def car(**changed: Value) -> Setup:
    """Return the plausible car with values changed; "front__upper_ball" is front.upper_ball."""
    named = {name.replace("__", "."): value for name, value in changed.items()}
    return Setup("t", evidence=FrozenMap({**CAR, **named}))


def asked(setup: Setup, key: str) -> dict[str, str]:
    """Return what is asked about a key, by kind."""
    found: dict[str, str] = {}
    for question in questions(setup):
        if question.key == key:
            found[question.kind] = f"{found.get(question.kind, '')} {question.text}"
    return found


def both_sides(**changed: Value) -> Setup:
    right = {Point.at(k).mirror.key: mirror(CAR[k]) for k in POINTS}  # type: ignore[arg-type]
    named = {name.replace("__", "."): value for name, value in changed.items()}
    return Setup("t", evidence=FrozenMap({**CAR, **right, **named}))


def mirror(at: Vec) -> Vec:
    return at[0], -at[1], at[2]


def scaled(at: Vec, factor: float) -> Vec:
    return at[0] * factor, at[1] * factor, at[2] * factor


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_sample_car_is_questioned(path: Path) -> None:
    assert questions(read_setup(path, limit_kinds=LIMIT_KINDS).setup) == ()


def test_a_plausible_car_is_not_questioned_in_either_unit_or_on_either_side() -> None:
    assert questions(car()) == ()
    assert questions(car().having(units="in")) == ()
    assert questions(both_sides()) == ()


def test_a_car_of_which_little_is_known_is_not_questioned() -> None:
    assert questions(Setup("")) == ()
    for key in POINTS:
        assert questions(Setup("", evidence=FrozenMap({key: CAR[key]}))) == ()


@pytest.mark.parametrize("key", POINTS)
def test_inches_typed_as_millimetres_are_noticed_at_every_point(key: str) -> None:
    setup = car().having(
        evidence=FrozenMap({**CAR, key: scaled(CAR[key], 1 / 25.4)})  # type: ignore[arg-type]
    )
    assert "were inches meant?" in asked(setup, key)["unit"]


@pytest.mark.parametrize("key", POINTS)
def test_millimetres_typed_as_inches_are_noticed_at_every_point(key: str) -> None:
    evidence = FrozenMap({**CAR, key: scaled(CAR[key], 25.4)})  # type: ignore[arg-type]
    setup = Setup("t", units="in", evidence=evidence)
    assert "were millimetres meant?" in asked(setup, key)["unit"]


@pytest.mark.parametrize("key", POINTS)
def test_a_point_of_the_other_side_is_noticed(key: str) -> None:
    setup = Setup("t", evidence=FrozenMap({**CAR, key: mirror(CAR[key])}))  # type: ignore[arg-type]
    assert "Left and right swapped?" in asked(setup, key)["side"]


def test_left_and_right_swapped_is_noticed_on_both_sides() -> None:
    swapped = {key: mirror(CAR[key]) for key in POINTS}  # type: ignore[arg-type]
    right = {Point.at(key).mirror.key: CAR[key] for key in POINTS}
    setup = Setup("t", evidence=FrozenMap({**CAR, **swapped, **right}))
    for key in POINTS:
        assert "side" in asked(setup, key)
        assert "side" in asked(setup, Point.at(key).mirror.key)


@pytest.mark.parametrize(
    ("name", "value", "key", "kind", "words"),
    [
        ("lower_ball", (4.0, 684.0, -205.0), "lower_ball", "ground", "205.0 mm under the floor"),
        ("upper_ball", (-12.0, 628.0, 0.0), "upper_ball", "ground", "on the floor"),
        ("upper_ball", (-12.0, 228.0, 560.0), "upper_ball", "order", "Inner and outer swapped"),
        ("tie_outer", (-146.0, 300.0, 238.0), "tie_outer", "order", "tie rod, inner end"),
        ("upper_front", (-200.0, 372.0, 585.0), "upper_front", "order", "Front and rear swapped"),
        ("lower_front", (-420.0, 345.0, 232.0), "lower_front", "order", "run rearwards"),
        ("upper_ball", (-12.0, 628.0, 160.0), "upper_ball", "order", "Upper and lower swapped"),
        ("upper_rear", (-118.0, 380.0, 178.0), "upper_rear", "order", "Upper and lower swapped"),
        ("spring_body", (-5.0, 470.0, 435.0), "spring_body", "order", "below its arm end"),
        ("damper_arm", (-5.0, 500.0, 835.0), "damper_body", "order", "below its arm end"),
        ("upper_ball", (-12.0, 790.0, 560.0), "upper_ball", "wheel", "through the wheel"),
        ("upper_ball", (-12.0, 690.0, 560.0), "upper_ball", "wheel", "through the tyre"),
        ("tie_outer", (-240.0, 690.0, 238.0), "tie_outer", "wheel", "through the tyre"),
        ("upper_rear", (105.0, 372.0, 585.0), "upper_rear", "duplicate", "typed into the other"),
        ("upper_ball", (-212.0, 628.0, 560.0), "upper_ball", "range", "of caster"),
        ("lower_ball", (4.0, 684.0, 460.0), "upper_ball", "range", "leans 29° inwards"),
        ("tie_outer", (146.0, 650.0, 238.0), "tie_outer", "sign", "sign of x"),
        ("tie_outer", (-6.0, 672.0, 238.0), "tie_outer", "reach", "line through the ball joints"),
        ("tie_inner", (-590.0, 560.0, 262.0), "tie_outer", "reach", "can't turn the wheel"),
        ("wheel_centre", (60.0, 742.0, 305.0), "wheel_centre", "disagree", "off the axle line"),
        ("wheel_centre", (0.0, 742.0, 335.0), "wheel_centre", "disagree", "should be the same"),
        ("upper_front", (105.0, 372.0, 1585.0), "upper_front", "range", "1585.0 mm above"),
        ("spring_arm", (-5.0, 500.0, 240.0), "spring_arm", "disagree", "by the lower arm"),
        ("tyre_radius", 12.0, "tyre_radius", "unit", "Was 12.0 in meant?"),
        ("tyre_radius", 640.0, "tyre_radius", "range", "Read it once more"),
        ("spring.rate", 300.0, "spring.rate", "unit", "Was 300.0 lbf/in meant?"),
        ("spring.rate", 9.0, "spring.rate", "range", "far from the usual"),
        ("spring.free_length", 160.0, "spring.free_length", "disagree", "free length is less"),
        ("spring.solid_length", 250.0, "spring.solid_length", "disagree", "solid length is more"),
        ("damper.open_length", 182.0, "damper.open_length", "disagree", "open length is less"),
        ("damper.closed_length", 300.0, "damper.closed_length", "disagree", "closed length"),
        ("camber", 0.2, "camber", "range", "far from the usual"),
    ],
)
def test_what_looks_wrong_is_asked(
    name: str, value: Value, key: str, kind: str, words: str
) -> None:
    found = asked(car(**{f"front__{name}": value}), f"front.{key}")
    assert words in found.get(kind, ""), found


def test_pounds_typed_as_kilograms_are_noticed() -> None:
    found = asked(car(car__mass=2900.0), "car.mass")
    assert "Was 2900.0 lb meant?" in found["unit"]


def test_more_unsprung_than_rests_on_the_axle_is_noticed() -> None:
    assert "disagree" in asked(car(car__front_unsprung=700.0), "car.front_unsprung")


def test_a_torsion_bars_rate_is_not_judged_as_a_coils() -> None:
    setup = car(front__spring__kind="torsion bar", front__spring__rate=1.2e6)
    assert asked(setup, "front.spring.rate") == {}


def test_a_right_side_that_is_far_from_the_left_is_noticed() -> None:
    setup = both_sides(front__right__upper_ball=(-12.0, -628.0, 600.0))
    assert "z differs by 40.0 mm" in asked(setup, "front.right.upper_ball")["disagree"]


def test_questions_speak_the_setups_unit() -> None:
    setup = car(front__upper_ball=(-12.0, 228.6, 560.0)).having(units="in")
    assert "9.000 in left of the centreline" in asked(setup, "front.upper_ball")["range"]


def test_a_question_changes_nothing_and_compares_by_what_it_asks() -> None:
    setup = car(front__upper_ball=(-12.0, 62.8, 560.0))
    before = dict(setup.evidence)
    assert questions(setup) == questions(setup)
    assert dict(setup.evidence) == before
    assert all(isinstance(question, Question) for question in questions(setup))


def test_places_are_said_in_words() -> None:
    assert place_words(105.0, 0, "105 mm") == "105 mm ahead of the axle line"
    assert place_words(-3.0, 1, "3 mm") == "3 mm right of the centreline"
    assert place_words(0.0, 2, "0 mm") == "on the floor"


def test_what_is_exact_is_left_in_peace_and_a_band_far_too_wide_is_not() -> None:
    exact = car(**{"sheet.measured_within": 0.0, "sheet.datum_within": 0.0})
    assert not questions(exact.having(within=FrozenMap({"front.upper_ball": 0.0})))
    assert questions(car(**{"sheet.measured_within": 25.0}))
    wide = car().having(within=FrozenMap({"front.upper_ball": (1.0, 1.0, 25.0)}))
    assert [question.key for question in questions(wide)] == ["front.upper_ball"]

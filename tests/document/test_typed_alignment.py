"""Adjusters, targets and readings as typed: read back, refused beside their fields."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians

import pytest

from app.document.model import FrozenMap, Units
from app.document.plans import Gauge
from app.document.typed_alignment import (
    ReadAlignment,
    TypedAdjuster,
    TypedAlignment,
    read_typed,
    split_list,
    typed_of,
)
from app.systems.every import LIMIT_KINDS
from tests.helpers.aligning import ALL, SHIMS, car_to_align

INCH = 25.4


def read(typed: TypedAlignment, units: Units = "mm", decimal: str = ".") -> ReadAlignment:
    return read_typed(car_to_align(adjusters=ALL), typed, units, LIMIT_KINDS, decimal)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("decimal", [".", ","])
def test_what_isnt_touched_stays_to_the_last_digit(units: Units, decimal: str) -> None:
    setup = car_to_align(adjusters=ALL)
    typed = typed_of(setup, units, decimal)
    answer = read_typed(setup, typed, units, LIMIT_KINDS, decimal)
    assert (answer.setup, answer.errors) == (setup, {})


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("0.5 1 2", ["0.5", "1", "2"]),
        ("0.5, 1, 2", ["0.5", "1", "2"]),
        ("0,5 1; 2", ["0,5", "1", "2"]),
        ("0,5, 1", ["0,5", "1"]),
        ("1/32; 1/16  1-1/4", ["1/32", "1/16", "1-1/4"]),
        ("  ", []),
    ],
)
def test_lists_are_told_apart(text: str, parts: list[str]) -> None:
    assert split_list(text) == parts


def test_inches_and_fractions_come_to_mm() -> None:
    shims = TypedAdjuster(
        "upper_shims",
        "shims",
        ("upper_front", "upper_rear"),
        True,
        FrozenMap({"fitted": "1/8 3/16", "sizes": "1/32; 1/16", "most": "1/2", "have": "4 10"}),
    )
    answer = read(replace(typed_of(car_to_align(), "in"), adjusters=(shims,)), "in")
    assert answer.errors == {}
    adjuster = answer.setup.adjusters["front.upper_shims"]
    assert adjuster.fitted == pytest.approx((INCH / 8, 3 * INCH / 16))
    assert adjuster.sizes == pytest.approx((INCH / 32, INCH / 16))
    assert adjuster.most == pytest.approx(INCH / 2)
    assert adjuster.have == (4, 10)


def test_toe_is_shared_and_may_be_a_length() -> None:
    typed = replace(
        typed_of(car_to_align(), "in"),
        gauge=FrozenMap({"left.toe": "1/8", "left.camber": "-0.25"}),
        gauge_toe="toe_total_mm",
        targets=FrozenMap({"toe.is": "1/16", "toe.within": "1/32"}),
        target_toe="toe_mm",
    )
    answer = read(typed, "in")
    assert answer.errors == {}
    left, right = (answer.setup.gauge[f"front.{side}"] for side in ("left", "right"))
    assert left.toe_length == right.toe_length == pytest.approx(INCH / 16)
    assert degrees(left.camber or 0.0) == pytest.approx(-0.25)
    assert right.camber is None
    (name,) = answer.setup.aims
    assert name == "front.toe_mm"
    assert answer.setup.aims[name].value == pytest.approx(INCH / 16)


def test_caster_is_read_at_two_locks() -> None:
    locks = {"lock_1": "20", "lock_2": "-20", "camber_1": "1.2", "camber_2": "-0.4"}
    gauge = FrozenMap({f"right.{name}": text for name, text in locks.items()})
    answer = read(replace(typed_of(car_to_align(), "mm"), gauge=gauge, by_locks=True))
    assert answer.errors == {}
    assert answer.setup.gauge == {
        "front.right": Gauge(
            locks=(radians(20.0), radians(-20.0)),
            locks_camber=(radians(1.2), pytest.approx(radians(-0.4))),
        )
    }


WRONG: list[tuple[str, dict[str, str], str]] = [
    ("upper_shims.fitted", {"fitted": "3"}, "one for each pivot: 2"),
    ("upper_shims.fitted", {"fitted": ""}, "how thick each bolt's pack is"),
    ("upper_shims.fitted", {"fitted": "3 x"}, "is no number"),
    ("upper_shims.sizes", {"sizes": "0 1"}, "more than 0"),
    ("upper_shims.sizes", {"sizes": ""}, "how thick single shims are"),
    ("upper_shims.have", {"have": "4"}, "one for each size: 4"),
    ("upper_shims.have", {"have": "4 1 2 0.5"}, "whole number"),
    ("upper_shims.most", {"most": "-2"}, "more than 0"),
]


@pytest.mark.parametrize(("field", "texts", "words"), WRONG)
def test_a_wrong_shim_entry_is_told_beside_its_field(
    field: str, texts: dict[str, str], words: str
) -> None:
    typed = typed_of(car_to_align(), "mm")
    first, *rest = typed.adjusters
    wrong = replace(first, texts=FrozenMap({**first.texts, **texts}))
    answer = read(replace(typed, adjusters=(wrong, *rest)))
    assert list(answer.errors) == [field]
    assert words in answer.errors[field]


def test_a_target_needs_how_near_and_a_lock_its_camber() -> None:
    typed = replace(
        typed_of(car_to_align(), "mm"),
        targets=FrozenMap({"camber.is": "0"}),
        gauge=FrozenMap({"left.lock_1": "20", "left.lock_2": "20", "left.camber_1": "1"}),
        by_locks=True,
    )
    errors = read(typed).errors
    assert set(errors) == {"targets.camber.within", "gauge.left.camber_2"}


def test_a_strut_rod_that_the_car_hasnt_is_refused() -> None:
    setup = car_to_align("torsion_coupe", adjusters={"front.upper_shims": SHIMS})
    rod = TypedAdjuster(
        "strut_rod", "rod", texts=FrozenMap({"low": "8", "high": "8", "pitch": "1.5"})
    )
    typed = replace(typed_of(setup, "mm"), adjusters=(rod,))
    errors = read_typed(setup, typed, "mm", LIMIT_KINDS).errors
    assert list(errors) == ["strut_rod"]


def test_inch_fields_have_four_places_and_what_is_untouched_keeps_its_last_digit() -> None:
    car = car_to_align()
    typed = typed_of(car, "in")
    shims = next(each for each in typed.adjusters if each.kind == "shims")
    for text in shims.texts.values():
        assert all(len(part.partition(".")[2]) <= 4 for part in text.split("; "))
    other = replace(shims, texts=FrozenMap({**shims.texts, "most": "0.6"}))
    rest = tuple(each for each in typed.adjusters if each is not shims)
    answer = read(replace(typed, adjusters=(other, *rest)), "in")
    key = f"front.{shims.name}"
    assert answer.setup.adjusters[key] == replace(
        car.adjusters[key], most=answer.setup.adjusters[key].most
    )
    assert answer.setup.adjusters[key].most == pytest.approx(0.6 * 25.4)

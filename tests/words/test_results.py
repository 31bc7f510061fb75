"""Results as figures and words: decimals, units, signs and limits."""

from __future__ import annotations

from math import radians

import pytest

from app.document.model import Limit, Units
from app.words.results import (
    beside_limit,
    is_zero,
    limit_named,
    limit_words,
    result_number,
    result_text,
    result_unit,
    sign_words,
)
from geometry.catalogue.front import BY_KEY, RESULTS

CAMBER, CASTER, BUMP = BY_KEY["camber"], BY_KEY["caster"], BY_KEY["settled_travel"]
both_units = pytest.mark.parametrize("units", ["mm", "in"])


@both_units
@pytest.mark.parametrize("result", RESULTS, ids=lambda result: result.key)
def test_what_does_not_exist_is_a_dash_without_a_unit_or_a_sign(
    result: object, units: Units
) -> None:
    assert result_text(None, result, units) == "–"  # type: ignore[arg-type]
    assert sign_words(None, result, units) == ""  # type: ignore[arg-type]


@both_units
@pytest.mark.parametrize("result", RESULTS, ids=lambda result: result.key)
@pytest.mark.parametrize("value", [1e-12, -1e-12])
def test_what_rounds_to_nothing_is_zero_without_a_sign(
    result: object, units: Units, value: float
) -> None:
    number = result_number(value, result, units, plus=True)  # type: ignore[arg-type]
    assert float(number) == 0.0
    assert number[0] == "0"
    assert is_zero(value, result, units)  # type: ignore[arg-type]


@pytest.mark.parametrize("degrees", [-1.25, 0.5, 12.0])
def test_angles_are_degrees_in_either_unit_and_the_sign_is_a_true_minus(degrees: float) -> None:
    texts = {result_text(radians(degrees), CAMBER, units) for units in ("mm", "in")}
    assert texts == {f"{degrees:.2f}°".replace("-", "−")}


def test_an_inch_has_25_4_mm_and_one_decimal_more() -> None:
    mm, inches = (result_number(-25.4, BUMP, units) for units in ("mm", "in"))
    assert float(mm.replace("−", "-")) == -25.4
    assert float(inches.replace("−", "-")) == -1.0
    assert len(inches.partition(".")[2]) == len(mm.partition(".")[2]) + 1
    assert [result_unit(BUMP, units) for units in ("mm", "in")] == ["mm", "in"]


def test_the_users_decimal_sign_is_used() -> None:
    assert result_text(radians(1.5), CAMBER, "mm", decimal=",") == "1,50°"


def test_a_sign_means_what_the_catalogue_says() -> None:
    # + camber leans out at the top: SAE J670:2008, 7.5 [from memory]
    assert sign_words(radians(0.5), CAMBER, "mm") == CAMBER.plus == "top leans out"
    assert sign_words(radians(-0.5), CAMBER, "mm") == CAMBER.minus == "top leans in"


@pytest.mark.parametrize(
    ("least", "most", "words", "named"),
    [
        (None, 3.0, "at most 3.00°", "limit of 3.00°"),
        (1.0, None, "at least 1.00°", "limit of 1.00°"),
        (-1.0, 1.0, "within ±1.00°", "limit of ±1.00°"),
        (-1.5, 1.0, "−1.50 to 1.00°", "limits of −1.50 to 1.00°"),
    ],
)
def test_a_limit_is_said_by_the_ends_it_has(
    least: float | None, most: float | None, words: str, named: str
) -> None:
    ends = [None if end is None else radians(end) for end in (least, most)]
    limit = Limit(minimum=ends[0], maximum=ends[1])
    assert limit_words(limit, CAMBER, "mm") == words
    assert limit_named(limit, CAMBER, "mm") == named


@pytest.mark.parametrize("typed", [0.325, -1.2345, 24.0])
def test_a_limit_is_said_with_the_digits_that_were_typed(typed: float) -> None:
    words = limit_words(Limit(maximum=radians(typed)), CAMBER, "mm").replace("−", "-")
    assert float(words.removeprefix("at most ").removesuffix("°")) == typed


def test_a_limit_typed_in_mm_has_the_digits_of_its_result_in_inches() -> None:
    assert limit_words(Limit(maximum=8.0, kind="length"), BUMP, "in") == "at most 0.31 in"


@both_units
@pytest.mark.parametrize("past", [1.0, 1e-1, 1e-2, 1e-3, 1e-4])
@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_a_value_past_its_limit_is_seen_past_it(units: Units, past: float, way: float) -> None:
    limit = Limit.within(radians(1.5))
    text = beside_limit(way * radians(1.5 + past), limit, CAMBER, units)
    assert float(text.replace("−", "-")) * way > 1.5


def test_a_value_inside_its_limit_has_its_usual_digits() -> None:
    assert beside_limit(radians(1.4999), Limit(maximum=radians(1.5)), CAMBER, "mm") == "1.50"

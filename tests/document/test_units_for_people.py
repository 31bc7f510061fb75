"""Numbers as people read and type them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.entries import EntryError, parse_value
from app.document.quantities import DEGREE, QUANTITIES
from app.document.units import (
    NO_VALUE,
    exact_number,
    format_point,
    format_value,
    inch_fraction,
    number_of,
    unit_of,
)


@pytest.mark.parametrize(
    ("typed", "units", "millimetres"),
    [
        ("12.5", "mm", 12.5),
        ("12,5", "mm", 12.5),
        (" 12.5 mm ", "mm", 12.5),
        ("1 1/4", "in", 31.75),
        ("1-1/4", "in", 31.75),
        ("15/16", "in", 23.8125),
        ('2"', "mm", 50.8),
        ("2″", "mm", 50.8),
        ("1.5 in", "mm", 38.1),
        ("1 1/4 inches", "mm", 31.75),
        ("38 mm", "in", 38.0),
        ("3.8cm", "in", 38.0),
        ("−22", "mm", -22.0),
        ("- 22", "mm", -22.0),
        ("-1 1/4", "in", -31.75),
        ("+7/8", "in", 22.225),
        ("½", "in", 12.7),
        ("1½ in", "mm", 38.1),
        ("1\u00a01⁄4 in", "mm", 31.75),
        (".5", "mm", 0.5),
        ("5.", "mm", 5.0),
        ("0,125", "mm", 0.125),
        ("-0", "mm", 0.0),
    ],
)
def test_lengths_as_they_are_typed(typed: str, units: str, millimetres: float) -> None:
    assert parse_value(typed, "length", units) == pytest.approx(millimetres, rel=1e-14)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "kind", "units", "value"),
    [
        ("0°30'", "angle", "mm", 0.5 * DEGREE),
        ("−1° 15'", "angle", "in", -1.25 * DEGREE),
        ("10'", "angle", "mm", DEGREE / 6),
        ("-0.5 deg", "angle", "mm", -0.5 * DEGREE),
        ("1/4°", "angle", "mm", 0.25 * DEGREE),
        ("300 lb/in", "spring rate", "mm", 300 * 4.4482216152605 / 25.4),
        ("52", "spring rate", "in", 52 * 4.4482216152605 / 25.4),
        ("52 N/mm", "spring rate", "in", 52.0),
        ("30 ft-lb", "torque", "mm", 30 * 4.4482216152605 * 304.8),
        ("30 N·m", "torque", "in", 30000.0),
        ("2400 lb", "mass", "mm", 2400 * 0.45359237),
        ("2400 lb", "force", "mm", 2400 * 4.4482216152605),
        ("30 GPa", "stress", "mm", 30000.0),
        ("54 %", "percent", "mm", 54.0),
        ("0.54", "ratio", "mm", 0.54),
        ("12.5 lbf·ft/°", "torsional rate", "mm", 12.5 * 4.4482216152605 * 304.8 / DEGREE),
    ],
)
def test_other_quantities_as_they_are_typed(
    typed: str, kind: str, units: str, value: float
) -> None:
    assert parse_value(typed, kind, units) == pytest.approx(value, rel=1e-14)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("", "Nothing is entered: type a number in inches"),
        ("  ", "Nothing is entered"),
        ("abc", "“abc” is no number: type one like"),
        ("mm", "“mm” is no number"),
        ("1 2", "“1 2” is no single number"),
        ("12.5.3", "no single number"),
        ("1/0", "nothing under its fraction line"),
        ("3 furlongs", "“furlongs” is no unit that fits: the unit here is mm or in"),
        ("3 kg", "“kg” is no unit that fits"),
        ("1,234", "“1,234” can mean two things: type 1234 or 1.234"),
        ("1e5", "no unit that fits"),
        ("9" * 400, "too large"),
        ("nan", "no number"),
        ("inf", "no number"),
    ],
)
def test_what_cannot_be_read_is_said_with_what_can(typed: str, message: str) -> None:
    with pytest.raises(EntryError, match=message):
        parse_value(typed, "length", "in")


def test_a_thousand_is_told_from_a_thousandth_by_the_users_own_sign() -> None:
    assert parse_value("1.234", "length", "in") == pytest.approx(1.234 * 25.4)
    assert parse_value("1,234", "length", "in", decimal=",") == pytest.approx(1.234 * 25.4)
    with pytest.raises(EntryError, match="type 1234 or 1,234"):
        parse_value("1.234", "length", "mm", decimal=",")
    assert parse_value(["12,345", "6/7"][0].replace(",", "."), "length", "mm") == 12.345


@pytest.mark.parametrize(
    ("value", "kind", "units", "options", "shown"),
    [
        (22.0, "length", "mm", {}, "22.0 mm"),
        (-22.0, "length", "mm", {"plus": True}, "−22.0 mm"),
        (22.0, "length", "mm", {"plus": True, "decimal": ","}, "+22,0 mm"),
        (-0.04, "length", "mm", {"plus": True}, "0.0 mm"),
        (22.0, "length", "in", {}, "0.866 in"),
        (22.225, "length", "in", {"fractions": True}, "7/8 in"),
        (-31.75, "length", "in", {"fractions": True}, "−1 1/4 in"),
        (31.75, "length", "in", {"fractions": True, "plus": True}, "+1 1/4 in"),
        (22.0, "length", "in", {"fractions": True}, "0.866 in"),
        (25.4, "length", "in", {"fractions": True}, "1 in"),
        (0.0, "length", "in", {"fractions": True}, "0 in"),
        (22.225, "length", "mm", {"fractions": True}, "22.2 mm"),
        (-0.5 * DEGREE, "angle", "mm", {}, "−0.50°"),
        (0.125 * DEGREE, "angle", "in", {"places": 3, "decimal": ","}, "0,125°"),
        (-0.0125 * DEGREE, "angle per length", "mm", {}, "−0.313°/25 mm"),
        (-0.0125 * DEGREE, "angle per length", "in", {}, "−0.318°/in"),
        (52.0, "spring rate", "mm", {}, "52.0 N/mm"),
        (52.0, "spring rate", "in", {}, "296.9 lbf/in"),
        (1240.0, "mass", "in", {}, "2733.7 lb"),
        (3945.6, "force", "mm", {}, "3946 N"),
        (1.2e5, "torque", "mm", {}, "120.0 N·m"),
        (0.54, "ratio", "mm", {}, "0.540"),
        (54.0, "percent", "mm", {}, "54.0 %"),
        (1.14, "frequency", "in", {}, "1.14 Hz"),
        (math.inf, "length", "mm", {}, NO_VALUE),
        (math.nan, "angle", "mm", {}, NO_VALUE),
        (2.675, "length", "mm", {"places": 2}, "2.68 mm"),
    ],
)
def test_values_as_they_are_shown(
    value: float, kind: str, units: str, options: dict[str, object], shown: str
) -> None:
    assert format_value(value, kind, units, **options) == shown  # type: ignore[arg-type]


def test_a_point_is_shown_unambiguously() -> None:
    assert format_point((105.0, -8.25, 585.0), "mm") == "105.0, −8.3, 585.0 mm"
    assert format_point((25.4, 0.0, 12.7), "in", decimal=",") == "1,000; 0,000; 0,500 in"


@pytest.mark.parametrize(
    ("inches", "said"),
    [
        (0.03125, "1/32"),
        (0.5, "1/2"),
        (2.0, "2"),
        (1.9375, "1 15/16"),
        (-0.25, "−1/4"),
        (0.51, None),
    ],
)
def test_fractions_a_rule_shows(inches: float, said: str | None) -> None:
    assert inch_fraction(inches) == said


def test_exact_numbers_show_all_that_was_typed() -> None:
    assert exact_number(585.0, "length", "mm") == "585"
    assert exact_number(parse_value("0.1875", "length", "in"), "length", "in") == "0.1875"
    assert exact_number(-12.34567, "length", "mm", decimal=",") == "−12,34567"
    assert exact_number(parse_value("23.1", "length", "in"), "length", "in") == "23.1"


UNITS = st.sampled_from(["mm", "in"])
KINDS = st.sampled_from(sorted(QUANTITIES))
VALUES = st.floats(-1e7, 1e7, allow_nan=False)
SIGNS = st.sampled_from([".", ","])


@given(VALUES, KINDS, UNITS, SIGNS)
def test_an_exact_number_typed_again_is_the_same(
    value: float, kind: str, units: str, decimal: str
) -> None:
    factor = QUANTITIES[kind].factor(units)  # type: ignore[arg-type]
    text = exact_number(value * factor, kind, units, decimal=decimal)  # type: ignore[arg-type]
    if "e" not in text:
        back = parse_value(text, kind, units, decimal=decimal, most=math.inf)  # type: ignore[arg-type]
        assert back == pytest.approx(value * factor, rel=1e-9, abs=1e-11 * factor)


@given(VALUES, KINDS, UNITS, SIGNS, st.booleans())
def test_what_is_shown_can_be_typed(
    value: float, kind: str, units: str, decimal: str, fractions: bool
) -> None:
    if " per length" in f" {kind}":  # shown over a span, not as kept, and never typed
        return
    text = format_value(value, kind, units, decimal=decimal, fractions=fractions)  # type: ignore[arg-type]
    back = parse_value(text, kind, units, decimal=decimal, most=math.inf)  # type: ignore[arg-type]
    again = format_value(back, kind, units, decimal=decimal, fractions=fractions)  # type: ignore[arg-type]
    assert again == text


@given(st.text(max_size=12), KINDS, UNITS)
def test_anything_typed_is_a_number_or_a_message(text: str, kind: str, units: str) -> None:
    try:
        assert math.isfinite(parse_value(text, kind, units))  # type: ignore[arg-type]
    except EntryError as error:
        assert len(str(error)) > 10  # noqa: PT017


@given(st.integers(-4000, 4000))
def test_every_line_of_the_rule_is_said_and_read_exactly(count: int) -> None:
    said = inch_fraction(count / 32)
    assert said is not None
    assert parse_value(f"{said} in", "length", "mm") == pytest.approx(count / 32 * 25.4, rel=1e-15)


def test_units_beside_columns() -> None:
    assert unit_of("angle per length", "mm") == "°/25 mm"
    assert unit_of("length", "in") == "in"
    assert number_of(1.0, "plain", "mm") == "1.000"

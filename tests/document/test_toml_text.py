"""Values as TOML text: what another reader reads back, and in whose style."""

import tomllib

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from app.document.toml_text import number_text, string_text
from tests.helpers.long_cases import examples

NUMBERS = st.floats(-1e12, 1e12, allow_nan=False)
STYLES = st.sampled_from(
    ["", "1", "-305", "1_000", "585.0", "0.25", "+1.5", "1e3", "-0.000", "0x1f"]
)


@settings(max_examples=examples(150, 400))
@given(NUMBERS, STYLES)
@example(1 / 3, "0.1")
@example(23.031496062992126, "585.0")
def test_a_number_reads_back_within_1e_12(number: float, like: str) -> None:
    read = tomllib.loads(f"v = {number_text(number, like)}")["v"]
    assert abs(read - number) <= max(1.002e-12 * abs(number), 1e-12)


@given(st.integers(-(10**7), 10**7), st.integers(0, 6))
def test_a_number_typed_with_few_digits_is_written_with_few(count: int, places: int) -> None:
    number = count / 10**places
    for factor in (25.4, 0.45359237, 4.4482216152605 / 25.4, 0.017453292519943295):
        text = number_text(number * factor / factor)
        assert float(text) == number
        assert len(text) <= len(f"{number:.{max(places, 1)}f}")


@pytest.mark.parametrize(
    ("number", "like", "text"),
    [
        (22.0, "", "22.0"),
        (22.0, "585.00", "22.00"),
        (22.125, "585.00", "22.125"),
        (306.0, "305", "306"),
        (305.5, "305", "305.5"),
        (3e7, "30_000_000", "30000000"),
        (3e7, "", "30000000.0"),
        (-0.0, "", "0.0"),
        (3e-15, "", "0.0"),
        (1 / 32, "1.5", "0.03125"),
        (585.0, "23.031496063", "585.0"),
        (1e22, "", "1e+22"),
        (1.5e-7, "1.25", "1.5e-07"),
    ],
)
def test_style_of_numbers(number: float, like: str, text: str) -> None:
    assert number_text(number, like) == text


@given(
    st.text(st.characters(exclude_categories=("Cs",))),
    st.sampled_from(["", '"""', '"""\nx"""', "'x'"]),
)
@example('""""\n""""', "")
@example('"""', '"""')
@example("\n", '"""\nx"""')
@example("a\r\nb\x7f\x00\\", "")
def test_a_text_reads_back_as_it_is(text: str, like: str) -> None:
    assert tomllib.loads(f"v = {string_text(text, like)}")["v"] == text

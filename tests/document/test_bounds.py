"""What physics allows of a number: held wherever one comes in, and nothing beyond can be shown."""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.bounds import bound_words, ends_of, limit_ends
from app.document.entries import EntryError, parse_value
from app.document.faults import SetupFaults
from app.document.keys import ALL_KEYS
from app.document.quantities import QUANTITIES
from app.document.units import NO_VALUE, exact_number, format_value, inch_fraction, number_of
from tests.document.examples import COIL, LEAF, LIMIT_KINDS, LINKS, TORSION
from tests.helpers.long_cases import typical_of
from tests.helpers.reading import parse

NUMBERS = [key for key in ALL_KEYS if key.is_number]
HUGE = ["1e30", "1e300", "-1e30", "9" * 300, "-" + "9" * 300]
TEXTS = (COIL, TORSION, LEAF, LINKS)


@pytest.mark.parametrize("key", NUMBERS, ids=lambda key: key.name)
def test_every_number_has_a_least_and_a_most_and_what_is_usual_lies_between(key) -> None:  # type: ignore[no-untyped-def]
    over, least, most = ends_of(key.kind, key.over, key.least, key.most)
    assert math.isfinite(least)
    assert math.isfinite(most)
    assert least < most
    if key.usual is not None and not key.torsion:
        assert not bound_words(key.usual[0], over, least, most, key.kind, "mm")
        assert not bound_words(key.usual[1], over, least, most, key.kind, "in")


@pytest.mark.parametrize(
    ("text", "huge"),
    typical_of(product(TEXTS, HUGE), [(text, HUGE[n]) for n, text in enumerate(TEXTS)]),
)
def test_a_huge_number_is_a_fault_with_its_line_and_key_wherever_it_stands(
    text: str, huge: str
) -> None:
    """Every number of every example in turn, those of points, leaves, limits and changes too."""
    lines = text.split("\n")
    for count, line in enumerate(lines):
        name, equals, value = line.partition("=")
        number = value.split("#")[0].strip()
        if not equals or not number.replace(".", "").replace("-", "").isdigit():
            continue
        broken = [*lines[:count], f"{name}= {huge}", *lines[count + 1 :]]
        with pytest.raises(SetupFaults, match=r"found|newer") as caught:
            parse("\n".join(broken), limit_kinds=LIMIT_KINDS)
        told = [fault for fault in caught.value.faults if fault.line == count + 1]
        assert told
        assert name.strip().strip('"').rpartition(".")[2] in told[0].key


KINDS = st.sampled_from(sorted(QUANTITIES))
UNITS = st.sampled_from(["mm", "in"])
ANY = st.floats(allow_nan=True, allow_infinity=True)


@given(ANY, KINDS, UNITS, st.booleans())
def test_no_number_keeps_words_from_being_made(
    value: float, kind: str, units: str, fractions: bool
) -> None:
    number = number_of(value, kind, units)  # type: ignore[arg-type]
    words = format_value(value, kind, units, fractions=fractions)  # type: ignore[arg-type]
    exact_number(value, kind, units)  # type: ignore[arg-type]
    inch_fraction(value)
    assert len(number) < 24
    assert "nan" not in words
    assert "inf" not in words
    if not math.isfinite(value):
        assert number == NO_VALUE


@given(ANY, KINDS, UNITS)
def test_what_can_be_typed_is_what_a_file_may_hold(value: float, kind: str, units: str) -> None:
    text = exact_number(value, kind, units)  # type: ignore[arg-type]
    try:
        read = parse_value(text, kind, units)  # type: ignore[arg-type]
    except EntryError:
        return
    assert not bound_words(read, None, None, None, kind, units)  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", sorted(QUANTITIES))
def test_a_limit_may_lie_further_out_than_a_value(kind: str) -> None:
    low, high = limit_ends(kind)
    assert high == -low > ends_of(kind, None, None, None)[2]


@pytest.mark.parametrize(
    ("typed", "kind", "words"),
    [
        ("9" * 33, "spring rate", "at most 10000000 N/mm"),
        ("30000", "length", "at least -20000, at most 20000 mm"),
        ("-21 m", "length", "at most 20000 mm"),
        ("400", "angle", "at most 360 °"),
    ],
)
def test_too_large_a_number_is_refused_with_what_it_can_be(
    typed: str, kind: str, words: str
) -> None:
    with pytest.raises(EntryError, match=words):
        parse_value(typed, kind, "mm")

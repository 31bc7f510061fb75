"""Words on paper: nothing is lost by wrapping, nothing is wider than its column."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.paper.faces import LEAST, TEXT, TITLE, elided, fitting, width_of, wrapped
from app.sheet.heads import day_words, title_lines
from app.sheet.notes import unbroken

pytestmark = pytest.mark.gui

words = st.text(st.characters(codec="latin-1", exclude_categories=["C", "Z"]), min_size=1)
texts = st.lists(words, max_size=30).map(" ".join)


@given(texts, st.floats(12.0, 180.0))
def test_wrapped_lines_fit_and_hold_every_letter(text: str, width: float) -> None:
    lines = wrapped(text, TEXT, width)
    assert all(width_of(line, TEXT) <= width + 1e-6 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(texts, st.floats(20.0, 120.0))
def test_a_line_made_to_fit_fits(text: str, width: float) -> None:
    face = fitting(text, TITLE, width)
    assert face.points >= LEAST
    assert width_of(elided(text, face, width), face) <= width + 1e-6


def test_a_long_title_goes_on_two_lines_whole() -> None:
    title = "A car of which there is a great deal to be said already in its very name, 1963"
    lines, _ = title_lines(title, 132.0)
    assert len(lines) == 2
    assert " ".join(lines) == title


def test_line_breaks_inside_a_paragraph_are_the_editors_and_go() -> None:
    text = "One sentence that\nwas broken.\n\nAnother.\n- a point\n- a second\n1. first"
    assert unbroken(text) == (
        "One sentence that was broken.\n\nAnother.\n- a point\n- a second\n1. first"
    )


def test_dates_are_said_in_full_and_other_words_left_alone() -> None:
    assert day_words("2026-11-04") == "4 Nov 2026"
    assert day_words("autumn 2026") == "autumn 2026"

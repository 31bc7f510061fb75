"""The spring order as a page of the sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.shop.extras import EXTRAS
from tests.helpers.long_cases import typical_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    SAMPLES,
    clashes_of,
    needs_poppler,
    printed_whole,
    sample,
    with_all_on,
    with_on,
    words_of,
)

pytestmark = pytest.mark.gui

ONLY = ("spring-order",)


def test_coils_are_ordered_with_rate_lengths_and_load(tmp_path: Path) -> None:
    setup = with_on(sample("small_saloon"), "Spring 70")
    order = texts_of(printed_whole(setup, tmp_path / "sheet.pdf", extras=EXTRAS))[-1]
    for words in (
        "Spring order · Front coil springs",
        "Number: 2, left and right alike",
        "63.0 N/mm 70.0 N/mm",
        "319.0 mm 309.8 mm",
        "Load at that length",
        "Wire diameter",
        "ordered by, date",
        "A spring stores energy",
    ):
        assert words in order


def test_leaves_are_ordered_with_their_cutting_list(tmp_path: Path) -> None:
    setup = with_on(sample("small_saloon"), "Leaf 4 out")
    order = texts_of(printed_whole(setup, tmp_path / "sheet.pdf", extras=EXTRAS))[-1]
    for words in (
        "Spring order · Rear leaf springs",
        "Free arch: centre bolt below the eyes",
        "Clips on",
        "Leaf pack to build up",
        "was leaf 5",
        "upturned",
    ):
        assert words in order


@needs_poppler
@pytest.mark.parametrize(
    ("name", "paper"),
    typical_of(
        [*((name, "a4") for name in SAMPLES), ("inch_sedan", "letter")],
        [("small_saloon", "a4"), ("inch_sedan", "letter")],
    ),
)
def test_no_words_overlap(name: str, paper: str, tmp_path: Path) -> None:
    path = printed_whole(with_all_on(sample(name)), tmp_path / "sheet.pdf", paper, extras=ONLY)
    for text, words in zip(texts_of(path), words_of(path), strict=True):
        if "Spring order" in text:
            assert not clashes_of(words)

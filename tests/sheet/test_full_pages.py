"""Every page of a sheet is worth its paper, and nothing on it stands alone."""

from __future__ import annotations

from functools import cache
from itertools import product

import pytest

from app.document.model import Setup
from app.paper.flow import Page
from app.paper.packing import FULL
from app.paper.sizes import PAPERS
from app.sheet.heads import BODY, FOOT
from app.sheet.pages import setup_sheet
from app.systems.every import given_systems
from tests.helpers.long_cases import typical_of
from tests.helpers.sheets import SAMPLES, sample, with_all_on

pytestmark = pytest.mark.gui

CARS = {
    f"{name}{how}": make(sample(name))
    for name in SAMPLES
    for how, make in (
        ("", lambda setup: setup),
        (", all on", with_all_on),
        (", all off", lambda setup: setup.having(changes=())),
    )
}


KEPT = ("small_saloon, all on", "hillclimb_special, all on", "inch_sedan", "torsion_coupe, all off")


@pytest.mark.parametrize(
    ("name", "paper"),
    typical_of(
        product(CARS, PAPERS), [("inch_sedan, all on", "letter"), *((name, "a4") for name in KEPT)]
    ),
)
def test_every_page_is_at_least_a_third_full(name: str, paper: str, qapp: object) -> None:
    for words, page in pages_of(CARS[name], paper):
        room = PAPERS[paper].height - FOOT - BODY
        used = sum(placed.block.gap + placed.block.height for placed in page) / room
        assert used >= FULL, (words, round(used, 2))


@pytest.mark.parametrize("name", typical_of(CARS, KEPT))
def test_no_page_ends_with_what_belongs_to_the_next(name: str, qapp: object) -> None:
    pages = pages_of(CARS[name], "a4")
    for _, page in pages:
        assert not page[-1].block.keeps
    signed = next(
        page for _, page in pages if any(each.block.sinks for each in page) or page is pages[-1][1]
    )
    assert len(signed) > 1


@cache
def pages_of(setup: Setup, paper: str) -> list[tuple[str, Page]]:
    studies = [system.study(setup) for system in given_systems(setup)]
    return list(setup_sheet(studies, PAPERS[paper], extras=()).pages)

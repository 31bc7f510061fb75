"""Sections on pages: nothing is lost, parts fill what is left, no page is nearly empty."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from app.paper.flow import Block
from app.paper.packing import FULL, Part, Section, packed
from tests.paper.test_flow import BOTTOM, TOP, block

pytestmark = pytest.mark.gui

ROOM = BOTTOM - TOP


def part(name: str, *shares: float) -> Part:
    return Part(name, tuple(block(share * ROOM) for share in shares))


def banner(words: str) -> Block:
    return block(8.0, keeps=True)


def heads(*sections: Section) -> list[str]:
    return [words for words, _ in packed(sections, TOP, BOTTOM, banner)]


def test_a_part_that_fits_goes_before_one_that_does_not() -> None:
    front = Section("Front", (part("drawing", 0.6), part("results", 0.7), part("limits", 0.2)))
    assert heads(front) == ["Front · drawing, limits", "Front · results"]


def test_what_is_fixed_keeps_its_order() -> None:
    order = Section("Order", (part("", 0.6), part("", 0.7), part("", 0.2)), fixed=True)
    assert heads(order) == ["Order", "Order, continued"]


def test_a_section_begins_a_page_unless_the_one_before_left_it_nearly_empty() -> None:
    front = Section("Front", (part("drawing", 0.5), part("points", 0.2)))
    assert heads(Section("Order", (part("", 0.5),)), front) == ["Order", "Front · drawing, points"]
    assert heads(Section("Order", (part("", 0.9, 0.2),)), front) == [
        "Order",
        "Order, continued; Front · drawing, points",
    ]


def test_a_section_goes_on_where_that_saves_a_page() -> None:
    order = Section("Order", (part("", 0.9, 0.5),))
    front = Section("Front", (part("drawing", 0.4), part("points", 0.5), part("results", 0.3)))
    assert heads(order, front) == [
        "Order",
        "Order, continued; Front · drawing",
        "Front · points, results",
    ]


def test_what_sinks_to_the_foot_fills_no_page() -> None:
    signatures = replace(block(0.2 * ROOM), sinks=True)
    order = Section("Order", (Part("", (block(0.9 * ROOM), block(0.25 * ROOM), signatures)),))
    front = Section("Front", (part("drawing", 0.45), part("points", 0.5)))
    assert heads(order, front)[1] == "Order, continued; Front · drawing"


def test_a_last_page_takes_from_the_one_before() -> None:
    front = Section("Front", (part("results", 0.3, 0.3, 0.3, 0.2),))
    pages = packed([front], TOP, BOTTOM, banner)
    assert [len(page) for _, page in pages] == [2, 2]


sections = st.lists(
    st.lists(st.lists(st.floats(0.02, 0.9), min_size=1, max_size=4), min_size=1, max_size=5),
    min_size=1,
    max_size=3,
)


@given(sections)
def test_every_block_is_on_one_page_and_below_the_one_before(
    drawn: list[list[list[float]]],
) -> None:
    made = [
        Section(f"S{i}", tuple(part(f"p{j}", *shares) for j, shares in enumerate(parts)))
        for i, parts in enumerate(drawn)
    ]
    pages = [page for _, page in packed(made, TOP, BOTTOM, banner)]
    wanted = sorted(id(b.paint) for section in made for p in section.parts for b in p.blocks)
    own = {*wanted}
    told = [id(each.block.paint) for page in pages for each in page]
    assert sorted(one for one in told if one in own) == wanted
    for page in pages:
        at = TOP
        for each in page:
            assert each.top >= at - 1e-9
            at = each.top + each.block.height
        assert at <= BOTTOM + 1e-9


@given(sections)
@example([[[0.75, 0.5], [0.5]], [[0.25], [0.75, 0.5], [0.5]]])  # a short part first cost a page
@example([[[0.9, 0.1, 0.9, 0.75], [0.1, 0.1, 0.1]], [[0.02, 0.75]]])
def test_no_more_pages_than_if_every_section_kept_its_order(drawn: list[list[list[float]]]) -> None:
    made = [
        Section(f"S{i}", tuple(part(f"p{j}", *shares) for j, shares in enumerate(parts)))
        for i, parts in enumerate(drawn)
    ]
    kept_order = [Section(each.title, each.parts, fixed=True) for each in made]
    assert len(heads(*made)) <= len(heads(*kept_order))


def test_a_third_is_what_a_page_must_hold() -> None:
    assert pytest.approx(1 / 3) == FULL

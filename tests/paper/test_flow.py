"""Pages out of blocks: nothing is lost, nothing runs off the paper, what belongs together stays."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.paper.flow import Block, Placed, flow, kept
from app.paper.ink import Ink

pytestmark = pytest.mark.gui

TOP, BOTTOM = 30.0, 280.0


def block(height: float, **more: object) -> Block:
    """A block that can be told from any other by what it paints."""

    def paint(ink: Ink, top: float) -> None:
        pass

    return Block(height, paint, **more)  # type: ignore[arg-type]


blocks = st.lists(
    st.builds(
        block,
        st.floats(1.0, 120.0),
        gap=st.floats(0.0, 12.0),
        keeps=st.booleans(),
        repeats=st.sampled_from([None, block(6.0)]),
    ),
    max_size=40,
)


def placed(pages: list[tuple[Placed, ...]]) -> list[Placed]:
    return [each for page in pages for each in page]


@given(blocks)
def test_every_block_is_placed_once_and_in_order(given_blocks: list[Block]) -> None:
    heads = {each.repeats.paint for each in given_blocks if each.repeats}
    pages = flow(given_blocks, TOP, BOTTOM)
    own = [each.block.paint for each in placed(pages) if each.block.paint not in heads]
    assert own == [each.paint for each in given_blocks]


@given(blocks)
def test_nothing_is_placed_above_below_or_upon_another(given_blocks: list[Block]) -> None:
    for page in flow(given_blocks, TOP, BOTTOM):
        at = TOP
        for each in page:
            assert each.top >= at - 1e-9
            at = each.top + each.block.height
        assert at <= BOTTOM + 1e-9


def test_a_heading_goes_overleaf_with_what_it_heads() -> None:
    heading = block(8.0, keeps=True)
    pages = flow([block(235.0), heading, block(10.0)], TOP, BOTTOM)
    assert [len(page) for page in pages] == [1, 2]
    assert pages[1][0].block.paint is heading.paint


def test_a_table_repeats_its_head_on_the_next_page() -> None:
    head = block(5.0, keeps=True)
    pages = flow([head, *(block(10.0, repeats=head) for _ in range(40))], TOP, BOTTOM)
    assert len(pages) == 2
    assert all(page[0].block.paint is head.paint for page in pages)


def test_what_is_kept_together_parts_only_when_no_page_holds_it() -> None:
    assert len(flow([block(100.0), *kept([block(60.0)] * 3)], TOP, BOTTOM)) == 2
    pages = flow(kept([block(60.0)] * 9), TOP, BOTTOM)
    assert [len(page) for page in pages] == [4, 4, 1]


def test_a_sinking_block_stands_at_the_foot() -> None:
    ((_, foot),) = flow([block(20.0), block(15.0, sinks=True)], TOP, BOTTOM)
    assert foot.top + foot.block.height == BOTTOM


def test_an_empty_section_still_has_a_page() -> None:
    assert flow([], TOP, BOTTOM) == [()]

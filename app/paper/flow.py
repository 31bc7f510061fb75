"""Pages made of blocks, each with a height; long lists continue on the next page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from app.paper.ink import Ink
from geometry.dataclass import dataclass

Paint = Callable[[Ink, float], None]  # ink, top of the block [mm]


@dataclass(frozen=True)
class Block:
    """Something as high as it says; painted from its top.

    `gap` is the space above it, which the top of a page swallows. With `keeps` it stays on the
    page of the block that follows. `repeats` is painted again where the block begins a page.
    `sinks` puts it at the foot of its page. With `begins` it begins a page. `part` names what it is
    part of.
    """

    height: float
    paint: Paint
    gap: float = 0.0
    keeps: bool = False
    repeats: Block | None = None
    sinks: bool = False
    begins: bool = False
    part: str = ""


@dataclass(frozen=True)
class Placed:
    """A block and the place of its top on its page [mm]."""

    block: Block
    top: float


Page = tuple[Placed, ...]


def flow(blocks: Sequence[Block], top: float, bottom: float) -> list[Page]:
    """Return pages of blocks between two heights [mm]; there is at least one page."""
    blocks = _partable(blocks, bottom - top)
    pages: list[list[Placed]] = [[]]
    at = top
    for index, block in enumerate(blocks):
        needed = _run(blocks, index)
        if pages[-1] and (block.begins or at + block.gap + needed > bottom):
            pages.append([])
            at = top
            if block.repeats is not None:
                pages[-1].append(Placed(block.repeats, at))
                at += block.repeats.height
        at += block.gap if pages[-1] else 0.0
        place = max(at, bottom - block.height) if block.sinks else at
        pages[-1].append(Placed(block, place))
        at = place + block.height
    return [tuple(page) for page in pages]


def _partable(blocks: Sequence[Block], room: float) -> list[Block]:
    """Return blocks whose groups are split if too high for a page, but not after the first one."""
    loose: list[Block] = []
    start = 0
    for index, block in enumerate(blocks):
        begins = index == 0 or not blocks[index - 1].keeps
        start = index if begins else start
        too_long = block.keeps and _run(blocks, start) > room
        loose.append(replace(block, keeps=index == start) if too_long else block)
    return loose


def _run(blocks: Sequence[Block], index: int) -> float:
    """Return the height of a block with those that must stay on its page [mm]."""
    height = blocks[index].height
    while blocks[index].keeps and index + 1 < len(blocks):
        index += 1
        height += blocks[index].gap + blocks[index].height
    return height


def kept(blocks: Sequence[Block]) -> list[Block]:
    """Return blocks that stay on one page as long as a page can hold them."""
    return [*(replace(block, keeps=True) for block in blocks[:-1]), *blocks[-1:]]


def spaced(blocks: Sequence[Block], gap: float) -> list[Block]:
    """Return blocks with more space above the first."""
    return [replace(blocks[0], gap=gap), *blocks[1:]] if blocks else []


def height_of(blocks: Sequence[Block]) -> float:
    """Return the height of blocks under each other [mm]."""
    return sum(block.gap + block.height for block in blocks)


def voided(blocks: Sequence[Block]) -> list[Block]:
    """Return blocks whose words are struck through."""
    return [replace(block, paint=_voided(block)) for block in blocks]


def _voided(block: Block) -> Callable[[Ink, float], None]:
    def paint(ink: Ink, top: float) -> None:
        with ink.voided():
            block.paint(ink, top)

    return paint

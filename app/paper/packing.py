"""Parts of sections put on pages so that none is nearly empty: what fits goes first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import Final

from app.paper.flow import Block, Page, Placed, flow
from geometry.dataclass import dataclass

FULL: Final = 1 / 3  # a page that is less full than this is nearly empty
BETWEEN: Final = " · "

Banner = Callable[[str], Block]


@dataclass(frozen=True)
class Part:
    """Blocks that a page's head names together, such as a table with its heading."""

    name: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Section:
    """Parts with one title, in the order in which they are read; a fixed one keeps it."""

    title: str
    parts: tuple[Part, ...]
    fixed: bool = False


def section_of(title: str, parts: Mapping[str, Sequence[Block]]) -> Section:
    """Return a section of what there is of its parts."""
    return Section(title, tuple(Part(name, tuple(each)) for name, each in parts.items() if each))


def packed(
    sections: Sequence[Section], top: float, bottom: float, banner: Banner
) -> list[tuple[str, Page]]:
    """Return pages between two heights [mm], each with the words of its head; one at least.

    A section begins a page, unless the one before it leaves its last page nearly empty but for
    what sinks to the foot, or a page is saved by it; then it goes on there under a banner with its
    title. A part that doesn't fit the rest of a page waits where a later one of its section does,
    unless all in their order take fewer pages.
    """
    packer = _Packer(top, bottom, banner)
    in_order = [replace(section, fixed=True) for section in sections]
    pages = min(map(packer.pages, (sections, in_order)), key=len)
    return list(_headed(pages))


@dataclass(frozen=True)
class _Packer:
    top: float
    bottom: float
    banner: Banner

    def pages(self, sections: Sequence[Section]) -> list[Page]:
        """Return the pages of sections."""
        blocks: list[Block] = []
        for section in sections:
            if any(part.blocks for part in section.parts):
                blocks = self.joined(blocks, section)
        return self.flow(self.balanced(blocks))

    def flow(self, blocks: Sequence[Block]) -> list[Page]:
        return flow(blocks, self.top, self.bottom)

    def joined(self, blocks: list[Block], section: Section) -> list[Block]:
        """Return blocks with those of one more section."""
        apart = self._ordered(blocks, section, begins=bool(blocks))
        if not blocks:
            return apart
        level = [replace(block, sinks=False) for block in blocks]
        title = replace(self.banner(section.title), part=section.title)
        shared = self._ordered([*level, title], section, begins=False)
        saved = len(self.flow(apart)) - len(self.flow(shared))
        last = [placed for placed in self.flow(blocks)[-1] if not placed.block.sinks]
        is_nearly_empty = self._fill(last) < FULL
        return shared if saved > 0 or (saved == 0 and is_nearly_empty) else apart

    def _ordered(self, before: list[Block], section: Section, begins: bool) -> list[Block]:
        """Return blocks with a section's parts, each where it still fits the page if one does.

        They stay in their order where that takes fewer pages: a part that goes before a long one
        may leave it a page less full.
        """
        parts = [_labelled(section, part) for part in section.parts if part.blocks]
        if begins:
            parts[0] = [replace(parts[0][0], begins=True), *parts[0][1:]]
        in_order = [*before, *chain.from_iterable(parts)]
        if section.fixed:
            return in_order
        blocks = list(before)
        while parts:
            blocks += parts.pop(self._next(blocks, parts))
        return min(blocks, in_order, key=lambda each: len(self.flow(each)))

    def _next(self, blocks: list[Block], parts: Sequence[list[Block]]) -> int:
        if parts[0][0].begins:
            return 0
        pages = len(self.flow(blocks))
        fits = (i for i, part in enumerate(parts) if len(self.flow([*blocks, *part])) == pages)
        return next(fits, 0)

    def balanced(self, blocks: list[Block]) -> list[Block]:
        """Return blocks of which the last page has enough, taken from the one before if need be."""
        pages = self.flow(blocks)
        if len(pages) < 2 or self._fill(pages[-1]) >= FULL:
            return blocks
        for index in range(len(blocks) - 1, 0, -1):
            if blocks[index - 1].keeps:
                continue
            moved = [*blocks[:index], replace(blocks[index], begins=True), *blocks[index + 1 :]]
            again = self.flow(moved)
            if len(again) == len(pages) and min(map(self._fill, again[-2:])) >= FULL:
                return moved
        return blocks

    def _fill(self, page: Sequence[Placed]) -> float:
        used = sum(placed.block.gap + placed.block.height for placed in page)
        return used / (self.bottom - self.top)


def _labelled(section: Section, part: Part) -> list[Block]:
    label = f"{section.title}{BETWEEN}{part.name}" if part.name else section.title
    return [replace(block, part=label) for block in part.blocks]


def _headed(pages: Sequence[Page]) -> Iterator[tuple[str, Page]]:
    """Yield pages with what their heads say: sections, and what is there of each."""
    told: set[str] = set()
    for page in pages:
        names: dict[str, list[str]] = {}
        for placed in page:
            title, _, name = placed.block.part.partition(BETWEEN)
            if title and name not in names.setdefault(title, []) and name:
                names[title].append(name)
        words = (
            f"{title}{BETWEEN}{', '.join(of_it)}"
            if of_it
            else f"{title}{', continued' if title in told else ''}"
            for title, of_it in names.items()
        )
        yield "; ".join(words), page
        told |= names.keys()

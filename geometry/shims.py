"""Packs of shims: which thicknesses the sizes give, and the fewest shims that make each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final

_GRAIN: Final = 1e-6  # mm: thicknesses nearer to each other are one
_MOST_WAYS: Final = 400  # of making one thickness that are looked at

Counts = tuple[int, ...]


def thicknesses(sizes: Sequence[float], most: float, have: Sequence[float] = ()) -> list[float]:
    """Return every thickness that shims make [mm], none included, rising.

    Parameters
    ----------
    sizes
        Thicknesses of single shims that exist [mm].
    most
        Thickest pack [mm].
    have
        Pieces of each size; without limit where nothing is given.
    """
    reached = {0.0}
    for size, count in zip(sizes, _limits(sizes, most, have), strict=True):
        reached |= {
            round(start + times * size, 6)
            for start in reached
            for times in range(count + 1)
            if start + times * size <= most + _GRAIN
        }
    return sorted(reached)


def fewest(
    packs: Sequence[float], sizes: Sequence[float], have: Sequence[float] = ()
) -> tuple[Counts, ...] | None:
    """Return the fewest shims that make packs together, how many of each size for each pack.

    Exact, not greedy: all ways of making each pack are looked at, so that packs share the pieces.

    Parameters
    ----------
    packs
        Thicknesses to be made [mm].
    sizes
        Thicknesses of single shims [mm].
    have
        Pieces of each size for all packs together; without limit where nothing is given.

    Returns
    -------
    tuple | None
        Counts by size for each pack; None where they can't be made.
    """
    return _fewest(
        tuple(round(float(pack), 6) for pack in packs), tuple(map(float, sizes)), tuple(have)
    )


@lru_cache(maxsize=65536)
def _fewest(
    packs: tuple[float, ...], sizes: tuple[float, ...], have: tuple[float, ...]
) -> tuple[Counts, ...] | None:
    """Look depth first for the fewest; a branch ends where it can't have fewer than the best."""
    stock = tuple(_limits(sizes, sum(packs), have))
    ways = [_ways(pack, sizes, stock) for pack in packs]
    if not all(ways):
        return None
    least_after = [sum(sum(each[0]) for each in ways[place:]) for place in range(len(ways) + 1)]
    best: list[tuple[Counts, ...]] = []
    seen: set[tuple[int, Counts]] = set()  # what is left tells how many pieces went as well

    def look(chosen: tuple[Counts, ...], left: Counts, pieces: int) -> None:
        place = len(chosen)
        if (place, left) in seen:
            return
        seen.add((place, left))
        if place == len(ways):
            best[:] = [chosen]
            return
        for way in ways[place]:
            more = pieces + sum(way)
            if best and more + least_after[place + 1] >= sum(map(sum, best[0])):
                return  # the ways come with the fewest shims first
            rest = tuple(there - taken for there, taken in zip(left, way, strict=True))
            if min(rest) >= 0:
                look((*chosen, way), rest, more)

    look((), stock, 0)
    return best[0] if best else None


def refitted(
    fitted: Sequence[float],
    packs: Sequence[float],
    sizes: Sequence[float],
    have: Sequence[float] = (),
) -> list[list[float]] | None:
    """Return the shims of new packs, the thickest first; None where they can't be made.

    A bolt whose pack keeps its thickness is left alone. Of the others all shims come out, and can
    be used again: they count with those in hand.

    Parameters
    ----------
    fitted
        Thickness of the pack at each bolt now [mm].
    packs
        What it shall be [mm].
    sizes
        Thicknesses of single shims [mm].
    have
        Pieces of each size in hand; without limit where nothing is given.
    """
    is_kept = [abs(new - old) < _GRAIN for new, old in zip(packs, fitted, strict=True)]
    out = [old for old, kept in zip(fitted, is_kept, strict=True) if not kept]
    made = fewest(
        [new for new, kept in zip(packs, is_kept, strict=True) if not kept],
        sizes,
        pieces_with(out, sizes, have),
    )
    if made is None:
        return None
    counts = iter(made)
    return [
        ([pack] if pack else []) if kept else as_list(next(counts), sizes)
        for pack, kept in zip(packs, is_kept, strict=True)
    ]


def pieces_with(
    packs: Sequence[float], sizes: Sequence[float], have: Sequence[float]
) -> tuple[float, ...]:
    """Return the pieces of each size in hand and in packs; nothing where they aren't counted.

    A pack is known by its thickness alone: it counts as the fewest shims that make it, and as none
    where no shims do.

    Parameters
    ----------
    packs
        Thicknesses of packs whose shims can be used [mm].
    sizes
        Thicknesses of single shims [mm].
    have
        Pieces of each size in hand; without limit where nothing is given.
    """
    if not have:
        return ()
    counts = [made[0] for pack in packs if (made := fewest((pack,), sizes)) is not None]
    return tuple(map(sum, zip(have, *counts, strict=True)))


def as_list(counts: Counts, sizes: Sequence[float]) -> list[float]:
    """Return the shims of a pack one by one [mm], the thickest first.

    Parameters
    ----------
    counts
        How many of each size.
    sizes
        Thicknesses of single shims [mm].
    """
    pieces = (size for size, count in zip(sizes, counts, strict=True) for _ in range(count))
    return sorted(pieces, reverse=True)


def _limits(sizes: Sequence[float], most: float, have: Sequence[float]) -> list[int]:
    full = [int((most + _GRAIN) // size) for size in sizes]
    return [min(f, int(h)) for f, h in zip(full, have, strict=True)] if have else full


@lru_cache(maxsize=4096)
def _ways(pack: float, sizes: tuple[float, ...], stock: Counts) -> tuple[Counts, ...]:
    """Return the ways of making one thickness, those of the fewest shims first."""
    ways = sorted(_made(pack, sizes, stock), key=sum)
    return tuple(ways[:_MOST_WAYS])


def _made(pack: float, sizes: tuple[float, ...], stock: Counts) -> Iterator[Counts]:
    if not sizes:
        if abs(pack) < _GRAIN:
            yield ()
        return
    size, limit = sizes[-1], stock[-1]
    for count in range(min(limit, int((pack + _GRAIN) // size)) + 1):
        for rest in _made(pack - count * size, sizes[:-1], stock[:-1]):
            yield (*rest, count)

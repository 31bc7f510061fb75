"""Packs of shims: which thicknesses the sizes give, and the fewest shims that make each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import product
from math import inf
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
    order = tuple(float(size) for size in sizes)
    stock = tuple(map(int, have)) or (10**6,) * len(order)
    ways = [_ways(round(pack, 6), order, stock) for pack in packs]
    if not all(ways):
        return None
    best: tuple[Counts, ...] | None = None
    least = inf
    for choice in product(*ways):
        pieces = sum(map(sum, choice))
        if pieces >= least:
            continue
        used = [sum(counts) for counts in zip(*choice, strict=True)]
        if all(number <= limit for number, limit in zip(used, stock, strict=True)):
            best, least = choice, pieces
    return best


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

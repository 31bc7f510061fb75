"""What is done to a pack of leaves, leaf by leaf, from the old and the new one. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import cast

from app.document.leaf_pairs import Leaves, Pairing, paired
from app.document.model import Leaf, Setup, Units
from app.document.units import number_of
from app.words.lengths import bench_length, bench_number

KEY = "rear.pack.leaf"


def measured_leaves(setup: Setup) -> Leaves:
    """Return the leaves as found, none where the car has none."""
    return cast(Leaves, setup.evidence.get(KEY, ()))


def leaf_steps(before: Leaves, after: Leaves, units: Units, decimal: str) -> Iterator[str]:
    """Yield the steps from one pack to the other; leaves are numbered as they were found."""
    pairs = paired(before, after)
    exchanged = _exchanged(pairs, before, after)
    if exchanged is not None:
        yield f"exchange leaves {exchanged[0] + 1} and {exchanged[1] + 1}"
        return
    for pair in pairs:
        if pair.is_moved and pair.now is not None and pair.was is not None:
            yield f"put leaf {pair.was + 1} in place {pair.now + 1} from the main leaf"
        if pair.now is None and pair.was is not None:
            yield f"take out leaf {pair.was + 1} ({_size(before[pair.was], units, decimal)})"
        elif pair.was is None and pair.now is not None:
            size = _size(after[pair.now], units, decimal)
            yield f"add a leaf as number {pair.now + 1} from the main leaf ({size})"
        elif pair.was is not None and pair.now is not None:
            field_texts = list(_fields(before[pair.was], after[pair.now], units, decimal))
            if field_texts:
                yield f"leaf {pair.was + 1} {', '.join(field_texts)}"


def _exchanged(pairs: tuple[Pairing, ...], before: Leaves, after: Leaves) -> tuple[int, int] | None:
    """Return the two leaves that have changed places, None where anything else is done."""
    if len(before) != len(after) or any(pair.was is None or pair.now is None for pair in pairs):
        return None
    one, other = ([replace(leaf, note="") for leaf in pack] for pack in (before, after))
    places = [at for at, (was, now) in enumerate(zip(one, other, strict=True)) if was != now]
    if len(places) != 2 or [other[at] for at in places] != [one[at] for at in places[::-1]]:
        return None
    return places[0], places[1]


def _size(leaf: Leaf, units: Units, decimal: str) -> str:
    halves = (bench_number(half, units, decimal) for half in (leaf.front, leaf.rear))
    return f"{thickness(leaf, units, decimal)} {units} thick, {' + '.join(halves)} {units} long"


def thickness(leaf: Leaf, units: Units, decimal: str) -> str:
    """Return a thickness as a caliper reads it."""
    places = 2 if units == "mm" else 3
    return number_of(leaf.thickness, "length", units, decimal=decimal, places=places)


def _fields(was: Leaf, now: Leaf, units: Units, decimal: str) -> Iterator[str]:
    if was.thickness != now.thickness:
        sizes = (thickness(leaf, units, decimal) for leaf in (now, was))
        yield "{} {unit} thick (was {})".format(*sizes, unit=units)
    for end in ("front", "rear"):
        if getattr(was, end) != getattr(now, end):
            sizes = (bench_length(getattr(leaf, end), units, decimal) for leaf in (now, was))
            yield "{} long at the {end} (was {})".format(*sizes, end=end)
    if was.contact != now.contact:
        yield _contact(was, now, units, decimal)
    if was.clipped != now.clipped:
        yield "with clips" if now.clipped else "without its clips"
    if was.taper != now.taper:
        yield f"of {'parabolic' if now.taper == 'parabolic' else 'uniform'} thickness"
    if was.nip != now.nip:
        yield f"with a nip of {bench_length(now.nip or 0.0, units, decimal)}"
    if (was.modulus, was.limit_stress) != (now.modulus, now.limit_stress):
        yield "of another material"


def _contact(was: Leaf, now: Leaf, units: Units, decimal: str) -> str:
    if now.contact is None:
        return "carries from the start"
    before = "" if was.contact is None else f" (was {bench_length(was.contact, units, decimal)})"
    return f"touches at {bench_length(now.contact, units, decimal)} of bump{before}"

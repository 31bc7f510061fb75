"""What a reading is called: a coordinate, a value, a tape, or what all points share."""

from __future__ import annotations

from app.document.address import split_coordinate
from app.document.keys import KEYS, is_point, kind_of
from app.document.leaf_parts import MEASURED, LeafPart, leaf_part, leaves_in
from app.document.model import Setup, Units, widest
from app.document.point_names import point_title
from app.document.units import exact_number, unit_of

_SHARED = {"datum level": "Level of the datum", "datum centreline": "Centreline of the datum"}
_DIRECTIONS = {"x": "lengthwise", "y": "across", "z": "height"}


def reading_title(name: str, setup: Setup) -> str:
    """Return a reading as people call it: "Upper ball joint, height", "Leaf 3, thickness"."""
    if name in _SHARED:
        return _SHARED[name]
    if name in KEYS:
        return KEYS[name].title
    if (part := leaf_part(name)) is not None:
        return part.title
    key, axis = split_coordinate(name)
    if key in KEYS and axis:
        return f"{point_title(key, setup.evidence)}, {_DIRECTIONS[axis]}"
    return name.capitalize()


def within_words(setup: Setup, key: str, units: Units, decimal: str = ".") -> str:
    """Return how well a reading is known where it says so itself, of unlike axes each.

    "measured within ±1.3 N/mm", "measured within x ±1, y ±1, z ±3 mm"; empty elsewhere.
    """
    within = setup.within.get(key)
    if within is None:
        return ""
    kind = "length" if is_point(key) else kind_of(key, setup.readings)
    sizes = within if isinstance(within, tuple) else (within,)
    texts = [f"±{exact_number(size, kind, units, decimal=decimal)}" for size in sizes]
    if len(texts) > 1:
        texts = [f"{axis} {text}" for axis, text in zip(_DIRECTIONS, texts, strict=True)]
    unit = unit_of(kind, units)
    space = "" if unit.startswith("°") or not unit else " "
    return f"measured within {', '.join(texts)}{space}{unit}"


def leaves_within_words(setup: Setup, units: Units, decimal: str = ".") -> str:
    """Return how well the leaves of a pack were measured, in a sentence; empty where unsaid.

    Where leaves are unlike it is from the best to the worst; one that says nothing counts as exact.
    """
    sizes: dict[str, list[str]] = {}
    leaves = leaves_in(setup.readings)
    for name in MEASURED:
        parts = [LeafPart(n, name) for n, leaf in enumerate(leaves) if getattr(leaf, name)]
        known = sorted({widest(setup.within.get(part.key, 0.0)) for part in parts})
        if known and known[-1] > 0.0:
            ends = dict.fromkeys((known[0], known[-1]))
            texts = [f"±{exact_number(e, parts[0].kind, units, decimal=decimal)}" for e in ends]
            unit = unit_of(parts[0].kind, units)
            sizes.setdefault(unit, []).append(f"{parts[0].words} {' to '.join(texts)}")
    told = "; ".join(f"{', '.join(each)} {unit}" for unit, each in sizes.items())
    return f"Leaves measured within {told}." if told else ""

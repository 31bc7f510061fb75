"""Planes of one's own, kept in the car: what is measured from them as typed texts, and back.

Sideways a plane counts outwards, as what is typed does.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import Final, cast

from app.document.address import AXES, is_right, split_coordinate
from app.document.entries import EntryError, parse_value
from app.document.keys import is_point
from app.document.model import Plane, Setup, Vec
from app.entry.number_text import field_text
from app.entry.typed_text import Base, TypedText

LAST_DIGITS: Final = 1e-6  # mm: what a typed inch loses, and nobody measures


def outward(point: str, axis: int) -> float:
    """Return the sign between what is typed and the car's axis: sideways counts outwards."""
    return -1.0 if axis == 1 and is_right(point) else 1.0


def texts_of(setup: Setup, decimal: str) -> dict[str, TypedText]:
    """Return what would be typed for the axes of points that count from planes of one's own."""
    texts: dict[str, TypedText] = {}
    for plane in setup.planes:
        axis = AXES.index(plane.axis)
        base = Base(plane=plane.name, offset=_text(plane.at, setup, decimal), is_plane=True)
        for key in plane.points:
            place = outward(key, axis) * cast(Vec, setup.readings[key])[axis]
            text = _text(place - plane.at, setup, decimal)
            texts[f"{key}.{plane.axis}"] = TypedText(text, setup.units, base)
    return texts


def _text(value: float, setup: Setup, decimal: str) -> str:
    return field_text(round(value, 9) + 0.0, "length", setup.units, decimal)


def planes_of(
    before: tuple[Plane, ...],
    typed: Mapping[str, TypedText],
    values: Mapping[str, object],
    decimal: str,
) -> tuple[Plane, ...]:
    """Return the planes that are there once these texts are typed over what was before.

    One from which nothing counts any more stays, to be offered again.
    """
    kept = {(plane.axis, plane.name): plane.at for plane in before}
    points: dict[tuple[str, str], list[str]] = {key: [] for key in kept}
    for plane in before:
        untyped = (key for key in plane.points if f"{key}.{plane.axis}" not in typed)
        points[plane.axis, plane.name] += untyped
    for name, text in typed.items():
        key, axis = split_coordinate(name)
        base, title = text.base, text.base.plane.strip()
        if not (is_point(key) and axis and base.is_plane and title and base.offset.strip()):
            continue
        try:
            at = parse_value(base.offset, "length", text.units, decimal=decimal)
        except EntryError:
            continue  # said at its field
        if abs(at - kept.get((axis, title), inf)) > LAST_DIGITS:
            kept[axis, title] = at
        own = points.setdefault((axis, title), [])
        if text.text.strip() and key in values and key not in own:
            own.append(key)
    return tuple(
        Plane(title, axis, kept[axis, title], tuple(points[axis, title])) for axis, title in kept
    )

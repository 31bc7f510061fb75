"""What the guide's fields begin with, and what is typed in them once the other units are shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from app.document.address import AXES
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS, kind_of
from app.document.leaf_parts import LEAVES, leaves_in
from app.document.model import Setup, Units, Value, Vec
from app.entry import leaf_within, within_fields
from app.entry.leaf_rows import leaf_text, row_and_part
from app.entry.leaf_within import is_within
from app.entry.number_text import field_text
from app.entry.own_planes import outward
from app.entry.within_fields import measured_key, within_kind

_NO_LENGTHS = (".note", ".clipped", ".taper")


def text_before(before: Setup, name: str, units: Units, decimal: str) -> str:
    """Return what a field begins with, in the units that are shown."""
    point, _, part = name.rpartition(".")
    if name.startswith(f"{LEAVES}."):
        return _leaf_before(before, name, units, decimal)
    if name in KEYS:
        value = before.readings.get(name)
        if not isinstance(value, int | float):
            return ""
        return field_text(value, kind_of(name, before.readings), units, decimal)
    if part == "note":
        return before.point_notes.get(point, "")
    if measured_key(name):
        return within_fields.text_before(before, name, units, decimal)
    place_before = cast("Vec | None", before.readings.get(point))
    if place_before is None:
        return ""
    axis = AXES.index(part)
    typed = outward(point, axis) * place_before[axis] + 0.0
    return field_text(typed, "length", units, decimal)


def _leaf_before(before: Setup, name: str, units: Units, decimal: str) -> str:
    if is_within(name):
        return leaf_within.text_before(before, name, units, decimal)
    row, part = row_and_part(name)
    leaves = leaves_in(before.readings)
    return leaf_text(leaves[row], part, units, decimal) if row < len(leaves) else ""


def converted(text: str, name: str, values: Mapping[str, Value], units: Units, decimal: str) -> str:
    """Return a field's text, typed in these units, in the others.

    It stays as typed where it names its unit itself, is no length or can't be read.
    """
    key = KEYS.get(name)
    if name.endswith(_NO_LENGTHS) or (key and not key.is_number):
        return text
    kind = _kind(name, values)
    other: Units = "in" if units == "mm" else "mm"
    try:
        value = parse_value(text, kind, units, decimal=decimal)
        if value and value == parse_value(text, kind, other, decimal=decimal):
            return text
    except EntryError:
        return text
    return field_text(value, kind, other, decimal)


def _kind(name: str, values: Mapping[str, Value]) -> str:
    if measured_key(name):
        return within_kind(name, values)
    return kind_of(name, values) if name in KEYS else "length"

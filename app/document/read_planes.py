"""Reading the planes of one's own that points of a setup file were measured from."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from app.document.address import AXES
from app.document.checks import Checker, did_you_mean, found_words, strange
from app.document.model import Plane
from app.document.read_values import Tables
from app.document.toml_layout import Path

PLANE_FIELDS: Final = ("name", "axis", "at", "points")


def read_planes(check: Checker, tables: Tables, points: Collection[str]) -> tuple[Plane, ...]:
    """Return the planes of a file, noting faults in the checker; `points` are those it gives."""
    rows = check.tables(("plane",), tables["plane"]) if "plane" in tables else []
    planes: list[Plane] = []
    for path, row in rows:
        plane = _read_plane(check, path, row, points)
        if plane is None:
            continue
        if any((plane.name, plane.axis) == (one.name, one.axis) for one in planes):
            check.fault((*path, "name"), f"found {found_words(plane.name)} twice", "one plane each")
        for place, key in enumerate(plane.points):
            others = [one for one in planes if one.axis == plane.axis and key in one.points]
            if others or key in plane.points[:place]:
                also = f'counts from "{others[0].name}" too' if others else "is here twice"
                found = f'"{key}" {also}'
                check.fault((*path, "points", place), found, f"one plane for its {plane.axis}")
        planes.append(plane)
    return tuple(planes)


def _read_plane(
    check: Checker, path: Path, row: Mapping[str, Any], points: Collection[str]
) -> Plane | None:
    before = len(check.faults)
    for name in strange(row, PLANE_FIELDS):
        check.unknown((*path, name), PLANE_FIELDS)
    for name, expected in (("name", "a name"), ("axis", '"x", "y" or "z"'), ("at", "a number")):
        if name not in row:
            check.fault((*path, name), "missing", expected)
    if before != len(check.faults):
        return None
    title = check.text((*path, "name"), row["name"])
    axis = check.choice((*path, "axis"), row["axis"], AXES)
    at = check.number((*path, "at"), row["at"], "length")
    raw = row.get("points", [])
    if not isinstance(raw, list):
        check.fault((*path, "points"), f"found {found_words(raw)}", "a list of points")
        return None
    for place, key in enumerate(raw):
        if not isinstance(key, str) or key not in points:
            hint = did_you_mean(key, points) if isinstance(key, str) else ""
            what = "is no point that this file gives"
            check.fault((*path, "points", place), f"{found_words(key)} {what}", "one of them", hint)
    if title is not None and not title.strip():
        check.fault((*path, "name"), "found an empty text", "a name")
    if title is None or axis is None or at is None or before != len(check.faults):
        return None
    return Plane(title, axis, at, tuple(raw))

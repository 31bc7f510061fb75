"""What becomes of planes of one's own when points are measured otherwise."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from app.document.model import Plane, Vec


def measured_otherwise(planes: tuple[Plane, ...], keys: Collection[str]) -> tuple[Plane, ...]:
    """Return planes without points that aren't measured from them any more."""
    left = (tuple(key for key in plane.points if key not in keys) for plane in planes)
    return tuple(replace(plane, points=points) for plane, points in zip(planes, left, strict=True))


def corrected_from(
    planes: tuple[Plane, ...], key: str, was: Vec | None, now: Vec
) -> tuple[Plane, ...]:
    """Return planes without a point along the axes in which it was read again by itself."""
    axes = {axis for axis, *place in zip("xyz", was or now, now, strict=True) if len({*place}) > 1}
    return tuple(
        replace(plane, points=tuple(point for point in plane.points if point != key))
        if plane.axis in axes
        else plane
        for plane in planes
    )


def still_level(planes: tuple[Plane, ...], turned: Collection[str]) -> tuple[Plane, ...]:
    """Return the planes that stay where points are turned: those that no such point counts from."""
    return tuple(plane for plane in planes if not set(turned) & set(plane.points))

"""Where the sign of a stop stands on a device: at its place, but never upon its point."""

from __future__ import annotations

from math import hypot
from typing import Final

from app.drawing.strokes import Place, Stop
from app.drawing.views import Frame

CLEAR: Final = 14.0  # a sign is at least so far from its point [px]


def sign_way(stop: Stop) -> Place:
    """Return which way a stop lies, as a unit vector on a device, y down."""
    right, up = stop.way
    length = max(hypot(right, up), 1e-9)
    return right / length, -up / length


def sign_place(stop: Stop, frame: Frame) -> Place:
    """Return the device place of a stop's sign: pushed out where the drawing is small."""
    (x, y), (right, down) = frame.to_device(stop.about), sign_way(stop)
    end = frame.to_device(stop.at)
    along = (end[0] - x) * right + (end[1] - y) * down
    if abs(along) < CLEAR:
        along = CLEAR
    return x + along * right, y + along * down

"""An invented rear for the pictures, with a short wheelbase so that its axle line can be seen."""

from __future__ import annotations

from typing import Final

from app.document.address import Point, is_right, mirrored
from app.document.model import Vec
from app.document.point_names import point_title
from app.drawing.strokes import Bounds, Drawing
from app.drawing.views import View
from app.entry.pictures import shown_point, zero_lines
from app.entry.rear.members import rear_strokes

TYRE_RADIUS: Final = 300.0
_AXLE: Final[dict[str, Vec]] = {
    "wheel_centre": (-860.0, 700.0, 300.0),
    "axle_centre": (-860.0, 520.0, 300.0),
    "damper_body": (-730.0, 440.0, 640.0),
    "damper_axle": (-800.0, 480.0, 270.0),
    "pinion": (-620.0, 0.0, 310.0),
    "gearbox_joint": (-130.0, 0.0, 350.0),
}
_LEAF: Final[dict[str, Vec]] = {
    "front_eye": (-380.0, 520.0, 330.0),
    "rear_eye": (-1390.0, 520.0, 360.0),
    "shackle_body": (-1405.0, 520.0, 450.0),
    "centre_bolt": (-860.0, 520.0, 250.0),
    "bar_axle": (-860.0, 520.0, 200.0),
    "bar_snubber": (-400.0, 520.0, 260.0),
}
_LINKS: Final[dict[str, Vec]] = {
    "lower_body": (-380.0, 430.0, 290.0),
    "lower_axle": (-850.0, 450.0, 230.0),
    "upper_body": (-500.0, 320.0, 460.0),
    "upper_axle": (-830.0, 330.0, 420.0),
    "lateral_body": (-960.0, 420.0, 380.0),
    "lateral_axle": (-960.0, -430.0, 350.0),
    "spring_body": (-880.0, 470.0, 640.0),
    "spring_axle": (-880.0, 480.0, 350.0),
}
_BARS: Final = ("bar_axle", "bar_snubber")
_SIDE: Final = Bounds(-1480.0, -60.0, 90.0, 800.0)
_LEFT: Final = Bounds(-90.0, -60.0, 860.0, 800.0)
_ACROSS: Final = Bounds(-520.0, -60.0, 860.0, 800.0)


def picture(view: View, kinds: frozenset[str], point: str, axis: int | None) -> Drawing:
    """Return an invented rear of these kinds in a view, one point of it shown and measured."""
    name = Point.at(point).name if point else ""
    on_links = name in _LINKS or (name not in _LEAF and "leaf axle" not in kinds)
    points = {**_AXLE, **(_LINKS if on_links else _LEAF)}
    if name not in _BARS:
        points = {each: at for each, at in points.items() if each not in _BARS}
    right_hand = is_right(point)
    if right_hand:
        points = {each: mirrored(at) for each, at in points.items()}
    strokes = [*zero_lines(view, "front axle line"), *rear_strokes(view, points, TYRE_RADIUS)]
    if name in points:
        strokes += shown_point(view, point, points[name], axis, point_title(point, {}))
    return Drawing(tuple(strokes), _bounds(view, on_links, right_hand))


def _bounds(view: View, on_links: bool, right_hand: bool) -> Bounds:
    if view is not View.FRONT:
        return _SIDE
    if on_links:
        return _ACROSS
    return Bounds(-_LEFT.right, _LEFT.bottom, -_LEFT.left, _LEFT.top) if right_hand else _LEFT

"""An invented car for the pictures: where the point asked for is, and what x, y and z count."""

from __future__ import annotations

from typing import Final

from app.document.address import Point, is_right, mirrored
from app.document.model import Vec
from app.document.point_names import point_title
from app.drawing.strokes import Bounds, Drawing
from app.drawing.views import View
from app.entry.front.members import Build, car_strokes
from app.entry.pictures import shown_point, zero_lines

TYRE_RADIUS: Final = 300.0
_CAR: Final[dict[str, Vec]] = {
    "wheel_centre": (0.0, 730.0, 300.0),
    "upper_front": (110.0, 380.0, 545.0),
    "upper_rear": (-120.0, 388.0, 530.0),
    "upper_ball": (-14.0, 624.0, 520.0),
    "lower_front": (150.0, 280.0, 235.0),
    "lower_rear": (-150.0, 280.0, 245.0),
    "lower_ball": (6.0, 668.0, 200.0),
    "tie_inner": (-165.0, 300.0, 280.0),
    "tie_outer": (-150.0, 640.0, 250.0),
    "pitman_pivot": (-60.0, 360.0, 300.0),
    "pitman_end": (-165.0, 350.0, 290.0),
    "idler_pivot": (-60.0, -360.0, 300.0),
    "idler_end": (-165.0, -350.0, 290.0),
}
_ROD: Final[dict[str, Vec]] = {
    "lower_front": (420.0, 330.0, 250.0),
    "lower_rear": (-10.0, 265.0, 250.0),
    "strut_joint": (20.0, 560.0, 215.0),
}
_SEATS: Final[dict[str, dict[str, Vec]]] = {
    "upper arm": {"spring_arm": (-6.0, 505.0, 560.0), "spring_body": (-6.0, 465.0, 770.0)},
    "lower arm": {"spring_arm": (0.0, 500.0, 235.0), "spring_body": (0.0, 455.0, 540.0)},
}
_FRONT: Final = Bounds(-70.0, -60.0, 850.0, 800.0)
_ACROSS: Final = Bounds(-480.0, -60.0, 850.0, 800.0)  # the idler arm is on the other side
_SIDE: Final = Bounds(-390.0, -60.0, 530.0, 800.0)


def invented_points(build: Build) -> dict[str, Vec]:
    """Return the invented car's points by bare name, built as the user's car is."""
    points = dict(_CAR)
    if build.lower_arm == "link and strut rod":
        points |= _ROD
    if build.spring in _SEATS:
        points |= _SEATS[build.spring]
    seats = _SEATS.get(build.spring, _SEATS["lower arm"])
    points["damper_arm"], points["damper_body"] = seats["spring_arm"], seats["spring_body"]
    if build.steering != "relay":
        points = {n: p for n, p in points.items() if not n.startswith(("pitman", "idler"))}
    return points


def picture(view: View, build: Build, point: str = "", axis: int | None = None) -> Drawing:
    """Return the invented car in a view, with one point shown and measured.

    The dimension of the axis that is being typed is in the accent.
    """
    points = invented_points(build)
    right_hand = is_right(point)
    if right_hand:
        points = {name: mirrored(at) for name, at in points.items()}
    strokes = [*zero_lines(view), *car_strokes(view, points, build, TYRE_RADIUS)]
    name = Point.at(point).name if point else ""
    if name in points:
        title = point_title(point, {"front.lower_arm": build.lower_arm})
        strokes += shown_point(view, point, points[name], axis, title)
    return Drawing(tuple(strokes), _bounds(view, name, right_hand))


def _bounds(view: View, name: str, right_hand: bool) -> Bounds:
    if view is not View.FRONT:
        return _SIDE
    if name.startswith("idler"):
        return _ACROSS
    return Bounds(-_FRONT.right, _FRONT.bottom, -_FRONT.left, _FRONT.top) if right_hand else _FRONT

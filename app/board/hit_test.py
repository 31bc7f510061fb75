"""The hit test of the pointer: the nearest handle, or a grip's outline."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import hypot
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from app.drawing.stops import sign_place
from app.drawing.strokes import Drawing, Grip, Handle, HandleShape, Place, Stop
from app.drawing.views import Frame

HANDLE_REACH: Final = 10.0  # [px]
GRIP_REACH: Final = 6.0
SELECTED_LEAD: Final = 4.0  # of handles that lie upon each other the selected one is taken
FAR_LAG: Final = HANDLE_REACH + SELECTED_LEAD  # of handles behind: any near one in reach is taken

RESULT_LAG: Final = 3.0  # of a result's mark: of a point as near the point is taken


Item = Handle | Stop | Grip


class Aim:
    """The handles, stops and grips of a drawing, ready to be hit-tested."""

    def __init__(self, drawing: Drawing) -> None:
        handles: list[Handle] = []
        stops: list[Stop] = []
        grips: list[Grip] = []
        kept: dict[type, list[Any]] = {Handle: handles, Stop: stops, Grip: grips}
        for stroke in drawing.strokes:
            if type(stroke) in kept:
                kept[type(stroke)].append(stroke)
        self.handles, self.stops, self.grips = tuple(handles), tuple(stops), tuple(grips)
        self.items: tuple[Item, ...] = (*handles, *stops, *grips)

    def keys(self) -> tuple[str, ...]:
        """Return the keys of handles and grips in the order in which the keyboard walks."""
        return tuple(item.key for item in self.items)

    def find(self, key: str | None) -> Item | None:
        """Return the handle, stop or grip of that key."""
        return next((item for item in self.items if item.key == key), None)

    def at(self, frame: Frame, x: float, y: float, selected: Collection[str] = ()) -> str | None:
        """Return the key of what is under a pixel."""
        near = self._handle_at(frame, x, y, selected)
        return self._stop_at(frame, x, y, near) or near or self._grip_at(frame, x, y)

    def _stop_at(self, frame: Frame, x: float, y: float, near: str | None) -> str | None:
        """Return the stop under a pixel, unless the handle there is nearer."""
        handles = (h for h in self.handles if h.key == near)
        reach = min((_distance(frame.to_device(h.at), x, y) for h in handles), default=GRIP_REACH)
        reached = [(_distance(sign_place(s, frame), x, y), s.key) for s in self.stops]
        distance, key = min(reached, default=(GRIP_REACH, ""))
        return key if distance < min(reach, GRIP_REACH) else None

    def _handle_at(self, frame: Frame, x: float, y: float, selected: Collection[str]) -> str | None:
        if not self.handles:
            return None
        places = frame.map(np.array([handle.at for handle in self.handles], dtype=float))
        distance = np.hypot(places[:, 0] - x, places[:, 1] - y)
        in_reach = distance <= HANDLE_REACH
        if not in_reach.any():
            return None
        distance -= [SELECTED_LEAD * (h.key in selected) for h in self.handles]
        distance += [_lag(handle) for handle in self.handles]
        return self.handles[int(np.where(in_reach, distance, np.inf).argmin())].key

    def _grip_at(self, frame: Frame, x: float, y: float) -> str | None:
        outlines: Sequence[tuple[Grip, NDArray[np.float64]]] = [
            (grip, frame.map(grip.outline)) for grip in self.grips
        ]
        for grip, outline in outlines:
            if distance_to_chain(outline, x, y) <= GRIP_REACH:
                return grip.key
        within = (g.key for g, outline in outlines if g.inside and is_inside(outline, x, y))
        return next(within, None)


def _distance(place: Place, x: float, y: float) -> float:
    return hypot(place[0] - x, place[1] - y)


def _lag(handle: Handle) -> float:
    return RESULT_LAG if handle.shape is HandleShape.RESULT else FAR_LAG * handle.far


def distance_to_chain(points: NDArray[np.float64], x: float, y: float) -> float:
    """Return the distance from a place to a chain of straight lines, shape (n, 2)."""
    start, step = points[:-1], np.diff(points, axis=0)
    to_place = np.array([x, y]) - start
    length = np.maximum((step * step).sum(axis=1), 1e-12)
    share = np.clip((to_place * step).sum(axis=1) / length, 0.0, 1.0)[:, None]
    return float(np.linalg.norm(to_place - share * step, axis=1).min())


def is_inside(points: NDArray[np.float64], x: float, y: float) -> bool:
    """Tell whether a place is inside a closed outline (even number of crossings is outside)."""
    ahead = np.roll(points, -1, axis=0)
    straddles = (points[:, 1] > y) != (ahead[:, 1] > y)
    one, other = points[straddles], ahead[straddles]
    cuts = one[:, 0] + (y - one[:, 1]) * (other[:, 0] - one[:, 0]) / (other[:, 1] - one[:, 1])
    return bool((cuts > x).sum() % 2)

"""Moving the car by hand: the wheel up and down is travel, the ground line up and down is roll."""

from __future__ import annotations

from dataclasses import replace
from math import atan

from app.drawing.strokes import Place
from app.drawing.views import View
from app.session.session import Session
from app.systems.answers import Pose

LEVER = 150.0
"""Nearest place to the middle at which the ground line is taken to be held [mm]."""


class PoseCar:
    """The gesture of posing the car by its wheel or by the ground."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._held: tuple[str, Place, View, Pose] | None = None

    def begin(self, key: str, place: Place, view: View) -> None:
        """Take hold of the wheel or the ground."""
        self._held = (key, place, view, self.session.pose)

    def move(self, place: Place) -> None:
        """Follow the hand."""
        if self._held is None:
            return
        key, start, view, pose = self._held
        rise = place[1] - start[1]
        if view is View.TOP:
            return
        if key.startswith("ground") and view is View.FRONT:
            lever = max(abs(start[0]), LEVER) * (1.0 if start[0] >= 0 else -1.0)
            pose = replace(pose, roll=pose.roll - atan(rise / lever))
        else:
            pose = replace(pose, travel=pose.travel + rise)
        self.session.set_pose(within(self.session, pose), moving=True)

    def commit(self) -> None:
        """Let go; the pose stays."""
        self._held = None

    def cancel(self) -> None:
        """Go back to the pose at the start of the drag."""
        if self._held is not None:
            self.session.set_pose(self._held[3])
        self._held = None


def within(session: Session, pose: Pose) -> Pose:
    """Return the pose limited to the ranges that are swept."""
    study = session.study
    if study is None:
        return pose
    ranges = study.ranges
    return Pose(
        _clipped(pose.travel, ranges.travel),
        _clipped(pose.roll, ranges.roll),
        _clipped(pose.steer, ranges.steer),
    )


def _clipped(value: float, run: tuple[float, float, int]) -> float:
    return min(max(value, run[0]), run[1])

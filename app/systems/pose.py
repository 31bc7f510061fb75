"""A car at the pose that is asked for; one that it can't take is said with its two points."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from app.systems.answers import Answered, CarAnswers, Pose, Study
from geometry.errors import GeometryError


def posed_cars(study: Study[Any], pose: Pose, settled: bool) -> tuple[Answered | None, Answered]:
    """Return the measured and the proposed car at a pose, the proposed one settled if asked.

    The measured one is None where it can't be there: it only stands beside the other.

    Raises
    ------
    GeometryError
        The proposed car can't take the pose.
    """
    if not study.changed:
        proposed = posed_car(study.proposed, pose, settled)
        return proposed, proposed
    try:
        measured = posed_car(study.measured, pose)
    except GeometryError:
        measured = None
    return measured, posed_car(study.proposed, pose, settled)


def posed_car(car: CarAnswers, pose: Pose, settled: bool = False) -> Answered:
    """Return one car at a pose; raise GeometryError where it can't take it."""
    sinks = car.single.get("settled_travel", 0.0) if settled else 0.0
    sunk_pose = replace(pose, travel=pose.travel + sinks)
    return car.rest if sunk_pose == Pose() else car.at_pose(sunk_pose)

"""A car at the pose that is asked for; one that it can't take is said with its two points."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from app.systems.answers import Answered, CarAnswers, Pose, Study
from geometry.errors import GeometryError


def posed_cars(study: Study[Any], pose: Pose, in_body: bool) -> tuple[Answered | None, Answered]:
    """Return the measured and the proposed car at a pose, each from where it stands.

    With `in_body` both are at one travel against the body, from the measured height.

    The measured one is None where it can't be there: it only stands beside the other.

    Raises
    ------
    GeometryError
        The proposed car can't take the pose.
    """
    if not study.changed:
        proposed = posed_car(study.proposed, pose, in_body)
        return proposed, proposed
    try:
        measured = posed_car(study.measured, pose)
    except GeometryError:
        measured = None
    return measured, posed_car(study.proposed, pose, in_body)


def posed_car(car: CarAnswers, pose: Pose, in_body: bool = False) -> Answered:
    """Return one car at a pose; raise GeometryError where it can't take it."""
    stands = car.stand.travel if in_body else 0.0
    own_pose = replace(pose, travel=pose.travel - stands)
    return car.rest if own_pose == Pose() else car.at_pose(own_pose)

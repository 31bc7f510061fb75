"""A car at the pose that is asked for; one that it can't take is said with its two points."""

from __future__ import annotations

from dataclasses import replace

from app.systems.front.study import Pose, Study, at_pose
from app.systems.rear.answers import RearCar, RearStudy, RearSweep
from geometry.errors import GeometryError
from geometry.front.limits import explain_pose
from geometry.front.sweeps import FrontStudy, Sweep

AnySweep = Sweep | RearSweep


def posed_cars(
    study: Study | RearStudy, pose: Pose, settled: bool
) -> tuple[AnySweep | None, AnySweep]:
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


def posed_car(car: FrontStudy | RearCar, pose: Pose, settled: bool = False) -> AnySweep:
    """Return one car at a pose; raise GeometryError where it can't take it."""
    sinks = car.single.get("settled_travel", 0.0) if settled else 0.0
    there = replace(pose, travel=pose.travel + sinks)
    if there == Pose():
        return car.rest
    if isinstance(car, RearCar):
        return _posed_rear(car, there)
    level = there.roll == 0.0 and there.steer == 0.0
    sweep = car.at_travel(there.travel) if level else at_pose(car.front, there)
    if not sweep.reached[0]:
        raise explain_pose(car.front, there.travel, there.roll, there.steer)
    return sweep


def _posed_rear(car: RearCar, pose: Pose) -> RearSweep:
    from app.systems.rear.study import explain_rear_pose, rear_at_pose

    sweep = rear_at_pose(car, pose)
    if not sweep.reached[0]:
        raise explain_rear_pose(car, pose)
    return sweep

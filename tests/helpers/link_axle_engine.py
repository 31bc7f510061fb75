"""The same axle in a general-purpose multibody engine (exudyn): springs, a rigid body, statics.

The engine knows nothing of this project's coordinates: the axle is held by the heights of its two
wheel centres, the links are spring connectors, and its static solver finds the rest.
"""

from __future__ import annotations

import math
import warnings
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from geometry.links.axle import Coil, Link, LinkAxle, Point

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the engine's own deprecations are not ours
    import exudyn
    from exudyn import itemInterface as items

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class EnginePose:
    """What the engine found: pose, link tensions [N], upward force on each wheel [N]."""

    centre: Array
    rotation: Array
    tension: Array
    wheel_force: Array


def engine_pose(
    axle: LinkAxle,
    travel: float,
    roll: float,
    *,
    coils: bool = False,
    side_force: tuple[float, Point] | None = None,
) -> EnginePose:
    """Solve one pose; ``side_force`` is a force to the left [N] at a point of the axle."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return _solved(axle, travel, roll, coils, side_force)


def _solved(
    axle: LinkAxle,
    travel: float,
    roll: float,
    coils: bool,
    side_force: tuple[float, Point] | None,
) -> EnginePose:
    container = exudyn.SystemContainer()
    system = container.AddSystem()
    origin = 0.5 * (np.array(axle.wheel_left) + np.array(axle.wheel_right))
    ground = system.AddObject(items.ObjectGround())
    node = system.AddNode(items.NodeRigidBodyRxyz(referenceCoordinates=[*origin, 0.0, 0.0, 0.0]))
    body = system.AddObject(
        items.ObjectRigidBody(mass=100.0, inertia=[1e7, 1e7, 1e7, 0, 0, 0], nodeNumber=node)
    )

    def on_ground(point: Point) -> object:
        return system.AddMarker(items.MarkerBodyRigid(bodyNumber=ground, localPosition=list(point)))

    def on_axle(point: Point) -> object:
        local = list(np.array(point) - origin)
        return system.AddMarker(items.MarkerBodyRigid(bodyNumber=body, localPosition=local))

    def spring(part: Link | Coil, length: float) -> object:
        markers = [on_ground(part.body), on_axle(part.axle)]
        return system.AddObject(
            items.ObjectConnectorSpringDamper(
                markerNumbers=markers, referenceLength=length, stiffness=part.rate
            )
        )

    def rise(_system: object, time: float, _item: int, offset: list[float]) -> list[float]:
        return [0.0, 0.0, time * offset[2], 0.0, 0.0, 0.0]

    springs = [
        spring(link, link.length or math.dist(link.body, link.axle)) for link in axle.links.values()
    ]
    if coils:
        for coil in (axle.coil_left, axle.coil_right):
            spring(coil, coil.free_length)
    if side_force is not None:
        force, point = side_force
        system.AddLoad(items.LoadForceVector(markerNumber=on_axle(point), loadVector=[0, force, 0]))
    half = 0.5 * axle.track * math.sin(-roll)
    holds = [
        system.AddObject(
            items.ObjectJointGeneric(
                markerNumbers=[on_ground(wheel), on_axle(wheel)],
                constrainedAxes=[0, 0, 1, 0, 0, 0],
                offsetUserFunction=rise,
                offsetUserFunctionParameters=[0.0, 0.0, height, 0.0, 0.0, 0.0],
            )
        )
        for wheel, height in ((axle.wheel_left, travel + half), (axle.wheel_right, travel - half))
    ]
    system.Assemble()
    settings = exudyn.SimulationSettings()
    settings.staticSolver.numberOfLoadSteps = 4
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.newton.relativeTolerance = 1e-8
    settings.staticSolver.newton.absoluteTolerance = 1e-6
    settings.solutionSettings.writeSolutionToFile = False
    system.SolveStatic(settings)
    kind = exudyn.OutputVariableType
    return EnginePose(
        centre=np.array(system.GetNodeOutput(node, kind.Position)),
        rotation=np.array(system.GetNodeOutput(node, kind.RotationMatrix)).reshape(3, 3),
        tension=np.array([_output(system, item, kind.ForceLocal)[0] for item in springs]),
        wheel_force=np.array([_output(system, item, kind.ForceLocal)[2] for item in holds]),
    )


def _output(system: object, item: object, kind: object) -> Array:
    return np.ravel(np.asarray(system.GetObjectOutput(item, kind), dtype=float))

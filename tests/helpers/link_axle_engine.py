"""The same axle in a general-purpose multibody engine (exudyn): springs, a rigid body, statics.

The engine knows nothing of this project's coordinates: the axle is held by the heights of its two
wheel centres, the links are spring connectors, and its static solver finds the rest. For its modes
the engine lets it settle on its tyres and linearises its own equations of motion.
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


@dataclass(frozen=True)
class EngineModes:
    """Modes by rising frequency |λ|/2π [Hz], damping ratios, and how far the axle settled [mm]."""

    frequency: Array
    damping: Array
    settled: float


def engine_modes(
    axle: LinkAxle,
    *,
    inertia: tuple[float, float, float, float],
    tyre_rate: float,
    damper_rate: float,
    wheel_load: float,
) -> EngineModes:
    """Let the axle settle under a load on each wheel, then linearise the engine's own equations.

    ``inertia`` is the axle's mass [kg] and its inertias about X, Y and Z [kg·mm²]. The load is what
    links and coils carry of the car; tyres are springs that take no more than they carry then.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return _swung(axle, inertia, tyre_rate, damper_rate, wheel_load)


def _swung(
    axle: LinkAxle,
    inertia: tuple[float, float, float, float],
    tyre_rate: float,
    damper_rate: float,
    wheel_load: float,
) -> EngineModes:
    container = exudyn.SystemContainer()
    system = container.AddSystem()
    origin = 0.5 * (np.array(axle.wheel_left) + np.array(axle.wheel_right))
    ground = system.AddObject(items.ObjectGround())
    node = system.AddNode(items.NodeRigidBodyRxyz(referenceCoordinates=[*origin, 0.0, 0.0, 0.0]))
    mass, about_x, about_y, about_z = inertia
    # in tonnes, N, mm and s
    turning = [about_x / 1e3, about_y / 1e3, about_z / 1e3, 0, 0, 0]
    body = system.AddObject(
        items.ObjectRigidBody(mass=mass / 1e3, inertia=turning, nodeNumber=node)
    )

    def ends(at_body: Point, at_axle: Point) -> list[object]:
        local = list(np.array(at_axle) - origin)
        return [
            system.AddMarker(items.MarkerBodyRigid(bodyNumber=ground, localPosition=list(at_body))),
            system.AddMarker(items.MarkerBodyRigid(bodyNumber=body, localPosition=local)),
        ]

    for link in axle.links.values():
        system.AddObject(
            items.ObjectConnectorSpringDamper(
                markerNumbers=ends(link.body, link.axle),
                referenceLength=link.length or math.dist(link.body, link.axle),
                stiffness=link.rate,
            )
        )
    for coil in (axle.coil_left, axle.coil_right):
        system.AddObject(
            items.ObjectConnectorSpringDamper(
                markerNumbers=ends(coil.body, coil.axle),
                referenceLength=coil.free_length,
                stiffness=coil.rate,
            )
        )
    for damper in (axle.damper_left, axle.damper_right):
        system.AddObject(
            items.ObjectConnectorSpringDamper(
                markerNumbers=ends(damper.body, damper.axle),
                referenceLength=math.dist(damper.body, damper.axle),
                damping=damper_rate,
            )
        )
    for wheel in (axle.wheel_left, axle.wheel_right):
        markers = ends(wheel, wheel)
        system.AddObject(
            items.ObjectConnectorCartesianSpringDamper(
                markerNumbers=markers, stiffness=[0.0, 0.0, tyre_rate]
            )
        )
        system.AddLoad(
            items.LoadForceVector(markerNumber=markers[1], loadVector=[0.0, 0.0, wheel_load])
        )
    system.Assemble()
    settings = exudyn.SimulationSettings()
    settings.staticSolver.numberOfLoadSteps = 4
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.newton.relativeTolerance = 1e-8
    settings.staticSolver.newton.absoluteTolerance = 1e-6
    settings.solutionSettings.writeSolutionToFile = False
    system.SolveStatic(settings)
    settled = system.systemData.GetODE2Coordinates()
    start = exudyn.ConfigurationType.Initial
    system.systemData.SetODE2Coordinates(settled, configuration=start)
    masses, stiffness, damping = system.ComputeLinearizedSystem()[:3]
    count = len(masses)
    companion = np.zeros((2 * count, 2 * count))
    companion[:count, count:] = np.eye(count)
    companion[count:, :count] = -np.linalg.solve(masses, stiffness)
    companion[count:, count:] = -np.linalg.solve(masses, damping)
    values = np.linalg.eigvals(companion)
    swings = values[values.imag > 0.0]
    order = np.argsort(np.abs(swings))
    return EngineModes(
        frequency=np.abs(swings)[order] / (2.0 * math.pi),
        damping=(-swings.real / np.abs(swings))[order],
        settled=float(settled[2]),
    )


def _output(system: object, item: object, kind: object) -> Array:
    return np.ravel(np.asarray(system.GetObjectOutput(item, kind), dtype=float))

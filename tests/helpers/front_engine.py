"""The same corner in a general-purpose multibody engine (exudyn): one body on distance constraints.

The engine knows arms only as four distances to the body, and the tie rod as a fifth; the wheel
centre's height and the rack are prescribed, and its static solver finds the rest.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the engine's own deprecations are not ours
    import exudyn
    from exudyn import itemInterface as items

Array = npt.NDArray[np.float64]
Place = tuple[float, float, float]

RODS = (
    ("upper_front", "upper_ball"),
    ("upper_rear", "upper_ball"),
    ("lower_front", "lower_ball"),
    ("lower_rear", "lower_ball"),
)


class EngineCorner:
    """A left-hand corner that is driven from pose to pose in small steps."""

    def __init__(self, points: Mapping[str, Place]) -> None:
        self.points = {name: np.array(place) for name, place in points.items()}
        self.travel = self.rack = 0.0
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            self._build()

    def go(self, travel: float, rack: float, step: float = 10.0) -> tuple[Array, Array]:
        """Drive to a pose; return the wheel centre and the body's rotation from the design pose."""
        far = max(abs(travel - self.travel), abs(rack - self.rack))
        count = max(1, math.ceil(far / step))
        path = np.linspace((self.travel, self.rack), (travel, rack), count + 1)[1:]
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for rise, steer in path:
                self.system.SetObjectParameter(self.lift, "offset", float(rise))
                self.system.SetObjectParameter(self.slide, "offset", float(steer))
                self.system.SolveStatic(self.settings, updateInitialValues=True)
        self.travel, self.rack = travel, rack
        kind = exudyn.OutputVariableType
        return (
            np.array(self.system.GetNodeOutput(self.node, kind.Position)),
            np.array(self.system.GetNodeOutput(self.node, kind.RotationMatrix)).reshape(3, 3),
        )

    def _build(self) -> None:
        self.container = exudyn.SystemContainer()
        self.system = self.container.AddSystem()
        place, hub = self.points, self.points["wheel_centre"]
        self.ground = self.system.AddObject(items.ObjectGround())
        self.node = self.system.AddNode(
            items.NodeRigidBodyRxyz(referenceCoordinates=[*hub, 0.0, 0.0, 0.0])
        )
        self.body = self.system.AddObject(
            items.ObjectRigidBody(mass=10.0, inertia=[1e5, 1e5, 1e5, 0, 0, 0], nodeNumber=self.node)
        )
        rack_node = self.system.AddNode(
            items.NodePoint(referenceCoordinates=list(place["tie_inner"]))
        )
        rack = self.system.AddObject(items.ObjectMassPoint(mass=1.0, nodeNumber=rack_node))
        for inner, outer in RODS:
            self._rod(self._on(self.ground, place[inner]), inner, outer)
        self._rod(self._on(rack, np.zeros(3)), "tie_inner", "tie_outer")
        self.fixed = self.system.AddMarker(
            items.MarkerNodeCoordinate(
                nodeNumber=self.system.AddNode(items.NodePointGround()), coordinate=0
            )
        )
        self._hold(rack_node, 0)
        self._hold(rack_node, 2)
        self.slide = self._hold(rack_node, 1)
        self.lift = self._hold(self.node, 2)
        self.system.Assemble()
        self.settings = _settings()

    def _on(self, body: object, local: Array) -> object:
        return self.system.AddMarker(
            items.MarkerBodyPosition(bodyNumber=body, localPosition=list(local))
        )

    def _rod(self, start: object, inner: str, outer: str) -> None:
        place = self.points
        end = self._on(self.body, place[outer] - place["wheel_centre"])
        length = math.dist(place[inner], place[outer])
        self.system.AddObject(
            items.ObjectConnectorDistance(markerNumbers=[start, end], distance=length)
        )

    def _hold(self, node: object, coordinate: int) -> object:
        marker = self.system.AddMarker(
            items.MarkerNodeCoordinate(nodeNumber=node, coordinate=coordinate)
        )
        return self.system.AddObject(
            items.ObjectConnectorCoordinate(markerNumbers=[self.fixed, marker])
        )


def _settings() -> object:
    settings = exudyn.SimulationSettings()
    settings.staticSolver.numberOfLoadSteps = 1
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.newton.relativeTolerance = 1e-10
    settings.staticSolver.newton.absoluteTolerance = 1e-10
    settings.solutionSettings.writeSolutionToFile = False
    return settings

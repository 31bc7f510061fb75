"""The strokes a drawing is made of: plain values in paper millimetres, u to the right, v up."""

from __future__ import annotations

from enum import Enum, auto
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.document.model import Units, Vec
from geometry.dataclass import dataclass

Place = tuple[float, float]  # (u, v) [mm]
Points = NDArray[np.float64]  # shape (n, 2) [mm]
Side = Literal["right", "left", "above", "below"]


class LineKind(Enum):
    """What a line means; its weight and dashes follow ISO 128 practice, its ink the palette."""

    PROPOSED = auto()  # thick, continuous: the parts as proposed
    PROPOSED_THIN = auto()  # thin, continuous: details of the parts as proposed
    MEASURED = auto()  # thin, dashed, second ink: the car as it stands
    CENTRELINE = auto()  # thin, long-dash-dot, second ink
    CONSTRUCTION = auto()  # thin, long-dash-dot, accent: lines to a centre
    CONSTRUCTION_WAS = auto()  # thin, long-dash-dot, second ink: the same as measured
    AXIS = auto()  # thin, dotted: kingpin axis, camber line, a plane seen on edge
    PATH = auto()  # thin, continuous, accent: the path of a point, what moves
    GROUND = auto()  # thick, continuous
    DIMENSION = auto()  # thin, continuous
    MOVE = auto()  # thin, continuous, accent: the dimension of a move
    RESULT = auto()  # dotted, heavier: what a result is measured between
    HIDDEN = auto()  # thin, dashed: behind something
    FAR = auto()  # thin, soft ink: the other side of the car
    WHEEL = auto()  # thin, soft ink: tyre and rim
    SPRING = auto()  # soft ink
    DAMPER = auto()  # soft ink
    ROOM = auto()  # thin, soft ink: how far the metal lets a point go
    GHOST = auto()  # thin, long-dash-double-dot, soft ink: another position of a part
    SECOND_CAR = auto()  # thin, long-dash-double-dot, an ink of its own: another car laid over


@dataclass(frozen=True, slots=True, eq=False)
class Polyline:
    """A chain of straight lines; `filled` lays a faint wash inside a closed one.

    Few places are quicker as plain tuples, many as an array.
    """

    points: Points | tuple[Place, ...]
    kind: LineKind
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle; `filled` lays a faint wash inside."""

    centre: Place
    radius: float
    kind: LineKind
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a circle from the angle `start` through `sweep` [rad], anticlockwise on paper."""

    centre: Place
    radius: float
    start: float
    sweep: float
    kind: LineKind


@dataclass(frozen=True, slots=True)
class Hatch:
    """The ground: a thick line with hatching on its right-hand side going from start to end."""

    start: Place
    end: Place
    kind: LineKind = LineKind.GROUND


@dataclass(frozen=True, slots=True)
class Coil:
    """A coil spring between two seats: `start` and `end` are the centres of its end coils."""

    start: Place
    end: Place
    diameter: float
    turns: float = 7.0
    kind: LineKind = LineKind.SPRING


@dataclass(frozen=True, slots=True)
class Damper:
    """A telescopic damper: its body at `body`, its rod at `rod`, `body_length` of tube."""

    body: Place
    rod: Place
    diameter: float = 45.0
    body_length: float = 200.0
    kind: LineKind = LineKind.DAMPER


@dataclass(frozen=True, slots=True)
class Label:
    """Words beside a place; they step aside for lines, handles and labels of higher priority.

    `key` names the label from frame to frame while its figure changes.
    """

    text: str
    at: Place
    kind: LineKind
    key: str = ""
    priority: int = 0
    prefer: Side = "right"
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension between two places, measured across `away`, the direction it is set off in.

    It stands `steps` dimension steps beyond the farther place; a step is as high as two lines of
    text, so the dimension keeps its distance at every zoom.
    """

    start: Place
    end: Place
    away: Place
    text: str
    kind: LineKind = LineKind.DIMENSION
    key: str = ""
    priority: int = 5
    steps: float = 1.0


@dataclass(frozen=True, slots=True)
class OffViewPointer:
    """A line from `start` to a centre: drawn to it, or to an arrow at the edge that names it.

    The words are shown only when the centre is out of view. A centre at infinity is a `target`
    very far off in its direction.
    """

    start: Place
    target: Place
    text: str = ""
    kind: LineKind = LineKind.CONSTRUCTION
    key: str = ""
    priority: int = 4


class MarkShape(Enum):
    """The sign drawn at a place."""

    CENTRE = auto()  # ring and cross hairs: roll centre, instant centre
    CROSS = auto()  # plain cross: wheel centre
    DOT = auto()  # small full dot: contact centre, spring seat
    SHIMS = auto()  # thin bars on either side of a pivot: packs of shims
    ECCENTRIC = auto()  # a ring off the pivot's centre
    THREAD = auto()  # three slanted strokes: the thread of a rod
    GRAVITY = auto()  # quartered circle: centre of gravity
    RING = auto()  # wide ring around a point: look at it again


@dataclass(frozen=True, slots=True)
class Mark:
    """A sign of constant size at a place."""

    at: Place
    shape: MarkShape
    kind: LineKind


class HandleShape(Enum):
    """Square: fixed to the body. Circle: a joint between moving parts. Result: about a mark."""

    SQUARE = auto()
    CIRCLE = auto()
    RESULT = auto()


@dataclass(frozen=True, slots=True)
class Handle:
    """A point that can be taken hold of; `name` and `value` are what a screen reader says."""

    key: str
    at: Place
    shape: HandleShape
    name: str
    value: str = ""
    moved: bool = False
    locked: bool = False
    wrong: bool = False  # one of the two points of a geometry that can't be reached
    far: bool = False  # on the far side of the car: a near one within reach is taken first
    place: Vec | None = None  # in car axes [mm], for a screen reader
    units: Units = "mm"


@dataclass(frozen=True, slots=True, eq=False)
class Grip:
    """A thing to take hold of along its outline: the wheel ("wheel:…"), the ground ("ground:…").

    It is not drawn itself; `inside` makes the area within the outline part of it.
    """

    key: str
    outline: Points
    name: str
    value: str = ""
    inside: bool = False


@dataclass(frozen=True, slots=True)
class Stop:
    """An end of the room of a point that stands at `about`: a head that points its `way`."""

    key: str
    at: Place
    about: Place
    way: Place
    name: str
    value: str = ""


Stroke = (
    Polyline
    | Circle
    | Arc
    | Hatch
    | Coil
    | Damper
    | Label
    | Dimension
    | OffViewPointer
    | Mark
    | Handle
    | Grip
    | Stop
)


@dataclass(frozen=True, slots=True)
class Bounds:
    """A rectangle on paper [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    def joined(self, other: Bounds) -> Bounds:
        """Return the smallest rectangle around both."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Strokes in the order they are painted, and the rectangle that "fit" shows."""

    strokes: tuple[Stroke, ...] = ()
    bounds: Bounds | None = None

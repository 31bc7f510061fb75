"""Where every point of a posed rear is: plain numbers, both sides, in car axes [mm]."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import cos, sin

from app.document.address import SIDES, key_of, keyed
from app.document.keys import KEYS
from app.document.model import Setup
from app.document.moves import SidePoints
from app.drawing.space import Vec, dot, minus, plus, plus_scaled
from app.systems.answers import Study
from app.systems.drawing.wheel import Wheel
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.inputs import rear_points
from geometry.dataclass import dataclass
from geometry.leaf.poses import LeafPoses

Rows = tuple[Vec, Vec, Vec]


@dataclass(frozen=True, slots=True)
class Spring:
    """One leaf spring: its seat at the centre bolt, the seat's angle, and how its halves bend."""

    seat: Vec
    angle: float
    bends: tuple[float, float]
    front_eye: Vec
    rear_eye: Vec


@dataclass(frozen=True, slots=True)
class RearSide:
    """One side's points by their bare names, its wheel, and its spring where it has leaves."""

    points: Mapping[str, Vec]
    wheel: Wheel
    spring: Spring | None = None


@dataclass(frozen=True, slots=True)
class Frame:
    """How the axle stands: its middle as made, where that is now, and its turn (rows of a matrix).

    `level` is the same turn without the axle's own pitch.
    """

    made: Vec
    now: Vec
    turn: Rows
    level: Rows

    def carry(self, place: Vec) -> Vec:
        """Return where a point of the axle is, given as made."""
        return plus(self.now, _turned(self.turn, minus(place, self.made)))


@dataclass(frozen=True, slots=True)
class RearPlaces:
    """Both sides in one pose; `up` is the road's normal, `road` its level along that."""

    left: RearSide
    right: RearSide
    up: Vec
    road: float
    frame: Frame
    roll: float
    pitch: float  # of the pinion, + nose up

    @property
    def middle(self) -> Vec:
        """The middle of the wheel centres."""
        return self.frame.now

    def on_road(self, place: Vec) -> Vec:
        """Return the place on the road under (along the road's normal) a place."""
        return plus_scaled(place, self.up, self.road - dot(place, self.up))


def places_of(setup: Setup, car: RearAnswers, sweep: RearSweep, proposed: bool) -> RearPlaces:
    """Return where everything is in a sweep of one pose; an unreached one is drawn at rest."""
    at = sweep if sweep.reached[0] else car.rest
    sides = [rear_points(setup, proposed, side) for side in SIDES]
    made = [points.made["wheel_centre"] for points in sides]
    middle = plus_scaled((0.0, 0.0, 0.0), plus(*made), 0.5)
    frame_of = _link_frame if at.leaf is None else _leaf_frame
    frame, roll, pitch = frame_of(car, at, middle)
    up = _turned(frame.level, (0.0, 0.0, 1.0))
    radius = _tyre_radius(car)
    left, right = (
        _side(index, points, frame, up, radius, at.leaf) for index, points in enumerate(sides)
    )
    return RearPlaces(left, right, up, dot(left.wheel.contact, up), frame, roll, pitch)


def proposed_places(study: Study[RearAnswers]) -> dict[str, Vec]:
    """Return where points are in the proposed car at the measured wheel height, by key [mm]."""
    car = study.unsettled
    places = places_of(study.setup, car, car.rest, True)
    left, right = places.left.points, places.right.points
    return keyed("rear", "left", left) | keyed("rear", "right", right)


def _tyre_radius(car: RearAnswers) -> float:
    if car.leaf is not None:
        return car.leaf.car.tyre_radius
    assert car.links is not None
    return car.links.axle.tyre_radius


def _leaf_frame(car: RearAnswers, sweep: RearSweep, middle: Vec) -> tuple[Frame, float, float]:
    poses = sweep.leaf
    assert car.leaf is not None
    assert poses is not None
    pinion, roll, steer = (float(v[0]) for v in (poses.pinion, poses.roll, poses.steer))
    now = float(poses.x[0]), middle[1] + float(poses.shift[0]), float(poses.z[0])
    turn = turned_by(steer, -roll, pinion - car.leaf.car.pinion)
    return Frame(middle, now, turn, turned_by(steer, -roll, 0.0)), roll, pinion


def _link_frame(car: RearAnswers, sweep: RearSweep, middle: Vec) -> tuple[Frame, float, float]:
    assert sweep.links is not None
    assert car.links is not None
    poses = sweep.links.poses
    x, y, z = (float(v) for v in poses.centre[0])
    turn = tuple((float(a), float(b), float(c)) for a, b, c in poses.rotation[0])
    roll, steer = float(poses.roll[0]), float(poses.steer[0])
    pinion = car.links.car.pinion + float(sweep.links.path.pinion_angle[0])
    frame = Frame(middle, (x, y, z), turn, turned_by(steer, -roll, 0.0))  # type: ignore[arg-type]
    return frame, roll, pinion


def _side(
    index: int,
    side_points: SidePoints,
    frame: Frame,
    up: Vec,
    radius: float,
    poses: LeafPoses | None,
) -> RearSide:
    points = {
        name: frame.carry(side_points.made[name]) if is_on_axle(name) else place
        for name, place in side_points.bolted.items()
    }
    spring = None
    if poses is not None:
        spring = _spring(index, points, poses)
        points["centre_bolt"], points["rear_eye"] = spring.seat, spring.rear_eye
    wheel = _wheel(points["wheel_centre"], frame, up, radius, 1.0 if index == 0 else -1.0)
    return RearSide(points, wheel, spring)


def is_on_axle(name: str) -> bool:
    """Tell whether a point goes with the axle."""
    return KEYS[key_of("rear", "left", name)].on_part


def _spring(index: int, points: Mapping[str, Vec], poses: LeafPoses) -> Spring:
    at = (poses.seat_x, poses.seat_z, poses.eye_x, poses.eye_z)
    seat_x, seat_z, eye_x, eye_z = (float(rows[index, 0]) for rows in at)
    return Spring(
        seat=(seat_x, points["centre_bolt"][1], seat_z),
        angle=float(poses.seat_angle[0]),
        bends=(float(poses.front_curvature[index, 0]), float(poses.rear_curvature[index, 0])),
        front_eye=points["front_eye"],
        rear_eye=(eye_x, points["shackle_body"][1], eye_z),
    )


def _wheel(centre: Vec, frame: Frame, up: Vec, radius: float, side: float) -> Wheel:
    down = (-up[0], -up[1], -up[2])
    contact = plus_scaled(centre, down, radius)
    spin, heading = _turned(frame.level, (0.0, side, 0.0)), _turned(frame.level, (1.0, 0.0, 0.0))
    return Wheel(centre, radius, spin, down, heading, contact, contact)


def swung(places: RearPlaces, step: Vec, angles: Vec) -> RearPlaces:
    """Return the places with the axle moved and turned about its middle by small angles [rad].

    They are yaw to the left, left side up, and nose up.
    """
    rows, frame, nose_up = turned_by(*angles), places.frame, angles[2]
    now = plus(frame.now, step)

    def carry(place: Vec) -> Vec:
        return plus(now, _turned(rows, minus(place, frame.now)))

    level = turned_by(*angles[:2], 0.0)
    left, right = (_swung_side(side, level, carry) for side in (places.left, places.right))
    moved = replace(frame, now=now)
    return replace(places, left=left, right=right, frame=moved, pitch=places.pitch + nose_up)


def _swung_side(side: RearSide, level: Rows, carry: Callable[[Vec], Vec]) -> RearSide:
    wheel = replace(
        side.wheel,
        centre=carry(side.wheel.centre),
        spin=_turned(level, side.wheel.spin),
        down=_turned(level, side.wheel.down),
    )
    points = {
        name: carry(place) if is_on_axle(name) else place for name, place in side.points.items()
    }
    return RearSide(points, wheel, side.spring)


def turned_by(steer: float, lift: float, nose_up: float) -> Rows:
    """Return the rows of yaw to the left, after the left side's rise, after the nose's rise."""
    c, s, cr, sr, cp, sp = (f(a) for a in (steer, lift, nose_up) for f in (cos, sin))
    return (
        (c * cp + s * sr * sp, -s * cr, -c * sp + s * sr * cp),
        (s * cp - c * sr * sp, c * cr, -s * sp - c * sr * cp),
        (cr * sp, sr, cr * cp),
    )


def _turned(rows: Rows, place: Vec) -> Vec:
    return dot(rows[0], place), dot(rows[1], place), dot(rows[2], place)

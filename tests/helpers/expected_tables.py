"""What the tables of a sheet must hold: read off a setup and its studies, not off the shop's rows.

Numbers are as inside: mm, N, rad. A test compares rows with these, and prints them in its own way
to compare them with what stands on paper.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, cast

import numpy as np

from app.document.keys import ALL_KEYS, KEYS
from app.document.model import Leaf, Setup, Units, Vec
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.words.results import is_zero
from geometry.catalogue.front import RESULTS, Result
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.leaf.load import Model, load_at, stresses_from_eyes
from geometry.leaf.pack import cutting_list
from tests.helpers.kept_studies import kept_study

AT_REST = {  # of a car that stands straight and level
    *("camber_road", "wheel_travel", "body_height_change", "steer_angle_inner"),
    *(
        "steer_angle_outer",
        "ackermann_steer",
        "ackermann_track_steer",
        "axle_steer",
        "roll_centre_construction_lateral",
        "axle_shift",
    ),
}


def studies_of(setup: Setup) -> dict[str, Any]:
    """Return the studies of a setup by end."""
    found: dict[str, Any] = {}
    if FRONT.gives(setup):
        found["front"] = kept_study(FRONT, setup)
    if REAR.gives(setup):
        found["rear"] = kept_study(REAR, setup)
    return found


# Points


@dataclass(frozen=True)
class Point:
    key: str
    title: str
    measured: Vec | None
    within: float | None
    proposed: Vec | None
    move: Vec | None
    fate: str


def points(end: str, of: Any) -> list[Point]:
    setup, places = of.setup, of.system.places(of)
    there = [key.name for key in ALL_KEYS if key.kind == "point" and _is_there(setup, key.name)]
    kinds = {"front"} if end == "front" else {of.measured.kind, of.proposed.kind}
    found = []
    for key in (key for key in there if key.startswith(f"{end}.")):
        fits = {"front"} if end == "front" else KEYS[key].fits
        if not fits & kinds:
            continue
        measured, move = as_measured(setup, key), whole_move(setup, key)
        gone = end == "rear" and of.proposed.kind not in fits
        new = measured is None or (end == "rear" and of.measured.kind not in fits)
        fate = "comes off" if gone else "new" if new else "moves" if any(move) else "stays"
        found.append(
            Point(
                key,
                _title(setup, key),
                measured,
                setup.within.get(key),
                None if gone else places[key],
                move if any(move) else None,
                fate,
            )
        )
    return found


def as_measured(setup: Setup, key: str) -> Vec | None:
    """Return the place in the file, of a right-hand point else the mirror of the left one's."""
    left = key.replace(".right.", ".")
    if key in setup.evidence or left not in setup.evidence:
        return cast("Vec | None", setup.evidence.get(key))
    x, y, z = cast(Vec, setup.evidence[left])
    return x, -y, z


def whole_move(setup: Setup, key: str) -> Vec:
    """Add up what the changes that are on say of a point; what is set counts from its place."""
    left, total = key.replace(".right.", "."), np.zeros(3)
    sign = np.array([1.0, -1.0, 1.0]) if left != key else np.ones(3)
    first = as_measured(setup, key)
    for change in (change for change in setup.changes if change.on):
        own = key in change.moves or key in change.sets
        name, turn = (key, np.ones(3)) if own else (left, sign)
        if name in change.sets:
            place = turn * np.array(change.sets[name])
            first = cast(Vec, tuple(place)) if first is None else first
            total = place - np.array(first)
        if name in change.moves:
            total = total + turn * np.array(change.moves[name])
    return cast(Vec, tuple(np.where(abs(total) < 1e-9, 0.0, total).tolist()))


def _is_there(setup: Setup, key: str) -> bool:
    on = [change for change in setup.changes if change.on]
    rear = key.startswith("rear.") and any(key in c.moves or key in c.sets for c in on)
    left = key.replace(".right.", ".")
    if key in setup.evidence or rear or left == key or key.startswith("rear."):
        return key in setup.evidence or rear
    if left not in setup.evidence:
        return False
    mirror = np.array(whole_move(setup, left)) * np.array([1.0, -1.0, 1.0])
    return not np.allclose(whole_move(setup, key), mirror, atol=1e-9)  # moved by itself


def _title(setup: Setup, key: str) -> str:
    title = KEYS[key].title
    if setup.evidence.get("front.lower_arm") == "link and strut rod":
        parts = {
            "Lower arm, front pivot": "Strut rod, body bush",
            "Lower arm, rear pivot": "Lateral link, body bush",
        }
        for arm, part in parts.items():
            title = title.replace(arm, part)
    return title


# Results


class Line(NamedTuple):
    result: Result
    measured: float | None
    proposed: float | None
    side: str = ""  # the wheel, where the other one is shown with another figure

    @property
    def title(self) -> str:
        return f"{self.result.title}, {self.side}" if self.side else self.result.title


def results(end: str, of: Any) -> list[Line]:
    cars, units = (of.measured, of.proposed), of.setup.units
    before, after = (_values(end, car) for car in cars)
    unsaid = set(AT_REST)
    known = "rear.axle.pinion_angle" in of.setup.evidence
    unsaid.add("pinion_turn" if known else "pinion_angle")
    lines = []
    for name, (result, value) in {**before, **after}.items():
        was = before[name][1] if name in before else None
        now = value if name in after else None
        if result.key in ("thrust_angle", "wheelbase_difference") and not (was or now):
            continue
        if result.key not in unsaid and (was is not None or now is not None):
            both = [_both_wheels(car, result) for car in cars]
            if all(each is None or _shown_alike(each, result, units) for each in both):
                lines.append(Line(result, was, now))
                continue
            for place, side in enumerate(("left", "right")):
                lines.append(Line(result, *(each and each[place] for each in both), side))
    return lines


def _both_wheels(car: Any, result: Result) -> tuple[float | None, float | None] | None:
    rows = car.wheels if result.scope == "car" else car.rest.values
    row = rows.get(result.key)
    if row is None or len(np.atleast_1d(row)) < 2 or result.scope == "axle":
        return None
    left, right = (float(np.ravel(wheel)[0]) for wheel in row)
    return left if np.isfinite(left) else None, right if np.isfinite(right) else None


def _shown_alike(both: tuple[float | None, float | None], result: Result, units: Units) -> bool:
    left, right = both
    if left is None or right is None:
        return left is right
    return is_zero(left - right, result, units)


def _values(end: str, car: Any) -> dict[tuple[str, str], tuple[Result, float | None]]:
    """Return a car's results by key and title: under one key two axles may give two things."""
    rear = LEAF_RESULTS if getattr(car, "kind", "") == "leaf axle" else LINK_RESULTS
    own = RESULTS if end == "front" else rear
    return {(each.key, each.title): (each, _value(car, each)) for each in own}


def _value(car: Any, result: Result) -> float | None:
    if result.scope == "car":
        return car.single.get(result.key)
    row = car.rest.values.get(result.key)
    if row is None:
        return None
    value = float(np.ravel(row)[0])  # the left wheel's, or the axle's
    return value if np.isfinite(value) else None


# Leaves


class PackLeaf(NamedTuple):
    place: int
    leaf: Leaf
    mass: float


class Stress(NamedTuple):
    """By one curvature, and by leaves that touch at their tips."""

    ride: tuple[float, float]
    bump: tuple[float, float] | None
    limit: float | None
    left: float | None


def pack(car: Any, leaves: tuple[Leaf, ...]) -> list[PackLeaf]:
    cuts = cutting_list(car.leaf.car.pack)
    return [
        PackLeaf(i, leaf, cut.mass) for i, (leaf, cut) in enumerate(zip(leaves, cuts, strict=True))
    ]


def stress(car: Any) -> list[Stress]:
    """Return each leaf's stress with the car at its settled height, and on its bump stop."""
    leaf = car.leaf
    if leaf is None or leaf.car.load is None:
        return []
    ride = _of_models(leaf.stresses(_pack_load(leaf, leaf.ride)))
    bump = None
    if leaf.settled_travel is not None:
        stop = leaf.on_car(np.array([leaf.car.bump]), Model.COMMON_CURVATURE)
        bump = None if stop is None else _of_models(leaf.stresses(_pack_load(leaf, stop)))
    found = []
    for place, limit in enumerate(leaf.stages.pack.limits):
        known = float(limit) if np.isfinite(limit) else None
        at_bump = None if bump is None else bump[place]
        left = None if at_bump is None or known is None else 1.0 - max(at_bump) / known
        found.append(Stress(ride[place], at_bump, known, left))
    return found


def _of_models(stresses: Any) -> list[tuple[float, float]]:
    """Return the larger of both halves of each leaf, by one curvature and by contact at tips."""
    curved, tips = (abs(stresses.halves[model]).max(axis=0) for model in (0, 1))
    return list(zip(map(float, curved), map(float, tips), strict=True))


def _pack_load(leaf: Any, spring: Any) -> float:
    """Return what the leaves bear, from how far they are bent [N]."""
    return float(load_at(leaf.stages, spring.deflection, Model.COMMON_CURVATURE)[0])


# Torque, hop, links


class Torque(NamedTuple):
    name: str
    thrust: float
    wind_up: float
    pinion: float | None
    lift: float
    front_eye: float
    rear_eye: float
    snubber: float
    stress: float


LOADS = {"Drive 25 %": 0.25, "Drive 50 %": 0.5, "Drive 75 %": 0.75, "Full drive": 1.0}


def torque(of: Any) -> list[Torque]:
    found = []
    for load, share in {**LOADS, "Full braking": None}.items():
        for name, car in cars(of):
            if car.twist is None:
                continue
            twist = car.twist
            push = twist.thrust[0] if share is None else share * twist.thrust[-1]
            at = int(np.argmin(np.abs(twist.thrust - push)))
            stages, bending = car.leaf.stages, twist.bending_load[:, at]
            stress = stresses_from_eyes(stages, bending, float(car.leaf.ride.pack_load[0]))
            turn = float(twist.rotation[at])
            pinion = None
            if "rear.axle.pinion_angle" in of.setup.evidence:
                standing = car.rest if car.settled is None else car.settled
                pinion = float(standing.values["pinion_angle"][0]) + turn
            front, rear = (float(twist.eye_load[eye, at]) for eye in (0, 1))
            lift, snubber = -float(twist.rise[at]), float(twist.snubber[at])
            thrust = float(twist.thrust[at])
            found.append(
                Torque(
                    *(f"{load}, {name}", thrust, turn, pinion, lift, front, rear, snubber),
                    float(stress.worst.max()),
                )
            )
    return found


Figures = list[float | None]


def hop(of: Any) -> list[tuple[str, Figures, Figures]]:
    """Return name, frequencies and damping ratios of hop, tramp and wind-up; None: not known."""
    fitted = [(f"Dampers {name}", car.hop) for name, car in cars(of) if car.hop is not None]
    rows = []
    for name, hop in fitted:
        if hop.closed is None:
            rows.append((name, hop, hop.own))
            continue
        here, other = ("closed", "open") if hop.closed else ("open", "closed")
        rows += [(f"{name}, bars {here}", hop, hop.own), (f"{name}, bars {other}", hop, hop.other)]
    if fitted:
        last = fitted[-1][1]
        rows += [(f"If {name}", last, m) for name, m in zip(LAYOUTS, last.layouts, strict=True)]
    return [
        (name, *(_by_name(hop, each) for each in (m.named.frequency, m.named.damping)))
        for name, hop, m in rows
    ]


def _by_name(hop: Any, values: Any) -> Figures:
    """Return the figures of hop, tramp and wind-up: the last needs the rates of links' bushes."""
    links = hop.on_links and not hop.known >= {0, 3}
    return [float(values[1]), float(values[2]), None if links else float(values[3])]


LAYOUTS = ("both ahead", "both behind", "one ahead, one behind", "at the axle")


def links(car: Any) -> Mapping[str, float]:
    """Return the length of each link by name."""
    if car.links is None:
        return {}
    every = car.links.axle.links
    return {name: _long(link) for name, link in every.items() if link is not None}


def _long(link: Any) -> float:
    ends = np.array(link.body) - np.array(link.axle)
    return float(np.linalg.norm(ends)) if link.length is None else float(link.length)


def cars(of: Any) -> Iterator[tuple[str, Any]]:
    """Yield the cars under the names that a sheet gives them."""
    if of.proposed is of.measured:
        yield "as found", of.measured
    else:
        yield "as found", of.measured
        yield "as built", of.proposed

"""From a setup to what the kernel reads of the rear: measured and proposed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import dist
from typing import cast

from app.document.address import SIDES, key_of, mirrored, named
from app.document.columns import distances
from app.document.ends import END
from app.document.heights import STOP_TRAVEL
from app.document.masses import mass_on
from app.document.model import Setup, Value, Vec
from app.document.moves import (
    LEAST,
    Numbers,
    SidePoints,
    measured_points,
    points_of_side,
    proposed_points,
    proposed_settings,
)
from app.systems.rear.pack_inputs import contacts_from_free, leaf_pack, sprung_load
from geometry.conventions import GRAVITY
from geometry.leaf.car import AxleMass, Drive, Fitted, LeafCar, LeafPoints, RightSpring
from geometry.leaf.pack import LeafPack
from geometry.leaf.wind_up import TractionBars
from geometry.links.axle import LINK_RATE, Coil, Link, LinkAxle, Strut
from geometry.links.car import LinkCar
from geometry.propshaft import Propshaft

Values = Mapping[str, Value]
Points = Mapping[str, Vec]

_GAP = "rear.traction_bar.gap"
LEAF_POINTS = ("front_eye", "rear_eye", "shackle_body", "centre_bolt", "wheel_centre")


def rear_kind(values: Values) -> str | None:
    """Return what is fitted at the rear, None where nothing is given."""
    kind = values.get("rear.kind")
    return None if kind is None else str(kind)


def gives_leaves(values: Values) -> bool:
    """Tell whether all is there that an axle on leaf springs needs."""
    points = (key_of("rear", "left", name) for name in LEAF_POINTS)
    needed = ("rear.pack.leaf", "rear.pack.width", "rear.pack.modulus", "rear.tyre_radius")
    return all(key in values for key in (*points, *needed))


def leaf_car(setup: Setup, proposed: bool, pack: LeafPack | None = None) -> LeafCar:
    """Return the leaf axle as measured or as proposed; a pack that is given is taken as it is."""
    measured, values = setup.evidence, proposed_settings(setup) if proposed else setup.evidence
    points = rear_points(setup, proposed, "left")
    number = Numbers(values)
    if pack is None:
        stood = rear_points(setup, False, "left").made if gives_leaves(measured) else points.made
        pack = leaf_pack(values, contacts_from_free(setup, values, _leaf_points(stood)))
    return LeafCar(
        points=_leaf_points(points.made),
        moved=_leaf_points(points.bolted),
        pack=pack,
        measured_fit=_fitted(measured),
        fit=_fitted(values),
        pinion=number.get("rear.axle.pinion_angle") or 0.0,
        has_pinion=number.get("rear.axle.pinion_angle") is not None,
        propshaft=_propshaft(number, points),
        tyre_radius=number.need("rear.tyre_radius"),
        tyre_rate=number.get("rear.tyre_rate"),
        load=sprung_load(number),
        friction=number.get("rear.pack.friction") or 0.0,
        wheelbase=number.get("car.wheelbase"),
        cg_height=number.get("car.cg_height"),
        brake_share=_brake_share(number),
        axle_load=_weight(mass_on("rear", number.get)),
        weight=_weight(number.get("car.mass")),
        dampers=_dampers(setup, number, proposed),
        damper_closed=number.get("rear.damper.closed_length"),
        damper_open=number.get("rear.damper.open_length"),
        drive=_drive(number),
        axle=_axle_mass(number),
        bars=_bars(number, points.bolted),
        gap_as_measured=measured.get(_GAP) is not None and not _sets(setup, _GAP),
        bush_rate=number.get("rear.pack.eye_bush_rate"),
        right=_right_spring(setup, proposed),
        front_ahead=_front_ahead(setup),
        bump=number.get("rear.travel.bump") or STOP_TRAVEL,
    )


def link_car(setup: Setup, proposed: bool) -> LinkCar:
    """Return the link axle as measured or as proposed; kept links carry their lengths."""
    values = proposed_settings(setup) if proposed else setup.evidence
    number = Numbers(values)
    left, right = (rear_points(setup, proposed, side) for side in SIDES)
    rates = {name: number.get(f"rear.links.{name}_rate") or LINK_RATE for name in _LINKS}
    axle = LinkAxle(
        lower_left=_link(left, "lower", rates),
        lower_right=_link(right, "lower", rates),
        upper_left=_link(left, "upper", rates),
        upper_right=_link(right, "upper", rates),
        lateral=_link(left, "lateral", rates),
        wheel_left=left.made["wheel_centre"],
        wheel_right=right.made["wheel_centre"],
        tyre_radius=number.need("rear.tyre_radius"),
        coil_left=_coil(left, number),
        coil_right=_coil(right, number),
        damper_left=_strut(left, "damper"),
        damper_right=_strut(right, "damper"),
    )
    return LinkCar(
        axle=axle,
        load=sprung_load(number),
        tyre_rate=number.get("rear.tyre_rate"),
        wheelbase=number.get("car.wheelbase"),
        cg_height=number.get("car.cg_height"),
        brake_share=_brake_share(number),
        pinion=number.get("rear.axle.pinion_angle") or 0.0,
        has_pinion=number.get("rear.axle.pinion_angle") is not None,
        propshaft=_propshaft(number, left),
        has_coils="spring_body" in left.made and number.get("rear.spring.rate") is not None,
        has_dampers="damper_body" in left.made,
        free_given=number.get("rear.spring.free_length"),
        damper_closed=number.get("rear.damper.closed_length"),
        damper_open=number.get("rear.damper.open_length"),
        axle_load=_weight(mass_on("rear", number.get)),
        weight=_weight(number.get("car.mass")),
        drive=_drive(number),
        axle_mass=_axle_mass(number),
        damper_rate=number.get("rear.damper.rate"),
        bolt_diameter=number.get("rear.links.bolt_diameter"),
        has_bush_rates={"rear.links.lower_rate", "rear.links.upper_rate"} <= values.keys(),
        has_lateral_rate="rear.links.lateral_rate" in values,
        front_ahead=_front_ahead(setup),
    )


_LINKS = ("lower", "upper", "lateral")


def rear_points(setup: Setup, proposed: bool, side: str) -> SidePoints:
    """Return a side's points of the measured axle or the proposed one."""
    return (proposed_points if proposed else measured_points)(setup, "rear", side)


def _front_ahead(setup: Setup) -> float:
    """Return how far the left front wheel centre was measured ahead of the right one [mm].

    0 without a front in the file.
    """
    left, right = (
        points_of_side(setup.evidence, "front", side).get("wheel_centre") for side in SIDES
    )
    return 0.0 if left is None or right is None else left[0] - right[0]


def own_right_points(setup: Setup, proposed: bool) -> set[str]:
    """Return the spring's points that stand elsewhere on the right than the left one's mirror."""
    left, right = (rear_points(setup, proposed, side) for side in SIDES)
    return {
        name
        for name in LEAF_POINTS
        if name in left.made
        for one, other in ((left.made, right.made), (left.bolted, right.bolted))
        if abs(_distance(mirrored(one[name]), other[name])) > LEAST
    }


def _right_spring(setup: Setup, proposed: bool) -> RightSpring | None:
    names = own_right_points(setup, proposed)
    if not names:
        return None
    left, right = (rear_points(setup, proposed, side) for side in SIDES)
    made, bolted = (
        {name: mirrored(each[name]) for name in LEAF_POINTS} for each in (right.made, right.bolted)
    )
    given = named("rear", "right", setup.evidence).keys()
    measured = given & names
    if "centre_bolt" in measured and "wheel_centre" not in given:
        ahead = _wheel_at_bolt(left.made, made)
        made["wheel_centre"], bolted["wheel_centre"] = (
            (x + ahead, y, z) for x, y, z in (made["wheel_centre"], bolted["wheel_centre"])
        )
    is_remade = any(
        abs(_distance(made[name], left.made[name])) > LEAST for name in names - measured
    )
    is_own = is_remade or bool(measured & {"centre_bolt", "wheel_centre", "rear_eye"})
    return RightSpring(_leaf_points(made), _leaf_points(bolted), is_own)


def _wheel_at_bolt(left: Points, right: Points) -> float:
    """Return how far the right wheel stands ahead where its centre bolt says so alone [mm].

    The axle lies along a line over both bolts; `right` are the right side's points, mirrored.
    """
    bolts, wheels = (
        [side[name] for side in (left, right)] for name in ("centre_bolt", "wheel_centre")
    )
    base, track = (one[1] + other[1] for one, other in (bolts, wheels))
    return (bolts[1][0] - bolts[0][0]) * track / base


def _leaf_points(points: Points) -> LeafPoints:
    return LeafPoints(**{name: points[name] for name in LEAF_POINTS})


def _link(points: SidePoints, name: str, rates: dict[str, float]) -> Link:
    design, body = points.made, points.bolted
    start, end = f"{name}_body", f"{name}_axle"
    made = _distance(design[start], design[end])
    design_length = None if body[start] == design[start] else made
    return Link(body[start], body[end], rates[name], design_length)


def _strut(points: SidePoints, name: str) -> Strut:
    """Return a damper; where none is given one at the wheel, whose results aren't shown."""
    body = points.bolted
    if f"{name}_body" not in body:
        x, y, z = body["wheel_centre"]
        return Strut((x, y, z + 300.0), (x, y, z))
    return Strut(body[f"{name}_body"], body[f"{name}_axle"])


def _coil(points: SidePoints, number: Numbers) -> Coil:
    strut = _strut(points, "spring")
    length = _distance(strut.body, strut.axle)
    rate = number.get("rear.spring.rate") or 1.0
    return Coil(strut.body, strut.axle, rate, number.get("rear.spring.free_length") or length)


def _distance(start: Sequence[float], end: Sequence[float]) -> float:
    """Return the distance of two points [mm]; of columns a column."""
    if isinstance(start[0], float):
        return dist(start, end)
    return cast(float, distances(start, end))


def _weight(mass: float | None) -> float | None:
    return None if mass is None else mass * GRAVITY


def _brake_share(number: Numbers) -> float | None:
    front_share = number.get("car.front_brake_share")
    return None if front_share is None else END["rear"].share(front_share)


def _fitted(values: Values) -> Fitted:
    number = Numbers(values)
    return Fitted(
        block=number.get("rear.block") or 0.0,
        wedge=number.get("rear.wedge") or 0.0,
        shackle=number.get("rear.shackle_length"),
        eyes=(
            str(values.get("rear.pack.front_eye", "upturned")),
            str(values.get("rear.pack.rear_eye", "upturned")),
        ),
        eye=number.get("rear.pack.eye_diameter") or 0.0,
    )


def _dampers(
    setup: Setup, number: Numbers, proposed: bool
) -> tuple[tuple[Vec, Vec, float | None], ...]:
    """Return both dampers in car axes; the right one may stand elsewhere than the left's mirror."""
    rate = number.get("rear.damper.rate")
    dampers = []
    for side in SIDES:
        points = rear_points(setup, proposed, side).bolted
        if "damper_body" in points and "damper_axle" in points:
            dampers.append((points["damper_axle"], points["damper_body"], rate))
    return tuple(dampers)


def _propshaft(number: Numbers, points: SidePoints) -> Propshaft | None:
    """Return the propshaft's angles at both ends; None without the gearbox's."""
    gearbox = number.get("rear.gearbox_angle")
    if gearbox is None:
        return None
    has_pinion = number.get("rear.axle.pinion_angle") is not None
    joints = points.made.get("pinion"), points.bolted.get("gearbox_joint")
    return Propshaft(gearbox, *joints, has_pinion=has_pinion)


def _drive(number: Numbers) -> Drive | None:
    torque, gear = number.get("rear.drive.engine_torque"), number.get("rear.drive.gear")
    final, grip = number.get("rear.drive.final_drive"), number.get("rear.drive.grip")
    if grip is None and None in (torque, gear, final):
        return None
    return Drive(torque, gear, final, grip, number.get("rear.drive.efficiency") or 1.0)


def _axle_mass(number: Numbers) -> AxleMass | None:
    mass = number.get("rear.axle.mass")
    pitch, roll = number.get("rear.axle.pitch_inertia"), number.get("rear.axle.roll_inertia")
    if mass is None or pitch is None or roll is None:
        return None
    return AxleMass(mass, pitch, roll)


def _sets(setup: Setup, key: str) -> bool:
    return any(key in change.sets for change in setup.changes if change.on)


def _bars(number: Numbers, body: Points) -> TractionBars | None:
    gap, stiffness = number.get(_GAP), number.get("rear.traction_bar.stiffness")
    length = number.get("rear.traction_bar.length")
    if length is None and "bar_axle" in body and "bar_snubber" in body:
        length = _distance(body["bar_snubber"][:1], body["centre_bolt"][:1])
    if gap is None or stiffness is None or length is None:
        return None
    return TractionBars(length, gap, stiffness)

"""The keys of the rear, an axle on two leaf springs or on five links: one row each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.quantities import DEGREE
from app.document.rear_points import EITHER, REAR_POINTS
from app.document.schema import LEAF, LINKS, REAR, Key, Range

_PACK: Final = ("rear.kind", "leaf axle")

_BUSHES: Final = (500.0, 50000.0)


def _row(
    name: str, kind: str, title: str, purpose: str, fits: frozenset[str], **more: object
) -> Key:
    return replace(Key(f"rear.{name}", kind, title, purpose, fits), **more)  # type: ignore[arg-type]


def _length(
    name: str, title: str, purpose: str, usual: Range, fits: frozenset[str] = REAR, **more: object
) -> Key:
    return _row(name, "length", title, purpose, fits, usual=usual, **{"over": 0.0, **more})


_GENERAL: Final = (
    Key(
        "rear.kind",
        "choice",
        "Rear suspension",
        "what is fitted; a change may switch",
        REAR,
        needs=("rear",),
        choices=("leaf axle", "five-link axle"),
        short="Rear:",
    ),
    _length(
        "tyre_radius",
        "Rear tyre radius, loaded",
        "wheel centre to ground, along the wheel",
        (230.0, 420.0),
        needs=EITHER,
        least=10.0,
        most=2000.0,
    ),
    _row(
        "tyre_rate",
        "spring rate",
        "Rear tyre rate",
        "hop, ride rate and frequency",
        REAR,
        over=0.0,
        usual=(80.0, 400.0),
    ),
    _length(
        "arch_height", "Rear wheel centre to arch", "ride height", (150.0, 600.0), settable=False
    ),
    _length(
        "block",
        "Lowering block",
        "thickness between spring and axle seat; 0 when there is none",
        (0.0, 80.0),
        LEAF,
        over=None,
        least=0.0,
        short="Lowering block",
    ),
    _row(
        "wedge",
        "angle",
        "Wedge under the seat",
        "+ turns the pinion nose up",
        LEAF,
        least=-45 * DEGREE,
        most=45 * DEGREE,
        usual=(-6 * DEGREE, 6 * DEGREE),
        short="Wedge",
    ),
    _length(
        "shackle_length",
        "Shackle, between its eyes",
        "of a new shackle; the measured distance when not given",
        (50.0, 200.0),
        LEAF,
        short="Shackle",
    ),
)

_LEAVES: Final = (
    _length("pack.width", "Leaf width", "of every leaf", (40.0, 90.0), LEAF, needs=_PACK),
    _row(
        "pack.modulus",
        "stress",
        "Modulus of elasticity",
        "of the leaves: 200 000 to 210 000 N/mm² for spring steel",
        LEAF,
        needs=_PACK,
        over=0.0,
        usual=(2e4, 2.2e5),
    ),
    _length(
        "pack.clamp_length",
        "Clamped length",
        "of the seat, between the U-bolts' outer edges: there the leaves don't bend",
        (40.0, 250.0),
        LEAF,
        over=None,
        least=0.0,
    ),
    _row(
        "pack.free_arch",
        "length",
        "Free arch",
        "centre bolt below the line of the eyes, off the car; - when it lies above",
        LEAF,
        usual=(-50.0, 250.0),
        short="Free arch",
    ),
    _row(
        "pack.friction",
        "ratio",
        "Leaf friction",
        "share of the load that rubbing adds loading and takes unloading",
        LEAF,
        least=0.0,
        most=1.0,
        usual=(0.0, 0.2),
    ),
    _row(
        "pack.limit_stress",
        "stress",
        "Stress limit at full bump",
        "of the leaves' material",
        LEAF,
        over=0.0,
        usual=(200.0, 1800.0),
    ),
    _row("pack.material", "text", "Material", "in words", LEAF),
    _row(
        "pack.front_eye",
        "choice",
        "Front eye rolled",
        "upturned: the eye above the main leaf; a reversed eye is below it",
        LEAF,
        choices=("upturned", "downturned", "central"),
        short="Front eye",
    ),
    _row(
        "pack.rear_eye",
        "choice",
        "Rear eye rolled",
        "as the front eye",
        LEAF,
        choices=("upturned", "downturned", "central"),
        short="Rear eye",
    ),
    _row(
        "pack.ends",
        "choice",
        "Leaf ends",
        "square where not given; diamond: cut to a point; tapered: drawn out thin",
        LEAF,
        choices=("square", "diamond", "tapered"),
        short="Leaf ends",
    ),
    _length("pack.eye_diameter", "Eye, inside diameter", "with the bush out", (10.0, 60.0), LEAF),
    _row(
        "pack.eye_bush_rate",
        "spring rate",
        "Front eye's bush, along the car",
        "one side; for hop and wind-up",
        LEAF,
        over=0.0,
        usual=(200.0, 20000.0),
    ),
    _row("pack.leaf", "leaves", "Leaves", "main leaf first", LEAF, needs=_PACK, short="Leaf pack"),
)

_PARTS: Final = (
    _row(
        "axle.mass",
        "mass",
        "Axle mass",
        "axle, wheels, brakes and half of springs and dampers",
        REAR,
        over=0.0,
        usual=(60.0, 250.0),
    ),
    _row(
        "axle.pitch_inertia",
        "inertia",
        "Axle inertia about its tube",
        "wind-up",
        REAR,
        over=0.0,
        usual=(0.3e6, 8e6),
    ),
    _row(
        "axle.roll_inertia",
        "inertia",
        "Axle inertia about X",
        "tramp",
        REAR,
        over=0.0,
        usual=(8e6, 80e6),
    ),
    _row(
        "axle.pinion_angle",
        "angle",
        "Pinion, nose up",
        "at measured height, to the ground",
        REAR,
        least=-90 * DEGREE,
        most=90 * DEGREE,
        usual=(-10 * DEGREE, 15 * DEGREE),
    ),
    _row(
        "gearbox_angle",
        "angle",
        "Gearbox output, front end up",
        "at measured height, to the ground; for the propshaft's joints",
        REAR,
        least=-45 * DEGREE,
        most=45 * DEGREE,
        usual=(-4 * DEGREE, 10 * DEGREE),
    ),
    _row(
        "damper.rate",
        "damping",
        "Rear damper rate",
        "force per speed along the damper, each",
        REAR,
        over=0.0,
        usual=(0.3, 8.0),
        short="Rear damper",
    ),
    _length("damper.closed_length", "Rear damper, closed length", "it bottoms", (150.0, 500.0)),
    _length("damper.open_length", "Rear damper, open length", "it tops out", (200.0, 800.0)),
    _row(
        "spring.rate",
        "spring rate",
        "Rear coil rate",
        "at the spring",
        LINKS,
        needs=("rear.spring",),
        over=0.0,
        usual=(10.0, 120.0),
        short="Rear coil",
    ),
    _length("spring.free_length", "Rear coil, free length", "", (150.0, 600.0), LINKS),
    _length("spring.solid_length", "Rear coil, solid length", "coil bind", (60.0, 350.0), LINKS),
    _length("travel.bump", "Rear bump travel", "to the stop", (30.0, 180.0)),
    _length("travel.rebound", "Rear rebound travel", "to the stop", (30.0, 180.0)),
    _row(
        "drive.engine_torque",
        "torque",
        "Engine torque",
        "the greatest",
        REAR,
        over=0.0,
        usual=(4e4, 8e5),
    ),
    _row("drive.gear", "ratio", "Gear ratio", "lowest gear", REAR, over=0.0, usual=(1.5, 5.0)),
    _row("drive.final_drive", "ratio", "Final drive", "", REAR, over=0.0, usual=(2.5, 6.0)),
    _row(
        "drive.efficiency",
        "ratio",
        "Driveline efficiency",
        "1 when not given",
        REAR,
        over=0.0,
        most=1.0,
        usual=(0.8, 1.0),
    ),
    _row("drive.grip", "ratio", "Tyre grip", "limits the thrust", REAR, over=0.0, usual=(0.5, 1.6)),
    _row(
        "links.lower_rate",
        "spring rate",
        "Lower link, bushes",
        "axial; for wind-up",
        LINKS,
        over=0.0,
        usual=_BUSHES,
    ),
    _row(
        "links.upper_rate",
        "spring rate",
        "Upper link, bushes",
        "axial; for wind-up",
        LINKS,
        over=0.0,
        usual=_BUSHES,
    ),
    _row(
        "links.lateral_rate",
        "spring rate",
        "Lateral link, bushes",
        "axial",
        LINKS,
        over=0.0,
        usual=_BUSHES,
    ),
    _length(
        "links.bolt_diameter",
        "Link bolts, diameter",
        "the thinnest that shear goes through; for their shear, in double shear",
        (8.0, 24.0),
        LINKS,
        short="Link bolts",
    ),
    _length(
        "traction_bar.length",
        "Traction bar, length",
        "axle to snubber; from its points when not given",
        (300.0, 900.0),
        LEAF,
        short="Traction bar",
    ),
    _length(
        "traction_bar.gap",
        "Traction bar, gap",
        "snubber to what it meets, at rest",
        (0.0, 40.0),
        LEAF,
        over=None,
        least=0.0,
        needs=("rear.traction_bar",),
        short="Traction bar gap",
    ),
    _row(
        "traction_bar.stiffness",
        "spring rate",
        "Traction bar, snubber rate",
        "with the bar's own give",
        LEAF,
        needs=("rear.traction_bar",),
        over=0.0,
        usual=(50.0, 3000.0),
        short="Snubber",
    ),
)

REAR_KEYS: Final = (
    *_GENERAL,
    *REAR_POINTS,
    *_LEAVES,
    *_PARTS,
)

"""The steps of measuring a car, in an order that a person under it can follow."""

from __future__ import annotations

from typing import Final, Literal

from app.document.address import is_right, key_of, left_of
from app.document.edits import tapes_without
from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.point_names import point_title
from app.entry.typed import Draft
from app.systems.front.system import FRONT
from geometry.dataclass import dataclass

Sort = Literal["car", "numbers", "point", "tapes", "last"]

GUIDED: Final = FRONT  # what the guide leads through, beside the car as a whole
FROM_THE_WHEEL_IN: Final = (
    "wheel_centre",
    "lower_ball",
    "lower_rear",
    "lower_front",
    "strut_joint",
    "upper_ball",
    "upper_front",
    "upper_rear",
    "tie_outer",
    "tie_inner",
)
RELAY: Final = ("pitman_pivot", "pitman_end", "idler_pivot", "idler_end")
SEATS: Final = ("spring_arm", "spring_body")
DAMPER: Final = ("damper_arm", "damper_body")
WHEEL: Final = (
    "front.tyre_radius",
    "front.camber",
    "front.toe",
    "front.tyre_width",
    "front.toe_diameter",
    "front.arch_height",
)
WHEEL_RIGHT: Final = ("front.camber_right", "front.toe_right")
COIL: Final = ("front.spring.rate", "front.spring.free_length", "front.spring.solid_length")
BAR: Final = ("front.spring.rate", "front.spring.preload")
STOPS: Final = (
    "front.damper.closed_length",
    "front.damper.open_length",
    "front.travel.bump",
    "front.travel.rebound",
    "front.bump_steer_travel",
    "front.steering.travel",
)
CAR: Final = (
    "car.wheelbase",
    "car.mass",
    "car.front_share",
    "car.front_unsprung",
    "car.rear_unsprung",
    "car.cg_height",
    "car.front_brake_share",
    "front.tyre_rate",
    "sheet.measured_within",
)
NO_SPRING: Final = "not measured yet"


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what is asked on its page."""

    key: str  # a point's key, or the page's name
    title: str
    sort: Sort
    fields: tuple[str, ...] = ()
    group: str = ""
    optional: bool = False


def spring_of(setup: Setup) -> str:
    """Return the spring in the words of the first page."""
    kind, on = (setup.readings.get(f"front.spring.{name}") for name in ("kind", "on"))
    if kind == "torsion bar":
        return "torsion bar"
    return f"coil on the {on}" if kind == "coil" else NO_SPRING


def with_spring(draft: Draft, words: str) -> Draft:
    """Return the draft with the spring chosen in the words of the first page."""
    kind: Value | None = None
    on: Value | None = None
    if words == "torsion bar":
        kind, on = "torsion bar", "lower arm"
    elif words != NO_SPRING:
        kind, on = "coil", words.removeprefix("coil on the ")
    return draft.having("front.spring.kind", kind).having("front.spring.on", on)


def new_draft() -> Draft:
    """Return a car of which nothing is known but what most such cars have."""
    evidence: dict[str, Value] = {
        "front.kind": "double wishbone",
        "front.lower_arm": "one piece",
        "front.steering.kind": "rack",
        "front.spring.kind": "coil",
        "front.spring.on": "lower arm",
    }
    return Draft(Setup("", evidence=FrozenMap(evidence)))


def draft_of(setup: Setup) -> Draft:
    """Return a draft that begins with what a setup holds."""
    evidence = frozen(setup.readings)
    for key, value in (("front.kind", "double wishbone"), ("front.lower_arm", "one piece")):
        if key not in evidence:
            evidence = evidence.having(key, value)
    both_sides = any(map(is_right, evidence))
    return Draft(setup.having(evidence=evidence), both_sides=both_sides)


def steps_of(draft: Draft) -> tuple[Step, ...]:
    """Return the steps that this car needs."""
    setup, both_sides = draft.before, draft.both_sides
    names = _points(setup)
    wheel = WHEEL[:3] + (WHEEL_RIGHT if both_sides else ()) + WHEEL[3:]
    left = [_point(setup, key_of("front", "left", name), "Left side") for name in names]
    right = [
        _point(setup, key_of("front", "right", name), "Right side")
        for name in names
        if both_sides and name not in RELAY
    ]
    spring = {"torsion bar": BAR, NO_SPRING: ()}.get(spring_of(setup), COIL)
    return (
        Step("car", "What car it is", "car", group="The car"),
        Step("wheel", "Wheel and alignment", "numbers", wheel, "The car"),
        *left,
        *right,
        Step("spring", "Spring, damper, stops", "numbers", spring + STOPS, "Figures"),
        Step("weights", "Weights and brakes", "numbers", CAR, "Figures"),
        Step("tapes", "Tape and trammel", "tapes", group="Figures", optional=True),
        Step("last", "Look it over", "last", group="Figures"),
    )


def needed_part(draft: Draft, setup: Setup) -> Setup:
    """Return a setup without what this kind of car hasn't: a rack's car has no pitman arm."""
    foreign_keys = [key for key in setup.readings if _is_foreign(key, draft)]
    if not foreign_keys:
        return setup
    return setup.having(
        evidence=frozen(setup.readings).without(*foreign_keys),
        within=frozen(setup.within).without(*foreign_keys),
        tapes=tapes_without(setup, *foreign_keys),
        point_notes=frozen(setup.point_notes).without(*foreign_keys),
    )


def _is_foreign(key: str, draft: Draft) -> bool:
    evidence = draft.before.readings
    spring = spring_of(draft.before)
    name = left_of(key).removeprefix("front.")
    return (
        (not draft.both_sides and (is_right(key) or key in WHEEL_RIGHT))
        or (name == "strut_joint" and evidence.get("front.lower_arm") == "one piece")
        or (_is_relay(name) and evidence.get("front.steering.kind") != "relay")
        or (name in SEATS and not spring.startswith("coil"))
        or (key.startswith("front.spring.") and spring == NO_SPRING)
        or (key in COIL[1:] and spring == "torsion bar")
        or (key in BAR[1:] and spring != "torsion bar")
    )


def _is_relay(name: str) -> bool:
    return name in RELAY or name in ("steering.pitman_axis", "steering.idler_axis")


def _points(setup: Setup) -> tuple[str, ...]:
    """Return the bare names of the points, from the wheel inwards."""
    evidence = setup.readings
    rod = evidence.get("front.lower_arm") == "link and strut rod"
    names = tuple(name for name in FROM_THE_WHEEL_IN if rod or name != "strut_joint")
    if evidence.get("front.steering.kind") == "relay":
        names += RELAY
    if spring_of(setup).startswith("coil"):
        names += SEATS
    return names + DAMPER


def _point(setup: Setup, key: str, group: str) -> Step:
    title = point_title(key, setup.readings).removesuffix(", right")
    bare = key.rpartition(".")[2]
    optional = bare in (*DAMPER, "strut_joint") or (group == "Right side" and bare in SEATS)
    return Step(key, title, "point", (key,), group, optional)

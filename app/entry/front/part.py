"""The front's part of the guide: its steps in the order in which a person under it goes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import Any, Final

from app.document.address import is_right, key_of, left_of
from app.document.ends import name_in_end
from app.document.model import Setup, Value, Vec
from app.document.point_names import point_title
from app.drawing.strokes import Drawing, Stroke
from app.drawing.views import View
from app.entry.front.invented import picture
from app.entry.front.lessons import PAGES, lesson
from app.entry.front.members import build_of, car_strokes
from app.entry.front.needs import ROWS, lacking, spring_kind
from app.entry.needs_rows import purposes_in
from app.entry.part import Choice, Lesson, Row, Step
from app.entry.typed import Draft
from app.systems.front.system import FRONT

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
NO_SPRING: Final = "not measured yet"
LEFT: Final = "Front, left side"
RIGHT: Final = "Front, right side"
FIGURES: Final = "Front, figures"
SPRINGS: Final = ("coil on the upper arm", "coil on the lower arm", "torsion bar", NO_SPRING)
FIRST_LOOK: Final = (
    "caster",
    "kingpin_inclination",
    "scrub_radius",
    "mechanical_trail",
    "roll_centre_height",
    "camber_gain",
    "bump_steer",
    "spring_motion_ratio",
    "wheel_rate",
    "ride_frequency",
    "anti_dive",
)


class FrontPart:
    """The guide through a double-wishbone front."""

    system = FRONT
    lessons: Mapping[str, str] = PAGES
    same_as: Mapping[str, str] = {"damper_arm": "spring_arm", "damper_body": "spring_body"}
    assumed: Mapping[str, Value] = {"front.kind": "double wishbone", "front.lower_arm": "one piece"}
    first_look: Sequence[str] = FIRST_LOOK
    about: Vec = (0.0, 0.0, 0.0)

    def gives(self, draft: Draft) -> bool:
        """Tell whether a front is being measured."""
        return "front.kind" in draft.before.readings

    def choices(self, draft: Draft) -> Iterable[Choice]:
        """Return how the front is built."""
        if not self.gives(draft):
            return
        evidence = draft.before.readings
        for title, key, answers in (
            ("Lower arm", "front.lower_arm", ("one piece", "link and strut rod")),
            ("Steering", "front.steering.kind", ("rack", "relay")),
        ):
            now = str(evidence.get(key, answers[0]))
            yield Choice(title, answers, now, partial(_with_key, key))
        yield Choice("Front spring", SPRINGS, spring_of(draft.before), with_spring)

    def steps(self, draft: Draft) -> Sequence[Step]:
        """Return the steps of this front."""
        setup, both_sides = draft.before, draft.both_sides
        names = _points(setup)
        wheel = WHEEL[:3] + (WHEEL_RIGHT if both_sides else ()) + WHEEL[3:]
        left = [_point(setup, key_of("front", "left", name), LEFT) for name in names]
        right = [
            _point(setup, key_of("front", "right", name), RIGHT)
            for name in names
            if both_sides and name not in RELAY
        ]
        spring = {"torsion bar": BAR, NO_SPRING: ()}.get(spring_of(setup), COIL)
        return (
            Step("wheel", "Wheel and alignment", "numbers", wheel, LEFT),
            *left,
            *right,
            Step("spring", "Spring, damper, stops", "numbers", spring + STOPS, FIGURES),
        )

    def is_foreign(self, key: str, draft: Draft) -> bool:
        """Tell whether a key is nothing that this kind of front has."""
        if not self.gives(draft):
            return True
        evidence = draft.before.readings
        spring = spring_of(draft.before)
        name = name_in_end(left_of(key))
        return (
            (not draft.both_sides and (is_right(key) or key in WHEEL_RIGHT))
            or (name == "strut_joint" and evidence.get("front.lower_arm") == "one piece")
            or (_is_relay(name) and evidence.get("front.steering.kind") != "relay")
            or (name in SEATS and not spring.startswith("coil"))
            or (key.startswith("front.spring.") and spring == NO_SPRING)
            or (key in COIL[1:] and spring == "torsion bar")
            or (key in BAR[1:] and spring != "torsion bar")
        )

    def lesson(self, point: str, setup: Setup) -> Lesson:
        """Return the words for a point."""
        return lesson(point, str(setup.readings.get("front.lower_arm", "")))

    def picture(
        self, view: View, setup: Setup, point: str = "", axis: int | None = None
    ) -> Drawing:
        """Return an invented front built like the car's."""
        return picture(view, build_of(setup), point, axis)

    def strokes(self, view: View, setup: Setup, points: Mapping[str, Any]) -> list[Stroke]:
        """Return the parts of one side whose ends are known."""
        radius, width = (_number(setup, f"front.tyre_{name}") for name in ("radius", "width"))
        return car_strokes(view, points, build_of(setup), radius, width)

    def rows(self, setup: Setup) -> Sequence[tuple[Row, tuple[str, ...]]]:
        """Return what results need."""
        kind = spring_kind(setup)
        return tuple((row, lacking(setup, row)) for row in ROWS if _fits(row, kind))

    def purposes(self, key: str) -> str:
        """Return which results a key is for, in words."""
        return purposes_in(ROWS, FRONT.catalogue, key)


def _fits(row: Row, spring: str) -> bool:
    """Tell whether a car with front springs of a kind has any of a row's results."""
    by_key = {result.key: result for result in FRONT.catalogue}
    return any(by_key[name].only_with in ("", spring) for name in row.results)


def _with_key(key: str, draft: Draft, answer: str) -> Draft:
    return draft.having(key, answer)


def _number(setup: Setup, key: str) -> float | None:
    value = setup.readings.get(key)
    return float(value) if isinstance(value, int | float) else None


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
    optional = bare in (*DAMPER, "strut_joint") or (group == RIGHT and bare in SEATS)
    return Step(key, title, "point", (key,), group, optional)

"""The rear's part of the guide: a leaf axle, an axle on links, or both where one is converted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.address import is_right, key_of, left_of
from app.document.keys import KEYS
from app.document.leaf_parts import LEAVES
from app.document.model import Setup, Value, Vec
from app.document.point_names import point_title
from app.drawing.strokes import Drawing, Stroke
from app.drawing.views import View
from app.entry.needs_rows import needed_keys, purposes_in
from app.entry.part import Choice, Lesson, Row, Step
from app.entry.rear.invented import picture
from app.entry.rear.lessons import PAGES, lesson
from app.entry.rear.members import rear_strokes
from app.entry.typed import Draft
from app.systems.rear.system import REAR
from geometry.catalogue.rear import REAR_RESULTS

CATALOGUE: Final = tuple(REAR_RESULTS.values())
NOT_NOW: Final = "not now"
LEAF: Final = "leaf axle"
LINKS: Final = "five-link axle"
ANSWERS: Final = {  # the answer of the first page: the kind that is fitted
    NOT_NOW: "",
    "axle on leaf springs": LEAF,
    "axle on links": LINKS,
    "leaf springs, to be converted to links": LEAF,
}
CONVERTED: Final = "leaf springs, to be converted to links"
LEFT: Final = "Rear, left side"
RIGHT: Final = "Rear, right side"
FIGURES: Final = "Rear, figures"

_ON_LEAVES: Final = (
    *("wheel_centre", "centre_bolt", "front_eye", "rear_eye", "shackle_body"),
    *("damper_axle", "damper_body", "axle_centre", "pinion", "gearbox_joint"),
    *("bar_axle", "bar_snubber"),
)
_ON_LINKS: Final = (
    *("wheel_centre", "lower_axle", "lower_body", "upper_axle", "upper_body"),
    *("lateral_axle", "lateral_body", "spring_axle", "spring_body"),
    *("damper_axle", "damper_body", "axle_centre", "pinion", "gearbox_joint"),
)
_MIDDLE: Final = ("axle_centre", "pinion", "gearbox_joint", "lateral_body", "lateral_axle")
_WHEEL: Final = ("rear.tyre_radius", "rear.tyre_rate", "rear.arch_height")
_PACK: Final = (
    "rear.pack.width",
    "rear.pack.modulus",
    "rear.pack.clamp_length",
    "rear.pack.free_arch",
    "rear.pack.friction",
    "rear.pack.limit_stress",
    "rear.pack.ends",
    "rear.pack.front_eye",
    "rear.pack.rear_eye",
    "rear.pack.eye_diameter",
    "rear.pack.eye_bush_rate",
    "rear.block",
    "rear.wedge",
    "rear.shackle_length",
)
_STOPS: Final = (
    "rear.damper.rate",
    "rear.damper.closed_length",
    "rear.damper.open_length",
    "rear.travel.bump",
    "rear.travel.rebound",
)
_COIL: Final = ("rear.spring.rate", "rear.spring.free_length", "rear.spring.solid_length")
_BUSHES: Final = (
    "rear.links.lower_rate",
    "rear.links.upper_rate",
    "rear.links.lateral_rate",
    "rear.links.bolt_diameter",
)
_AXLE: Final = (
    "rear.axle.mass",
    "rear.axle.pitch_inertia",
    "rear.axle.roll_inertia",
    "rear.axle.pinion_angle",
    "rear.gearbox_angle",
)
_DRIVE: Final = (
    "rear.drive.engine_torque",
    "rear.drive.gear",
    "rear.drive.final_drive",
    "rear.drive.efficiency",
    "rear.drive.grip",
)
_BARS: Final = ("rear.traction_bar.length", "rear.traction_bar.gap", "rear.traction_bar.stiffness")
_POINTS: Final = {
    LEAF: (
        "rear.wheel_centre",
        "rear.front_eye",
        "rear.rear_eye",
        "rear.shackle_body",
        "rear.centre_bolt",
    ),
    LINKS: (
        "rear.wheel_centre",
        "rear.lower_body",
        "rear.lower_axle",
        "rear.upper_body",
        "rear.upper_axle",
        "rear.lateral_body",
        "rear.lateral_axle",
    ),
}
_DAMPER: Final = ("rear.damper_body", "rear.damper_axle")
_COIL_SEATS: Final = ("rear.spring_body", "rear.spring_axle")
_ROWS: Final = {
    LEAF: (
        Row(
            "Roll centre and roll steer",
            ("roll_centre_height", "roll_steer"),
            _POINTS[LEAF],
            board=True,
        ),
        Row("Anti-squat", ("anti_squat",), _POINTS[LEAF]),
        Row("Wheel rate and stress of the leaves", ("wheel_rate", "stress_ride"), _POINTS[LEAF]),
        Row("Ride frequency", ("ride_frequency",), _POINTS[LEAF]),
        Row("Wind-up at full thrust", ("wind_up_full",), _POINTS[LEAF]),
        Row("Hop and tramp", ("hop_frequency", "tramp_frequency"), _POINTS[LEAF]),
        Row("Damper's ends of travel", ("damper_bump_travel", "damper_droop_travel"), _DAMPER),
    ),
    LINKS: (
        Row(
            "Roll centre and roll steer",
            ("roll_centre_height", "roll_steer"),
            _POINTS[LINKS],
            board=True,
        ),
        Row("Anti-squat", ("anti_squat",), _POINTS[LINKS]),
        Row("Wheel rate", ("wheel_rate",), _COIL_SEATS),
        Row("Ride frequency", ("ride_frequency",), _COIL_SEATS),
        Row("Damper's ends of travel", ("damper_bump_travel", "damper_droop_travel"), _DAMPER),
    ),
}


class RearPart:
    """The guide through the rear."""

    system = REAR
    lessons: Mapping[str, str] = PAGES
    same_as: Mapping[str, str] = {"damper_axle": "spring_axle", "damper_body": "spring_body"}
    assumed: Mapping[str, Value] = {}
    first_look: Sequence[str] = (
        "roll_centre_height",
        "roll_steer",
        "anti_squat",
        "wheel_rate",
        "ride_frequency",
        "stress_ride",
        "shackle_angle",
    )
    about: Vec = (-2500.0, 0.0, 0.0)

    def gives(self, draft: Draft) -> bool:
        """Tell whether a rear is being measured."""
        return "rear.kind" in draft.before.readings

    def choices(self, draft: Draft) -> Iterable[Choice]:
        """Return what is at the back. A rear that a car has can't be left out by the way."""
        has_rear = any(map(self.system.is_own, draft.before.readings.keys() - {"rear.kind"}))
        answers = tuple(each for each in ANSWERS if not (has_rear and each == NOT_NOW))
        yield Choice("Rear", answers, _answer(draft), _chosen)

    def steps(self, draft: Draft) -> Sequence[Step]:
        """Return the steps of this rear."""
        return tuple(_steps(draft)) if self.gives(draft) else ()

    def is_foreign(self, key: str, draft: Draft) -> bool:
        """Tell whether a key is nothing that this kind of rear has."""
        if not self.gives(draft):
            return True
        known_key = KEYS.get(left_of(key))
        fits = frozenset() if known_key is None else known_key.fits
        if not draft.both_sides and is_right(key):
            return True
        return bool(fits) and not fits & _kinds(draft)

    def lesson(self, point: str, setup: Setup) -> Lesson:
        """Return the words for a point."""
        return lesson(point)

    def picture(
        self, view: View, setup: Setup, point: str = "", axis: int | None = None
    ) -> Drawing:
        """Return an invented rear of the car's kind."""
        return picture(view, frozenset({str(setup.readings.get("rear.kind"))}), point, axis)

    def strokes(self, view: View, setup: Setup, points: Mapping[str, Any]) -> list[Stroke]:
        """Return the parts of one side whose ends are known."""
        radius = setup.readings.get("rear.tyre_radius")
        return rear_strokes(view, points, radius if isinstance(radius, float) else None)

    def rows(self, setup: Setup) -> Sequence[tuple[Row, tuple[str, ...]]]:
        """Return what results need."""
        rows = _ROWS.get(str(setup.readings.get("rear.kind")), ())
        return tuple((row, self._lacking(setup, row)) for row in rows)

    def purposes(self, key: str) -> str:
        """Return which results a key is for, in words."""
        every_row = (row for rows in _ROWS.values() for row in rows)
        unique = {row.title: row for row in every_row}
        return purposes_in(unique.values(), CATALOGUE, key)

    def _lacking(self, setup: Setup, row: Row) -> tuple[str, ...]:
        needs = needed_keys(row, CATALOGUE)
        kind = str(setup.readings.get("rear.kind"))
        return tuple(
            key
            for key in needs
            if key not in setup.readings and (key not in KEYS or _has(KEYS[key].fits, kind))
        )


def _has(fits: frozenset[str], kind: str) -> bool:
    return not fits or kind in fits


def _kinds(draft: Draft) -> frozenset[str]:
    """Return the kinds of rear that are measured: both where one is to be converted."""
    fitted = str(draft.before.readings.get("rear.kind", ""))
    return frozenset({LEAF, LINKS} if draft.converts else {fitted})


def _answer(draft: Draft) -> str:
    kind = str(draft.before.readings.get("rear.kind", ""))
    if draft.converts and kind == LEAF:
        return CONVERTED
    return next(answer for answer, each in ANSWERS.items() if each == kind)


def _chosen(draft: Draft, answer: str) -> Draft:
    chosen = draft.having("rear.kind", ANSWERS[answer] or None)
    return replace(chosen, converts=answer == CONVERTED)


def _steps(draft: Draft) -> Iterator[Step]:
    kinds, setup = _kinds(draft), draft.before
    yield Step("rear wheel", "Rear wheel", "numbers", _WHEEL, LEFT)
    names = dict.fromkeys(
        name
        for kind, all_names in ((LEAF, _ON_LEAVES), (LINKS, _ON_LINKS))
        for name in all_names
        if kind in kinds
    )
    for name in names:
        yield _point(setup, key_of("rear", "left", name), LEFT, kinds)
    if draft.both_sides:
        for name in names:
            if name not in _MIDDLE:
                yield _point(setup, key_of("rear", "right", name), RIGHT, kinds)
    if LEAF in kinds:
        yield Step("rear pack", "Leaf pack", "numbers", _PACK, FIGURES)
        yield Step("rear leaves", "Leaf by leaf", "leaves", (LEAVES,), FIGURES)
    links = (*_COIL, *_BUSHES) if LINKS in kinds else ()
    yield Step(
        "rear springs", "Rear springs, dampers, stops", "numbers", (*links, *_STOPS), FIGURES
    )
    yield Step("rear axle", "Axle and pinion", "numbers", _AXLE, FIGURES)
    yield Step("rear drive", "Drive", "numbers", _DRIVE, FIGURES)
    if LEAF in kinds:
        yield Step("rear bars", "Traction bars", "numbers", _BARS, FIGURES)


def _point(setup: Setup, key: str, group: str, kinds: frozenset[str]) -> Step:
    title = point_title(key, setup.readings).removesuffix(", right")
    needed = any(key in _POINTS[kind] for kind in kinds & _POINTS.keys())
    return Step(key, title, "point", (key,), group, not needed)

"""The drawing of a front against plain geometry: where things are, what touches, what meets."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import as_file, files
from itertools import pairwise

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.keys import KEYS
from app.document.model import Change, FrozenMap, Setup
from app.document.point_names import point_title
from app.drawing.strokes import (
    Coil,
    Dimension,
    Drawing,
    Grip,
    Handle,
    Hatch,
    Label,
    LineKind,
    Mark,
    MarkShape,
    OffViewPointer,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.answers import Pose
from app.systems.front.drawing.drawing import front_drawings
from app.systems.front.study import at_pose
from app.systems.front.system import FRONT
from app.systems.shown import Options, Shown
from geometry.catalogue.front import RESULTS
from tests.helpers.front_setups import PLAIN, RELAY, front_setup, planar_points

SAMPLES = ("small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special")
LOWER = Change(
    "Upper pivots 22 mm lower",
    moves=FrozenMap(
        {"front.upper_front": (0.0, 0.0, -22.0), "front.upper_rear": (0.0, 0.0, -22.0)}
    ),
)


def sample(name: str) -> Setup:
    with as_file(files("sample_setups") / f"{name}.toml") as path:
        return read_setup(path).setup


def shown(setup: Setup, pose: Pose | None = None) -> Shown:
    done = FRONT.study(setup)
    cars = (done.proposed, done.measured)
    sweeps = [car.rest if pose is None else at_pose(car.front, pose) for car in cars]
    return Shown(done, *sweeps)


def front_drawing(shown: Shown, view: View, options: Options | None = None) -> Drawing:
    return front_drawings(shown, options or Options())[view]


def strokes(drawing: Drawing, kind: type[Stroke]) -> list[Stroke]:
    return [stroke for stroke in drawing.strokes if isinstance(stroke, kind)]


def handles(drawing: Drawing) -> dict[str, Handle]:
    return {stroke.key: stroke for stroke in drawing.strokes if isinstance(stroke, Handle)}


def grip(drawing: Drawing, key: str) -> Grip:
    return next(s for s in drawing.strokes if isinstance(s, Grip) and s.key == key)


def texts(drawing: Drawing) -> list[str]:
    said = (Label, Dimension, OffViewPointer)
    return [s.text for s in drawing.strokes if isinstance(s, said) and s.text]


@pytest.mark.parametrize("name", SAMPLES)
def test_handles_stand_where_the_points_were_measured(name: str) -> None:
    setup = sample(name).having(changes=())
    for view, drawing in front_drawings(shown(setup)).items():
        for key, handle in handles(drawing).items():
            wanted = view.place(setup.evidence[key])  # type: ignore[arg-type]
            assert handle.at == pytest.approx(wanted, abs=1e-6)
            assert handle.name == point_title(key, setup.evidence)


def test_every_point_that_was_measured_is_a_handle_right_hand_ones_not_from_the_side() -> None:
    setup = sample("hillclimb_special")
    points = {key for key in setup.evidence if key in KEYS and KEYS[key].kind == "point"}
    front = {key for key in points if key.startswith("front.")}
    left = {key for key in front if ".right." not in key}
    assert left < front
    for view, drawing in front_drawings(shown(setup)).items():
        assert set(handles(drawing)) == (left if view is View.SIDE else front)


@pytest.mark.parametrize(("side", "camber", "whose"), [(0, "0.40", "left"), (1, "0.90", "right")])
def test_figures_are_those_of_the_side_asked_for(side: int, camber: str, whose: str) -> None:
    """The sample's file gives the camber of both wheels."""
    setup = sample("hillclimb_special").having(changes=())
    drawing = front_drawings(shown(setup), Options(side=side))[View.FRONT]
    texts = [stroke.text for stroke in drawing.strokes if isinstance(stroke, Label)]
    assert f"camber {camber}°, {whose}" in texts


def test_locked_wrong_and_moved_points_are_told_apart() -> None:
    state = shown(front_setup(changes=(LOWER,)))
    key, other = "front.tie_inner", "front.lower_ball"
    state = Shown(state.study, state.proposed, state.measured, frozenset({key}), frozenset({other}))
    found = handles(front_drawing(state, View.FRONT))
    assert [k for k, h in found.items() if h.moved] == list(LOWER.moves)
    assert [k for k, h in found.items() if h.locked] == [key]
    assert [k for k, h in found.items() if h.wrong] == [other]


def test_every_sample_has_its_tyres_on_the_ground() -> None:
    # the lowest place of a leaning tyre with round shoulders is its shoulder, below the contact
    # centre by no more than half its width times the sine of the lean
    for name in SAMPLES:
        setup = sample(name)
        state = shown(setup, Pose(travel=20.0))
        outline = grip(front_drawing(state, View.FRONT), "wheel:left").outline
        ground = strokes(front_drawing(state, View.FRONT), Hatch)[0].start[1]
        lean = abs(float(state.proposed.values["camber"][0, 0]))
        deepest = ground - 0.5 * float(setup.evidence["front.tyre_width"]) * math.sin(lean)
        assert deepest - 0.1 <= outline[:, 1].min() <= ground + 0.1


def test_a_tyre_is_as_high_and_as_wide_as_it_was_given() -> None:
    state = shown(front_setup(front__camber=0.0, front__toe=0.0, front__tyre_width=160.0))
    drawings = front_drawings(state)
    sizes = {
        v: np.ptp(grip(d, "wheel:left").outline, axis=0)
        for v, d in drawings.items()
        if v is not View.TOP
    }
    assert sizes[View.FRONT] == pytest.approx([160.0, 610.0], abs=0.5)
    assert sizes[View.SIDE] == pytest.approx([610.0, 610.0], abs=0.5)


def test_in_roll_the_road_tilts_by_the_roll_and_carries_both_tyres() -> None:
    angle = math.radians(4.0)
    state = shown(front_setup(), Pose(roll=angle))
    drawing = front_drawing(state, View.FRONT)
    road = strokes(drawing, Hatch)[0]
    run, rise = (b - a for a, b in zip(road.start, road.end, strict=True))
    # the body stands still and leans to its right: seen from it, the road falls to its left
    assert math.atan2(rise, run) == pytest.approx(-angle, abs=1e-9)
    for wheel in tyres(drawing):
        height = (wheel - road.start) @ np.array([-rise, run]) / math.hypot(run, rise)
        assert -8.0 < height.min() < 0.5


def tyres(drawing: Drawing) -> list[np.ndarray]:
    """The outlines of both tyres."""
    kinds = (LineKind.WHEEL, LineKind.FAR)
    closed = [
        s for s in drawing.strokes if isinstance(s, Polyline) and s.closed and s.kind in kinds
    ]
    return [np.array(s.points) for s in closed]


def test_the_far_side_is_the_mirror_of_the_near_one() -> None:
    drawing = front_drawing(shown(front_setup()), View.FRONT)
    far, near = tyres(drawing)
    assert np.sort(far[:, 1]) == pytest.approx(np.sort(near[:, 1]))
    assert np.sort(-far[:, 0]) == pytest.approx(np.sort(near[:, 0]))


def test_the_line_to_the_instant_centre_meets_the_middle_at_the_roll_centre_as_drawn() -> None:
    # outside value: planar corner worked by hand, roll centre 103.7037 mm, centre (-650, 200)
    points = planar_points(((300, 200), (650, 200)), ((350, 400), (600, 450)), (700, 300))
    setup = front_setup(points, front__tyre_radius=300.0, front__camber=0.0, front__toe=0.0)
    drawing = front_drawing(shown(setup), View.FRONT)
    contact = next(s for s in strokes(drawing, OffViewPointer) if s.start[1] == pytest.approx(0.0))
    assert contact.target == pytest.approx((-650.0, 200.0), abs=1e-6)
    share = contact.start[0] / (contact.start[0] - contact.target[0])
    assert share * contact.target[1] == pytest.approx(103.7037, abs=1e-4)
    centre = next(
        s
        for s in strokes(drawing, Mark)
        if s.shape is MarkShape.CENTRE and s.at[0] == pytest.approx(0.0)
    )
    assert centre.at[1] == pytest.approx(103.7037, abs=1e-3)
    assert "instant centre 1.4 m inboard, 0.2 m up" in texts(drawing)
    assert "roll centre 104 mm" in texts(drawing)


def test_parallel_arms_have_their_centre_at_infinity_and_their_lines_run_parallel() -> None:
    points = planar_points(((300, 200), (650, 220)), ((350, 400), (700, 420)), (720, 300))
    setup = front_setup(points, front__tyre_radius=300.0, front__camber=0.0, front__toe=0.0)
    drawing = front_drawing(shown(setup), View.FRONT)
    assert "instant centre at infinity: the arms run parallel" in texts(drawing)
    lines = strokes(drawing, OffViewPointer)
    slopes = [(s.target[1] - s.start[1]) / (s.target[0] - s.start[0]) for s in lines]
    assert slopes == pytest.approx([20 / 350] * len(slopes), abs=1e-3)
    assert all(s.target[0] < -1e5 for s in lines)


def test_a_move_is_dimensioned_once_for_both_pivots_in_words() -> None:
    state = shown(front_setup(changes=(LOWER,)))
    for view in (View.FRONT, View.SIDE):
        moves = [
            s for s in strokes(front_drawing(state, view), Dimension) if s.kind is LineKind.MOVE
        ]
        assert [move.text for move in moves] == ["22 lower"]
        assert moves[0].start[1] - moves[0].end[1] == pytest.approx(22.0)
    assert "22 lower" not in texts(front_drawing(state, View.TOP))


def test_moves_are_said_by_direction_and_in_fractions_where_a_shop_would() -> None:
    shim = {"front.upper_front": (0.0, -25.4 / 16, 0.0), "front.upper_rear": (6.35, 0.0, 0.0)}
    setup = front_setup(changes=(Change("shims", moves=FrozenMap(shim)),)).having(units="in")
    top = texts(front_drawing(shown(setup), View.TOP))
    assert "1/16 inboard" in top
    assert "1/4 forward" in top


def test_scrub_and_track_are_measured_along_the_ground() -> None:
    state = shown(front_setup(), Pose(travel=30.0))
    found = {s.key: s for s in strokes(front_drawing(state, View.FRONT), Dimension)}
    values = state.proposed.values
    scrub = math.dist(found["scrub"].start, found["scrub"].end)
    # across the wheel's heading is across the car but for a toe of some tenths of a degree
    assert scrub == pytest.approx(abs(values["scrub_radius"][0, 0]), abs=0.2)
    track = math.dist(found["track"].start, found["track"].end)
    assert track == pytest.approx(2 * values["half_track"][0, 0], abs=1e-6)


def test_without_a_change_nothing_is_drawn_as_measured() -> None:
    for drawing in front_drawings(shown(front_setup())).values():
        kinds = {getattr(stroke, "kind", None) for stroke in drawing.strokes}
        assert not kinds & {LineKind.MEASURED, LineKind.MOVE, LineKind.CONSTRUCTION_WAS}


def test_the_ghost_shows_the_arm_that_was_moved_where_it_was() -> None:
    held = front_setup(changes=(LOWER,)).having(heights={"front": "as measured"})
    drawing = front_drawing(shown(held), View.FRONT)
    ghosts = [np.array(s.points) for s in strokes(drawing, Polyline) if s.kind is LineKind.MEASURED]
    ends = {tuple(np.round(p, 6)) for points in ghosts for p in points}
    assert (PLAIN["upper_front"][1], PLAIN["upper_front"][2]) in ends
    assert (PLAIN["lower_rear"][1], PLAIN["lower_rear"][2]) not in ends


def test_strut_rod_and_link_meet_at_their_joint_at_any_travel() -> None:
    setup = sample("small_saloon")
    for travel in (-60.0, 0.0, 60.0):
        drawing = front_drawing(shown(setup, Pose(travel=travel)), View.TOP)
        joint, found = handles(drawing)["front.strut_joint"].at, handles(drawing)
        ends = [
            np.array(s.points) for s in strokes(drawing, Polyline) if s.kind is LineKind.PROPOSED
        ]
        rod = next(p for p in ends if tuple(p[0]) == found["front.lower_front"].at)
        assert tuple(rod[-1]) == joint


def test_the_strut_joint_keeps_its_distances_on_the_arm() -> None:
    setup = sample("small_saloon")
    names = ("lower_front", "lower_rear", "lower_ball")
    rest, bump = (places(setup, travel) for travel in (0.0, 55.0))
    for name in names:
        before = math.dist(rest["strut_joint"], rest[name])
        assert math.dist(bump["strut_joint"], bump[name]) == pytest.approx(before, abs=1e-6)


def places(setup: Setup, travel: float) -> dict[str, tuple[float, float, float]]:
    """Points by name, put together from two views."""
    drawn = front_drawings(shown(setup, Pose(travel=travel)))
    front, side = handles(drawn[View.FRONT]), handles(drawn[View.SIDE])
    return {k.removeprefix("front."): (side[k].at[0], *front[k].at) for k in front}


def test_a_coil_stands_between_its_seats_and_a_torsion_bar_on_the_lower_arms_axis() -> None:
    setup = sample("inch_sedan")
    drawing = front_drawing(shown(setup), View.FRONT)
    coil = next(s for s in strokes(drawing, Coil) if s.kind is LineKind.SPRING)
    at = handles(drawing)
    assert (coil.start, coil.end) == (at["front.spring_body"].at, at["front.spring_arm"].at)
    bar = sample("torsion_coupe")
    side = front_drawing(shown(bar), View.SIDE)
    line = next(s for s in strokes(side, Polyline) if s.kind is LineKind.SPRING)
    pivots = [handles(side)[f"front.{name}"].at for name in ("lower_front", "lower_rear")]
    for end in pivots:
        assert abs(distance_to_line(end, np.array(line.points))) < 1e-6
    assert not strokes(side, Coil)


def distance_to_line(place: tuple[float, float], line: np.ndarray) -> float:
    along = line[-1] - line[0]
    offset = np.array(place) - line[0]
    return float(along[0] * offset[1] - along[1] * offset[0]) / float(np.linalg.norm(along))


def test_a_relay_keeps_the_length_of_its_arms_as_it_steers() -> None:
    setup = front_setup(RELAY, front__steering__kind="relay")
    state = shown(setup, Pose(steer=25.0))
    top = handles(front_drawing(state, View.TOP))
    at = {key.removeprefix("front."): h.at for key, h in top.items()}
    for arm in ("pitman", "idler"):
        flat = math.dist(at[f"{arm}_pivot"], at[f"{arm}_end"])
        (x, y, _), (u, v, _) = RELAY[f"{arm}_pivot"], RELAY[f"{arm}_end"]
        assert flat == pytest.approx(math.hypot(x - u, y - v), abs=1e-9)
    assert at["pitman_end"][0] - RELAY["pitman_end"][1] == pytest.approx(25.0)


def test_what_fits_holds_both_wheels_and_every_point() -> None:
    for name in SAMPLES:
        for drawing in front_drawings(shown(sample(name))).values():
            inside = [h.at for h in handles(drawing).values()]
            inside += [tuple(p) for wheel in tyres(drawing) for p in wheel]
            bounds = drawing.bounds
            assert bounds is not None
            assert all(bounds.left < u < bounds.right for u, _ in inside)
            assert all(bounds.bottom < v < bounds.top for _, v in inside)


def test_figures_follow_the_units_and_the_decimal_sign() -> None:
    setup = front_setup(changes=(LOWER,)).having(heights={"front": "as measured"})
    inches = texts(front_drawing(shown(setup.having(units="in")), View.FRONT))
    assert any(text.startswith("roll centre ") and text.endswith(" in") for text in inches) or any(
        " in (as drawn" in text for text in inches
    )
    comma = texts(front_drawing(shown(setup), View.FRONT, Options(decimal=",")))
    assert "kingpin 8,82°" in comma


def test_in_roll_the_camber_shown_is_that_to_the_road() -> None:
    state = shown(front_setup(), Pose(roll=math.radians(3.0)))
    said = next(t for t in texts(front_drawing(state, View.FRONT)) if t.startswith("camber"))
    assert said.endswith("to the road")
    assert f"{math.degrees(state.proposed.values['camber_road'][0, 0]):.2f}".lstrip("-") in said


def test_options_leave_out_what_they_say() -> None:
    bare = Options(construction=False, dimensions=False, far_side=False, handles=False)
    for drawing in front_drawings(shown(front_setup(changes=(LOWER,))), bare).values():
        kinds = {getattr(stroke, "kind", None) for stroke in drawing.strokes}
        assert LineKind.FAR not in kinds
        left_out = (Handle, Grip, OffViewPointer, Dimension)
        assert not [s for s in drawing.strokes if isinstance(s, left_out)]


@cache
def as_shown() -> tuple[object, dict[View, Drawing]]:
    state = shown(sample("small_saloon"))
    return state, {view: front_drawing(state, view) for view in View}


@pytest.mark.parametrize("result", RESULTS, ids=lambda result: result.key)
def test_asking_about_a_result_adds_marks_and_takes_nothing_away(result: object) -> None:
    state, plains = as_shown()
    for view, plain in plains.items():
        asked = front_drawing(state, view, Options(result=result.key))  # type: ignore[attr-defined]
        assert len(asked.strokes) >= len(plain.strokes)


def test_no_stroke_is_ever_without_a_place() -> None:
    for name in SAMPLES:
        for pose in (Pose(), Pose(50.0, 0.05, 20.0), Pose(-50.0, -0.05, -20.0)):
            for drawing in front_drawings(shown(sample(name), pose)).values():
                assert all(np.isfinite(numbers(stroke)).all() for stroke in drawing.strokes)


def numbers(stroke: Stroke) -> np.ndarray:
    """Every coordinate of a stroke."""
    found: list[float] = []
    for name in stroke.__dataclass_fields__:
        value = getattr(stroke, name)
        if isinstance(value, np.ndarray | tuple | float):
            found += np.ravel(value).tolist()
    return np.array(found, dtype=float)


def test_chains_have_no_step_without_length() -> None:
    drawing = front_drawing(shown(sample("small_saloon")), View.FRONT)
    for stroke in strokes(drawing, Polyline):
        assert all(math.dist(a, b) > 0 for a, b in pairwise(np.array(stroke.points).tolist()))


@pytest.mark.parametrize(("side", "way"), [("front", -1.0), ("front.right", 1.0)])
def test_a_point_that_crosses_the_middle_moves_inboard(side: str, way: float) -> None:
    car = sample("small_saloon")
    y = car.evidence["front.upper_rear"][1]  # type: ignore[index]
    across = FrozenMap({f"{side}.upper_rear": (0.0, way * (y + 2.0), 0.0)})
    setup = car.having(changes=(Change("Across", parts="made to fit", moves=across),))
    drawn = texts(front_drawing(shown(setup), View.FRONT))
    assert any(text.endswith("inboard") for text in drawn)
    assert not any(text.endswith("outboard") for text in drawn if text[0].isdigit())

"""The drawing of a rear against plain geometry: where things are, what they join, how long."""

from __future__ import annotations

import math
from importlib.resources import as_file, files
from itertools import pairwise, product
from typing import Any

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.keys import KEYS
from app.document.model import Setup
from app.drawing.strokes import (
    Circle,
    Damper,
    Dimension,
    Drawing,
    Handle,
    Hatch,
    Label,
    LineKind,
    Mark,
    OffViewPointer,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.answers import Pose
from app.systems.rear.drawing.drawing import rear_drawing, rear_drawings
from app.systems.rear.drawing.leaves import drawn_leaves
from app.systems.rear.drawing.modes import SPOKES, SWING
from app.systems.rear.drawing.spring import main_line
from app.systems.rear.places import places_of
from app.systems.rear.system import REAR
from app.systems.shown import Options, Overlay, Shown
from geometry.catalogue.rear import REAR_RESULTS
from geometry.modes.dampers import LAYOUTS
from tests.helpers.long_cases import typical_of
from tests.helpers.rear_setups import BLOCK, ONTO_LINKS, POINTS, RIGHT_BEHIND, leaf_car, link_car

POSES = (Pose(), Pose(travel=40.0), Pose(travel=-30.0), Pose(roll=0.06), Pose(20.0, -0.05))


def sample(name: str) -> Setup:
    with as_file(files("sample_setups") / f"{name}.toml") as path:
        return read_setup(path).setup


def shown(setup: Setup, pose: Pose | None = None) -> Shown:
    done = REAR.study(setup)
    cars = (done.proposed, done.measured)
    sweeps = [car.rest if pose is None else car.tried_pose(pose) for car in cars]
    return Shown(done, *sweeps)


def of(drawing: Drawing, kind: type[Stroke]) -> list[Stroke]:
    return [stroke for stroke in drawing.strokes if isinstance(stroke, kind)]


def handles(drawing: Drawing) -> dict[str, Handle]:
    return {stroke.key: stroke for stroke in drawing.strokes if isinstance(stroke, Handle)}


def texts(drawing: Drawing) -> list[str]:
    said = (Label, Dimension, OffViewPointer)
    return [s.text for s in drawing.strokes if isinstance(s, said) and s.text]


def length(chain: np.ndarray) -> float:
    return float(np.hypot(*np.diff(chain, axis=0).T).sum())


CARS = [leaf_car(), leaf_car(BLOCK), link_car(), leaf_car(ONTO_LINKS), leaf_car(RIGHT_BEHIND)]


@pytest.mark.parametrize("setup", [leaf_car(), link_car()])
def test_handles_stand_where_the_points_were_measured(setup: Setup) -> None:
    for view, drawing in rear_drawings(shown(setup)).items():
        left = {k: h for k, h in handles(drawing).items() if ".right." not in k}
        for key, handle in left.items():
            wanted = view.place(setup.evidence[key])  # type: ignore[arg-type]
            assert handle.at == pytest.approx(wanted, abs=1e-5), key
            assert handle.name == KEYS[key].title


@pytest.mark.parametrize(
    ("setup", "pose"),
    typical_of(product(CARS, POSES), [(car, POSES[n % len(POSES)]) for n, car in enumerate(CARS)]),
)
def test_axle_is_rigid_and_stands_on_the_road_in_every_pose(setup: Setup, pose: Pose) -> None:
    there = shown(setup, pose)
    now = places_of(setup, there.study.proposed, there.proposed, True)
    rest = places_of(setup, there.study.proposed, there.study.unsettled.rest, True)
    names = [n for n in now.left.points if KEYS[f"rear.{n}"].on_part]
    rigid = [n for n in names if n not in ("rear_eye", "centre_bolt")]
    for one in rigid:
        for other in rigid:
            before = math.dist(rest.left.points[one], rest.right.points[other])
            assert math.dist(now.left.points[one], now.right.points[other]) == pytest.approx(before)
    for wheel in (now.left.wheel, now.right.wheel):
        height = sum(a * b for a, b in zip(wheel.contact, now.up, strict=True))
        assert height == pytest.approx(now.road, abs=1e-6)
        assert math.dist(wheel.contact, wheel.centre) == pytest.approx(305.0)
    # The body leans to its right: the road rises, seen from the body, to its right.
    slope = now.left.wheel.contact[2] - now.right.wheel.contact[2]
    assert slope * pose.roll <= 1e-6


@pytest.mark.parametrize("pose", POSES)
def test_shackle_keeps_its_length_and_the_leaf_its_own(pose: Pose) -> None:
    setup = leaf_car(BLOCK)
    there = shown(setup, pose)
    car = there.study.proposed
    places = places_of(setup, car, there.proposed, True)
    assert car.leaf is not None
    for side in (places.left, places.right):
        assert side.spring is not None
        eye, pin = side.points["rear_eye"], side.points["shackle_body"]
        assert math.dist(eye[::2], pin[::2]) == pytest.approx(car.leaf.loop.shackle, abs=1e-5)
        # Half the thickness above the middle, the top of a bent leaf is a little shorter.
        top = main_line(car.leaf, side.spring)
        assert length(top) == pytest.approx(car.leaf.loop.length, rel=4e-3)
        ends = np.array([eye[::2], side.points["front_eye"][::2]])
        assert np.abs(top[[0, -1]] - ends).max() < 4.0


def test_leaves_are_as_long_and_as_thick_as_they_were_taped() -> None:
    setup = leaf_car()
    car = REAR.study(setup).unsettled
    places = places_of(setup, car, car.rest, True)
    assert car.leaf is not None
    assert places.left.spring is not None
    pack = car.leaf.stages.pack
    drawn = list(drawn_leaves(car.leaf.loop, pack, places.left.spring, 0.0))
    assert len(drawn) == 4
    for each in drawn[1:]:
        taped = each.leaf.front + each.leaf.rear
        assert length(each.lower) == pytest.approx(taped, rel=0.02)
        assert np.hypot(*(each.upper - each.lower).T) == pytest.approx(
            each.leaf.thickness, rel=1e-3
        )
    # Each lies against the one above: the edges meet at the seat.
    for one, other in pairwise(drawn):
        middle = len(one.lower) // 2
        assert one.lower[middle] == pytest.approx(other.upper[len(other.upper) // 2], abs=1e-6)


def test_a_helper_that_does_not_bear_yet_is_drawn_clear_of_the_pack() -> None:
    setup = leaf_car()
    drawing = rear_drawing(shown(setup), View.SIDE)
    assert "helper bears after 35 mm" in texts(drawing)
    closed = rear_drawing(shown(setup, Pose(travel=55.0)), View.SIDE)
    assert "helper bears" in texts(closed)


def test_roll_centre_is_marked_on_the_line_of_the_eyes_over_the_axle() -> None:
    setup = leaf_car()
    there = shown(setup)
    drawing = rear_drawing(there, View.SIDE)
    height = float(there.proposed.values["roll_centre_height"][0])
    front, rear = (np.array(POINTS[f"rear.{name}_eye"])[[0, 2]] for name in ("front", "rear"))
    share = (-2560.0 - rear[0]) / (front[0] - rear[0])
    on_line = rear[1] + share * (front[1] - rear[1])
    marks = [m.at for m in of(drawing, Mark) if m.kind is LineKind.CONSTRUCTION]  # type: ignore[union-attr]
    assert any(at == pytest.approx((-2560.0, on_line), abs=1e-6) for at in marks)
    assert height == pytest.approx(on_line, abs=1e-6)


def test_side_view_says_where_each_damper_stands() -> None:
    both = texts(rear_drawing(shown(leaf_car()), View.SIDE))
    assert "both dampers ahead" in both
    apart = rear_drawing(shown(leaf_car(RIGHT_BEHIND)), View.SIDE)
    assert {"left damper, ahead", "right damper, behind"} <= set(texts(apart))
    assert {"260 rearward", "360 rearward"} <= set(texts(apart))
    dampers = [s for s in apart.strokes if isinstance(s, Damper) and s.rod[0] < -2600.0]
    assert [damper.kind for damper in dampers] == [LineKind.PROPOSED_THIN]
    assert dampers[0].rod == pytest.approx((-2690.0, 230.0), abs=1e-6)
    bold = {s.text: s.bold for s in apart.strokes if isinstance(s, Label) and "damper" in s.text}
    assert bold == {"left damper, ahead": False, "right damper, behind": True}


def test_right_hand_damper_can_be_taken_by_itself() -> None:
    key = "rear.right.damper_axle"
    for view, drawing in rear_drawings(shown(leaf_car())).items():
        # In side view it lies under the left one, which is taken there.
        assert (key in handles(drawing)) == (view is not View.SIDE)
    for drawing in rear_drawings(shown(leaf_car(RIGHT_BEHIND))).values():
        assert handles(drawing)[key].moved
        assert not handles(drawing)["rear.damper_axle"].moved


def test_near_the_line_of_the_eyes_the_shackle_is_watched() -> None:
    low = leaf_car(rear__shackle_body=(-3350.0, 480.0, 372.0))
    said = texts(rear_drawing(shown(low), View.SIDE))
    assert any(text.startswith("shackle") and "too near" in text for text in said)
    assert not any("too near" in text for text in texts(rear_drawing(shown(leaf_car()), View.SIDE)))


def test_measured_car_is_the_ghost_where_the_proposal_differs() -> None:
    plain = rear_drawing(shown(leaf_car()), View.SIDE)
    assert not [s for s in plain.strokes if getattr(s, "kind", None) is LineKind.MEASURED]
    lowered = rear_drawing(shown(leaf_car(BLOCK)), View.SIDE)
    ghost = [s for s in of(lowered, Polyline) if s.kind is LineKind.MEASURED]  # type: ignore[union-attr]
    assert any(len(s.points) > 10 for s in ghost)  # type: ignore[union-attr]
    assert "block 30" in texts(lowered)
    assert "15 lower" in texts(lowered)


def test_a_car_put_on_links_is_compared_with_its_leaves() -> None:
    there = shown(leaf_car(ONTO_LINKS))
    drawing = rear_drawing(there, View.SIDE)
    assert {"rear.lower_body", "rear.upper_axle"} <= handles(drawing).keys()
    assert "rear.front_eye" not in handles(drawing)
    ghost = [s for s in of(drawing, Polyline) if s.kind is LineKind.MEASURED]  # type: ignore[union-attr]
    assert any(len(s.points) > 10 for s in ghost)  # type: ignore[union-attr]
    alone = rear_drawing(there, View.SIDE, Options(compare=False))
    assert not [s for s in alone.strokes if getattr(s, "kind", None) is LineKind.MEASURED]


def test_wind_up_is_said_with_its_torque_and_exaggeration() -> None:
    there = shown(leaf_car())
    display = Overlay(thrust=1.0, exaggeration=5.0)
    drawing = rear_drawing(there, View.SIDE, Options(overlay=display))
    full = math.degrees(there.study.unsettled.single["wind_up_full"])
    text = next(text for text in texts(drawing) if text.startswith("wind-up"))
    assert f"{full:.2f}°" in text
    assert text.endswith("drawn ×5")
    line = max(
        (s for s in of(drawing, Polyline) if s.kind is LineKind.PATH), key=lambda s: len(s.points)
    )  # type: ignore[union-attr]
    assert line.points[0] == pytest.approx((-1960.0, 315.0), abs=1e-6)  # type: ignore[union-attr]


@pytest.mark.parametrize("mode", range(4))
def test_a_mode_swings_to_one_side_and_to_the_other(mode: int) -> None:
    there = shown(leaf_car())
    places = []
    for phase in (0.0, math.pi):
        display = Overlay(mode=mode, phase=phase)
        for view in (View.SIDE, View.FRONT):
            drawing = rear_drawing(there, view, Options(overlay=display))
            chains = [s for s in drawing.strokes if getattr(s, "kind", None) is LineKind.PATH]
            assert chains
        circle = next(
            s
            for s in rear_drawing(there, View.SIDE, Options(overlay=display)).strokes
            if isinstance(s, Circle) and s.kind is LineKind.PATH
        )
        places.append(np.array(circle.centre))
    rest = np.array((-2560.0, 305.0))
    moved = places[0] - rest, places[1] - rest
    assert moved[0] == pytest.approx(-moved[1], abs=3.0)  # turning is not quite even


@pytest.mark.parametrize("view", list(View))
def test_links_and_dampers_swing_with_the_axle_and_stay_on_the_body(view: View) -> None:
    setup = sample("hillclimb_special").having(changes=())
    there = shown(setup)
    options = Options(overlay=Overlay(mode=2, phase=0.0))
    lines = [
        np.array(stroke.points)
        for stroke in rear_drawing(there, view, options).strokes
        if isinstance(stroke, Polyline) and stroke.kind is LineKind.PATH and len(stroke.points) == 2
    ]
    flat = {View.SIDE: [0, 2], View.FRONT: [1, 2], View.TOP: [1, 0]}[view]
    for name in ("lower", "upper", "lateral", "damper"):
        body, axle = (
            np.array(setup.evidence[f"rear.{name}_{end}"])[flat] for end in ("body", "axle")
        )
        near = [ends for line in lines for ends in (line, line[::-1]) if np.allclose(ends[0], body)]
        assert near, name
        swung = [np.linalg.norm(ends[1] - axle) for ends in near]
        assert min(swung) < 60.0, name
        if view is View.FRONT:
            assert min(swung) > 1.0, name


def swinging(mode: int, layout: int | None, phase: float = 0.0) -> list[Any]:
    options = Options(overlay=Overlay(mode=mode, phase=phase, layout=layout))
    strokes = rear_drawing(shown(leaf_car()), View.SIDE, options).strokes
    return [s for s in strokes if getattr(s, "kind", None) is LineKind.PATH]


def test_spokes_and_nose_turn_with_the_axle() -> None:
    # The mode's own turn, about the axle's middle: a spoke leans by it, and so does the nose.
    car = REAR.study(leaf_car()).proposed
    assert car.hop is not None
    turn = float(np.real(car.hop.own.shapes[3][3])) * SWING / 1e3
    assert abs(turn) > math.radians(1.0)
    lines = [np.array(s.points) for s in swinging(3, None) if hasattr(s, "points")]
    straight = [line[1] - line[0] for line in lines if len(line) == 2]
    leans = [math.atan2(line[1], line[0]) for line in straight]
    every = [(lean - turn) % (math.pi / 3) for lean in leans]
    even = [lean for lean in every if min(lean, math.pi / 3 - lean) < 1e-6]
    assert len(even) >= SPOKES


def test_a_compared_layout_swings_with_its_own_dampers_and_figures() -> None:
    car = REAR.study(leaf_car()).proposed
    assert car.hop is not None
    for layout, name in enumerate(LAYOUTS):
        strokes = swinging(3, layout)
        words = next(s.text for s in strokes if " Hz, damping" in getattr(s, "text", ""))
        hertz = car.hop.layouts[layout].named.frequency[3]
        assert words.startswith("wind-up")
        assert f"{hertz:.1f} Hz" in words
        assert words.endswith(name)


def test_roll_tilts_the_road_and_steers_the_axle() -> None:
    there = shown(leaf_car(), Pose(roll=0.06))
    front = rear_drawing(there, View.FRONT)
    road = next(s for s in front.strokes if isinstance(s, Hatch))
    slope = (road.end[1] - road.start[1]) / (road.end[0] - road.start[0])
    assert math.atan(slope) == pytest.approx(-0.06, abs=1e-4)
    steer = math.degrees(float(there.proposed.values["axle_steer"][0]))
    said = next(t for t in texts(rear_drawing(there, View.TOP)) if t.startswith("axle steers"))
    assert f"{abs(steer):.2f}°" in said
    assert ("left" in said) == (steer > 0)


def test_dimensions_give_track_and_spring_base() -> None:
    said = texts(rear_drawing(shown(leaf_car()), View.FRONT))
    assert {"track 1380", "springs 960"} <= set(said)
    inches = leaf_car().having(units="in")
    assert "track 54 21/64" in texts(rear_drawing(shown(inches), View.FRONT))


DRAWN = ("small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special")


@pytest.mark.parametrize(
    ("name", "pose"),
    typical_of(
        product(DRAWN, POSES),
        [*product(("inch_sedan", "hillclimb_special"), POSES[:2]), (DRAWN[0], POSES[-1])],
    ),
)
def test_samples_are_drawn_with_finite_places_and_every_result_can_be_asked(
    name: str, pose: Pose
) -> None:
    setup = sample(name)
    if "rear.kind" not in setup.evidence:
        pytest.skip("has no rear")
    there = shown(setup, pose)
    for key in ("", *REAR_RESULTS):
        for drawing in rear_drawings(there, Options(result=key)).values():
            assert drawing.bounds is not None
            for stroke in drawing.strokes:
                points = stroke.points if isinstance(stroke, Polyline) else np.zeros(2)
                assert np.isfinite(points).all()
        if pose != Pose():
            break


def test_a_pose_out_of_reach_is_drawn_at_rest() -> None:
    for setup in (leaf_car(), link_car()):
        far = shown(setup, Pose(travel=5.0))
        lost = Shown(far.study, replaced(far.proposed))
        drawing = rear_drawing(lost, View.SIDE)
        key = "rear.wheel_centre"
        assert handles(drawing)[key].at == pytest.approx((-2560.0, 305.0), abs=1e-6)


def replaced(sweep: object) -> object:
    from dataclasses import replace

    return replace(sweep, reached=np.array([False]))  # type: ignore[type-var]

"""Which holes get a template, and that a template is true to the car."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.address import mirrored
from app.document.model import Change, FrozenMap, Setup, Vec
from app.document.point_names import point_title
from app.shop.jobs import jobs
from app.shop.plane import FLAT, usual_plane
from app.shop.template import EDGE, Template, templates
from app.shop.template_words import TemplateWords
from app.systems.every import given_systems
from tests.helpers.sheets import SAMPLES, sample, with_all_on

STEP = st.floats(-60.0, 60.0).map(lambda value: round(value, 1))
MOVE = st.tuples(STEP, STEP, STEP)


def moved(setup: Setup, moves: dict[str, Vec], **change: Any) -> Setup:
    return setup.having(changes=(Change("job", moves=FrozenMap(moves), **change),))


def names(setup: Setup) -> list[str]:
    return [template.name for template in templates(setup)]


def words_of(template: Template, setup: Setup, decimal: str = ".") -> str:
    return " ".join(TemplateWords(setup.units, decimal).paragraphs(template))


# Which


def test_pivots_that_move_are_drilled_on_both_sides() -> None:
    assert names(sample("small_saloon")) == [
        "Upper arm pivots, left side",
        "Upper arm pivots, right side",
    ]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_hole_alone_is_called_what_the_table_of_points_calls_it(name: str) -> None:
    setup = sample(name)
    for system in given_systems(setup):
        titles = system.points(system.study(setup)).titles
        for drilled in system.holes(setup):
            if len(drilled.keys) == 1 and drilled.keys[0] in titles:
                (key,) = drilled.keys
                assert drilled.title == titles[key] == point_title(key, setup.evidence)


def test_a_change_that_is_off_drills_nothing() -> None:
    assert names(sample("small_saloon").having(changes=())) == []


def test_shims_drill_nothing() -> None:
    shims = {"front.upper_front": (0.0, -3.0, 0.0), "front.upper_rear": (0.0, -6.0, 0.0)}
    assert names(moved(sample("small_saloon"), shims)) == []


@pytest.mark.parametrize(
    ("setup", "key", "name"),
    [
        ("small_saloon", "front.lower_front", "Strut rod, body bush, left side"),
        ("small_saloon", "front.lower_rear", "Lateral link, body bush, left side"),
        ("small_saloon", "front.damper_body", "Damper, body end, left side"),
        ("small_saloon", "front.tie_inner", "Tie rod, inner end, left side"),
        ("torsion_coupe", "front.lower_front", "Lower arm pivots, left side"),
        ("inch_sedan", "front.pitman_pivot", "Pitman arm, pivot"),
        ("inch_sedan", "front.idler_pivot", "Idler arm, pivot"),
        ("inch_sedan", "rear.front_eye", "Spring, front eye, left side"),
        ("inch_sedan", "rear.shackle_body", "Shackle, body pin, left side"),
        ("inch_sedan", "rear.damper_body", "Rear damper, body end, left side"),
        ("hillclimb_special", "rear.lower_body", "Lower link, body end, left side"),
        ("hillclimb_special", "rear.upper_body", "Upper link, body end, left side"),
        ("hillclimb_special", "rear.lateral_body", "Lateral link, body end"),
    ],
)
def test_each_mount_of_the_body_has_a_template(setup: str, key: str, name: str) -> None:
    assert names(moved(sample(setup), {key: (0.0, 0.0, -12.0)}))[0] == name


@pytest.mark.parametrize(
    ("setup", "key"),
    [
        ("small_saloon", "front.upper_ball"),
        ("small_saloon", "front.spring_body"),  # a seat is no hole
        ("inch_sedan", "front.tie_inner"),  # on the relay link
        ("inch_sedan", "rear.rear_eye"),
        ("torsion_coupe", "rear.lower_body"),  # of an axle that isn't fitted
        ("hillclimb_special", "rear.lower_axle"),
    ],
)
def test_what_is_not_drilled_has_none(setup: str, key: str) -> None:
    assert names(moved(sample(setup), {key: (0.0, 0.0, -12.0)})) == []


def test_one_side_alone_is_drilled_there_only() -> None:
    setup = moved(sample("small_saloon"), {"rear.right.damper_body": (-410.0, 0.0, 0.0)})
    assert names(setup) == ["Rear damper, body end, right side"]
    assert [t.name for t in templates(setup, ("left",))] == []


def test_what_the_car_has_once_is_on_the_side_where_it_is() -> None:
    setup = moved(sample("inch_sedan"), {"front.idler_pivot": (0.0, 0.0, -12.7)})
    assert [t.name for t in templates(setup, ("left",))] == []
    (template,) = templates(setup, ("right",))
    assert template.plane.right[0] > 0.0  # seen from the car's right, forward is to the right
    assert "seen from the car's right" in words_of(template, setup)


def test_several_changes_of_one_hole_are_one_order() -> None:
    first = Change("a", moves=FrozenMap({"front.upper_front": (0.0, 0.0, -10.0)}))
    second = Change("b", moves=FrozenMap({"front.upper_front": (4.0, 0.0, -12.0)}))
    shims = Change("c", moves=FrozenMap({"front.upper_front": (0.0, -3.0, 0.0)}))
    setup = sample("torsion_coupe").having(changes=(first, second, shims))
    left = templates(setup)[0]
    front, rear = left.holes
    assert np.subtract(front.new, front.old) == pytest.approx((4.0, -3.0, -22.0))
    assert front.new_at == pytest.approx((-4.0, -22.0))  # rearward is to the right
    assert front.off == pytest.approx((0.0, -3.0, 0.0))
    assert rear.stays
    assert "3.0 mm inboard is out of this plane: shims" in words_of(left, setup)


def test_parts_made_to_fit_move_the_hole_all_the_same() -> None:
    move = {"front.upper_front": (0.0, 0.0, -9.0)}
    kept, made = (
        templates(moved(sample("small_saloon"), move, parts=parts))
        for parts in ("kept", "made to fit")
    )
    assert kept == made


# Where


@pytest.mark.parametrize("name", SAMPLES)
def test_holes_are_measured_plus_moved_in_the_body(name: str) -> None:
    setup = with_all_on(sample(name))
    for template in templates(setup):
        for hole in template.holes:
            if "bar_" in hole.key:  # of a car that has no traction bars
                assert hole.old is None
                continue
            own = hole.key if hole.key in setup.evidence else hole.key.replace(".right", "")
            measured = setup.evidence[own]
            old = measured if own == hole.key else mirrored(measured)  # type: ignore[arg-type]
            if template.is_new:
                assert (hole.old, hole.new) == (None, old)
            else:
                assert hole.old == old


@given(MOVE, MOVE)
def test_lengths_in_the_plane_and_across_make_the_move(front: Vec, rear: Vec) -> None:
    setup = moved(sample("small_saloon"), {"front.upper_front": front, "front.upper_rear": rear})
    for template in templates(setup):
        for hole in template.holes:
            move = np.subtract(hole.new, hole.old)
            plane = template.plane
            drawn = np.subtract(plane.place(hole.new), plane.place(hole.old))
            across = np.array(plane.part_across(tuple(move)))
            assert drawn @ drawn + across @ across == pytest.approx(move @ move, abs=1e-6)
            assert np.linalg.norm(across - hole.off) <= FLAT


@given(MOVE)
def test_a_pair_that_moves_alike_lies_flat_unless_it_is_shimmed(move: Vec) -> None:
    keys = ("front.upper_front", "front.upper_rear")
    setup = moved(sample("small_saloon"), dict.fromkeys(keys, move))
    for template in templates(setup):
        front, rear = template.holes
        if abs(move[1]) > 8.0:  # no shim is as thick
            assert front.off == rear.off == (0.0, 0.0, 0.0)
        for one, other in ((front.old_at, rear.old_at), (front.new_at, rear.new_at)):
            apart = np.linalg.norm(np.subtract(front.old, rear.old))
            assert np.hypot(*np.subtract(one, other)) == pytest.approx(apart, abs=0.01)


@given(MOVE, MOVE)
def test_the_right_of_a_symmetrical_car_is_the_mirror_of_the_left(front: Vec, rear: Vec) -> None:
    setup = moved(sample("small_saloon"), {"front.upper_front": front, "front.upper_rear": rear})
    drills = templates(setup)
    for left, right in zip(drills[::2], drills[1::2], strict=True):
        assert (left.side, right.side) == ("left", "right")
        for one, other in zip(left.holes, right.holes, strict=True):
            for a, b in ((one.old_at, other.old_at), (one.new_at, other.new_at)):
                assert (-a[0], a[1]) == pytest.approx(b, abs=1e-9)
        viewed = np.cross(left.plane.right, left.plane.up)
        assert (viewed[0], -viewed[1], viewed[2]) == pytest.approx(
            tuple(np.cross(right.plane.right, right.plane.up)), abs=1e-9
        )


def test_a_car_with_its_own_right_side_uses_it() -> None:
    moves = {"front.upper_front": (0.0, 0.0, -30.0), "front.upper_rear": (0.0, 0.0, -30.0)}
    left, right = templates(moved(sample("hillclimb_special"), moves))
    assert left.holes[1].old_at == pytest.approx((180.0111, -4.0), abs=1e-3)
    assert right.holes[1].old_at == pytest.approx((-179.0251, -5.0), abs=1e-3)


@pytest.mark.parametrize(
    ("move", "lie"),
    [
        ((0.0, 0.0, -12.0), "lengthwise"),
        ((5.0, 0.0, -12.0), "lengthwise"),
        ((0.0, -20.0, 4.0), "across"),
        ((-15.0, -20.0, 0.0), "level"),
        ((5.0, -20.0, 4.0), "lengthwise"),  # in no plane that a bench knows: the rest in figures
    ],
)
def test_one_hole_lies_in_the_face_in_which_it_moves(move: Vec, lie: str) -> None:
    setup = moved(sample("torsion_coupe"), {"front.damper_body": move})
    left, _ = templates(setup)
    assert left.plane.lie == lie
    assert any(left.holes[0].off) == (move == (5.0, -20.0, 4.0))


def test_up_and_outboard_are_where_they_say() -> None:
    setup = sample("hillclimb_special")
    words = TemplateWords("mm")
    for template in templates(setup):
        assert template.plane.lie == "across"
        arrow, way = words.right_arrow(template)
        step = (0.0, 10.0 if template.side == "left" else -10.0, 0.0)  # outboard
        there = template.plane.place(tuple(np.add(template.plane.origin, step)))
        assert (arrow, np.sign(there[0])) == ("outboard", way)
        above = template.plane.place(tuple(np.add(template.plane.origin, (0.0, 0.0, 10.0))))
        assert above == pytest.approx((0.0, 10.0))


def test_forward_is_where_its_arrow_points() -> None:
    setup, words = sample("small_saloon"), TemplateWords("mm")
    for template in templates(setup):
        arrow, way = words.right_arrow(template)
        ahead = template.plane.place(tuple(np.add(template.plane.origin, (10.0, 0.0, 0.0))))
        assert (arrow, np.sign(ahead[0])) == ("forward", way)


def test_a_pair_of_which_one_is_only_shimmed_drills_the_other() -> None:
    moves = {"front.upper_front": (0.0, 0.0, -22.0), "front.upper_rear": (0.0, -6.0, 0.0)}
    setup = moved(sample("small_saloon"), moves)
    front, rear = templates(setup)[0].holes
    assert (front.stays, rear.stays) == (False, True)
    assert rear.new_at == rear.old_at
    assert "6.0 mm inboard is out of this plane: shims" in words_of(templates(setup)[0], setup)


# Words


def test_the_hole_and_the_distance_to_keep_are_told() -> None:
    setup = sample("small_saloon")
    left = templates(setup)[0]
    assert (left.diameter, left.edge) == (11.0, EDGE * 11.0)
    words = words_of(left, setup, ",")
    assert "From its centre at least 22,0 mm, 2 diameters" in words
    assert "Hole 11,0 mm" in words
    assert "560,0 mm above the ground" in words
    assert "old centres 210,2 mm apart" in words
    assert "turned 1,6° from the car's centre line" in words
    assert "run into" not in words


def test_holes_that_run_into_each_other_are_told() -> None:
    near = moved(sample("small_saloon"), {"front.upper_front": (0.0, 0.0, -9.0)})
    assert "run into each other" in words_of(templates(near)[0], near)
    further = moved(sample("small_saloon"), {"front.upper_front": (0.0, 0.0, -15.0)})
    assert "are nearer to each other than that" in words_of(templates(further)[0], further)


def test_without_a_size_no_edge_distance_is_stated() -> None:
    setup = sample("inch_sedan")
    left = templates(setup)[0]
    assert left.edge is None
    words = words_of(left, setup)
    assert "as the old ones; measure those. Centres only" in words
    assert "hole_diameter" not in words
    assert "16 1/2 in from the car's centre line, 19 1/4 in above the ground" in words
    assert "diameters" not in words


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("small_saloon", "rear.damper_body"),
        ("small_saloon", "front.damper_body"),
        ("inch_sedan", "rear.front_eye"),
        ("inch_sedan", "rear.shackle_body"),
    ],
)
def test_the_size_is_of_the_front_arms_pivots_alone(name: str, key: str) -> None:
    setup = moved(sample(name), {key: (0.0, 0.0, -12.0)})
    setup = setup.having(evidence=setup.evidence.having("sheet.hole_diameter", 11.0))  # type: ignore[attr-defined]
    left = templates(setup)[0]
    assert left.diameter is None
    assert "11.0" not in words_of(left, setup)
    (job,) = (
        job
        for job in jobs([system.study(setup) for system in given_systems(setup)])
        if " lower" in job.title
    )
    assert "Size of the holes: as the old ones; measure those." in job.details[0]
    assert "as the old ones; measure those." in words_of(left, setup)


def test_a_rack_is_no_hole_even_where_a_size_is_given() -> None:
    setup = moved(sample("small_saloon"), {"front.tie_inner": (0.0, 0.0, 2.0)})
    left = templates(setup)[0]
    assert left.diameter is None
    assert "The crosses are no holes" in words_of(left, setup)


@pytest.mark.parametrize("name", SAMPLES)
def test_moves_are_told_from_each_side_of_the_car(name: str) -> None:
    setup = moved(sample(name), {"front.damper_body": (0.0, -20.0, -4.0)})
    for template in templates(setup):
        assert "lower and" in words_of(template, setup)
        assert "inboard" in words_of(template, setup)
        assert "outboard." not in words_of(template, setup).replace("arrow outboard.", "")


@pytest.mark.parametrize(("end", "looks_from"), [("front", 1.0), ("rear", -1.0)])
def test_a_plane_across_the_car_is_drawn_as_who_stands_at_that_end_sees_it(
    end: str, looks_from: float
) -> None:
    """Right x up points out of the paper, at who looks: X is forward."""
    plane = usual_plane([(0.0, 300.0, 400.0)], "across", end)
    assert np.cross(plane.right, plane.up).tolist() == [looks_from, 0.0, 0.0]

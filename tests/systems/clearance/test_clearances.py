"""The least distances over travel and steer, against single poses worked out one by one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from app.document.clearances import Clearance, Envelope
from app.document.model import Change, FrozenMap, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose, Study
from app.systems.clearance.clearances import clearances
from app.systems.clearance.shapes import shape_of, tyre_size
from app.systems.clearance.words import clearance_rows, clearance_sentences
from app.systems.every import BY_KEY
from app.systems.front.places import places_of
from app.systems.front.system import FRONT
from app.systems.rear.places import places_of as rear_places_of
from geometry.clearance.nearest import nearest
from geometry.clearance.shapes import box, box_halves, capsule
from tests.geometry.clearance.judges import library_distance
from tests.helpers.reading import parse
from tests.helpers.spaces import ROD, WING, with_spaces

SALOON = next(path for path in sample_paths() if path.stem == "small_saloon")


@cache
def saloon() -> Setup:
    return with_spaces(parse(SALOON.read_text()).having(envelopes=(), clearances=()))


@cache
def study(end: str) -> Study:
    return BY_KEY[end].study(saloon())


@pytest.mark.parametrize("end", ["front", "rear"])
def test_no_pose_of_a_dense_grid_is_nearer(end: str) -> None:
    """By the collision library, pose by pose, of the car as built."""
    told, setup = study(end), saloon()
    shares = tuple(axis.ravel() for axis in np.meshgrid(*2 * [np.linspace(0.0, 1.0, 15)]))
    placing = told.system.placing(setup, told.proposed, told.ranges, shares, True)
    for check in clearances(told):
        envelopes = {each.name: each for each in setup.envelopes if each.end == end}
        envelopes.setdefault("tyre", Envelope(end, "tyre", "tyre"))
        pair = [shape_of(envelopes[name], placing, setup, True) for name in check.clearance.between]
        poses = np.flatnonzero(placing.reached)
        judged = min(library_distance(*pair, int(pose)) for pose in poses)
        assert check.built is not None
        assert check.built.gap <= max(judged, 0.0) + 1e-3
        assert check.built.gap > judged - 0.5  # between the poses of that grid it is no deeper


@pytest.mark.parametrize("end", ["front", "rear"])
def test_the_pose_told_has_the_distance_told(end: str) -> None:
    """The points' places of a pose that the system draws, by its own way, carry the envelopes."""
    told = study(end)
    check = clearances(told)[-1]  # tie rod and link; tube and rail
    reading = check.proposed[0]
    pose = Pose(reading.travel, steer=reading.driven)
    if end == "rear":
        pose = Pose(reading.travel, roll=reading.driven)
    if end == "front":
        car = told.proposed
        points = places_of(told.setup, car.front, car.at_pose(pose), True).left.points
        ends = ("tie_inner", "tie_outer"), ("lower_rear", "lower_ball")
        radii = 9.0 + 18.0
        lines = [[np.array([points[name]]) for name in names] for names in ends]
        gap = nearest(*(capsule(*line, 0.0) for line in lines)).gap[0] - radii
        assert reading.gap == pytest.approx(gap, abs=1e-3)
    else:
        assert check.built.touches


def test_a_car_that_is_its_own_mirror_reads_alike_on_both_sides() -> None:
    for end in ("front", "rear"):
        for check in clearances(study(end)):
            left, right = check.proposed
            assert left.gap == pytest.approx(right.gap, abs=1e-4)
            assert left.travel == pytest.approx(right.travel, abs=1e-6)
            assert left.driven == pytest.approx(-right.driven, abs=1e-6)
            mirrored = np.multiply(right.on_first, (1.0, -1.0, 1.0))
            assert left.on_first == pytest.approx(tuple(mirrored), abs=1.0)
    rows = clearance_rows(study("front"))
    assert [row.title for row in rows] == [
        "Tyre to inner wing",
        "Tyre to spring",
        "Tie rod to link",
    ]


def test_what_is_on_one_side_is_told_of_that_side() -> None:
    setup = saloon()
    envelopes = tuple(
        replace(each, side="right", start=(-330.0, -440.0, 420.0), finish=(330.0, -440.0, 420.0))
        if each is WING
        else each
        for each in setup.envelopes
    )
    check = clearances(BY_KEY["front"].study(setup.having(envelopes=envelopes)))[0]
    both = clearances(study("front"))[0]
    (reading,) = check.proposed
    assert reading.side == "right"
    assert reading.gap == pytest.approx(both.built.gap, abs=1e-4)


@pytest.mark.parametrize("part", ["wheel", "upper arm", "lower arm", "steering", "body"])
def test_what_goes_with_a_part_stays_where_it_is_on_it(part: str) -> None:
    """The distances of a fixed place from three of its part's points are the same in all poses."""
    points = {
        "wheel": ("upper_ball", "lower_ball", "tie_outer", "wheel_centre"),
        "upper arm": ("upper_front", "upper_rear", "upper_ball", "spring_arm"),
        "lower arm": ("lower_front", "lower_rear", "lower_ball"),
        "steering": ("tie_inner",),
        "body": ("upper_front", "lower_rear", "spring_body"),
    }[part]
    told, setup = study("front"), saloon()
    shares = tuple(axis.ravel() for axis in np.meshgrid(*2 * [np.linspace(0.0, 1.0, 4)]))
    placing = told.system.placing(setup, told.measured, told.ranges, shares, False)
    place = (-40.0, 520.0, 470.0)
    carried = placing.carried(part, place)
    for name in points:
        distance = np.linalg.norm(carried - placing.point(name), axis=-1)
        measured = np.linalg.norm(np.subtract(place, setup.evidence[f"front.{name}"]))
        assert distance == pytest.approx(np.full_like(distance, measured), abs=1e-6)


def test_what_goes_with_the_axle_stays_where_it_is_on_it() -> None:
    told, setup = study("rear"), saloon()
    shares = tuple(axis.ravel() for axis in np.meshgrid(*2 * [np.linspace(0.0, 1.0, 4)]))
    placing = told.system.placing(setup, told.measured, told.ranges, shares, False)
    place = (-2400.0, 300.0, 320.0)
    carried = placing.carried("axle", place)
    for name in ("wheel_centre", "damper_axle"):
        distance = np.linalg.norm(carried - placing.point(name), axis=-1)
        measured = np.linalg.norm(np.subtract(place, setup.evidence[f"rear.{name}"]))
        assert distance == pytest.approx(np.full_like(distance, measured), abs=1e-6)


def test_the_rear_wheels_go_through_all_pairs_of_travels() -> None:
    told, setup = study("rear"), saloon()
    shares = np.array([0.0, 1.0, 0.0, 1.0]), np.array([0.0, 0.0, 1.0, 1.0])
    placing = told.system.placing(setup, told.measured, told.ranges, shares, False)
    rises = placing.point("wheel_centre")[..., 2] - setup.evidence["rear.wheel_centre"][2]
    low, high, _ = told.ranges.travel
    assert rises[0] == pytest.approx(np.array([low, high, low, high]), abs=2.0)
    assert rises[1] == pytest.approx(np.array([low, low, high, high]), abs=2.0)


def test_a_free_tyre_is_greater_than_a_loaded_one_by_what_its_load_presses_it_flat() -> None:
    setup = saloon()
    radius, width = tyre_size(Envelope("front", "tyre", "tyre"), setup, False)
    assert width == 145.0
    load = 1080.0 * 0.54 / 2.0 * 9.80665
    assert radius == pytest.approx(292.0 + load / 175.0, abs=1e-3)


def test_a_limit_that_is_not_kept_is_said_with_its_pose() -> None:
    told = study("front")
    (words,) = [each.text for each in clearance_sentences(told, ".") if "wing" in each.text]
    check = clearances(told)[0]
    assert check.held is False
    assert words.startswith("Tyre touches inner wing" if check.built.touches else "Tyre to inner")
    assert "12.0 mm" in words
    assert "rack" in words


def test_a_short_study_does_not_tell_the_proposal() -> None:
    setup = saloon()
    short = BY_KEY["front"].study(setup, short=True)
    check = clearances(short)[0]
    assert check.proposed is None
    assert check.held is None
    assert check.measured is not None
    assert clearance_rows(short)[0].built == "…"


def test_without_a_limit_it_is_told_alone() -> None:
    setup = saloon().having(clearances=(Clearance("front", ("tie rod", "link")),))
    (row,) = clearance_rows(BY_KEY["front"].study(setup))
    assert row.verdict == row.limit == ""
    assert not row.past


def test_a_drag_link_is_one_and_the_same_for_both_sides() -> None:
    path = next(each for each in sample_paths() if "pitman_end" in each.read_text())
    setup = parse(path.read_text())
    link = Envelope("front", "link", "capsule", "front.pitman_end", "front.idler_end", radius=12.0)
    pair = Clearance("front", ("link", "tie rod"))
    setup = setup.having(envelopes=(link, ROD), clearances=(pair,))
    told = BY_KEY["front"].study(setup)
    shares = np.array([0.2, 0.5]), np.array([0.0, 1.0])
    placing = told.system.placing(setup, told.measured, told.ranges, shares, False)
    left, right = placing.point("pitman_end")
    assert left == pytest.approx(right)
    inner = placing.point("tie_inner")
    # the inner ends ride on the link: their distances from its joints don't change
    for side in (0, 1):
        lengths = np.linalg.norm(inner[side] - left, axis=-1)
        assert lengths == pytest.approx(np.full(2, lengths[0]), abs=1e-6)


@pytest.mark.parametrize("part", ["wheel", "lower arm"])
def test_a_box_goes_with_its_part_as_a_rigid_body(part: str) -> None:
    told, setup = study("front"), saloon()
    bracket = Envelope(
        "front",
        "bracket",
        "box",
        (-40.0, 560.0, 200.0),
        (60.0, 600.0, 260.0),
        None,
        30.0,
        50.0,
        part,
    )
    shares = tuple(axis.ravel() for axis in np.meshgrid(*2 * [np.linspace(0.0, 1.0, 4)]))
    placing = told.system.placing(setup, told.measured, told.ranges, shares, False)
    shape = shape_of(bracket, placing, setup, False)
    line = shape.end - shape.start
    lengths = [np.linalg.norm(each, axis=1) for each in (line, shape.across, shape.over)]
    for length, wanted in zip(lengths, (np.sqrt(100**2 + 40**2 + 60**2), 15.0, 25.0), strict=True):
        assert length == pytest.approx(np.full_like(length, wanted), abs=1e-6)
    for one, other in ((line, shape.across), (line, shape.over), (shape.across, shape.over)):
        assert np.einsum("ij,ij->i", one, other) == pytest.approx(np.zeros(len(one)), abs=1e-4)
    assert np.ptp(line, axis=0).max() > 1.0  # it did move


def test_an_axle_on_links_carries_its_envelopes() -> None:
    """The same axle tube, by the points that a single pose draws."""
    path = next(each for each in sample_paths() if each.stem == "hillclimb_special")
    setup = parse(path.read_text())
    x, y, z = setup.evidence["rear.wheel_centre"]
    tube = Envelope(
        "rear",
        "tube",
        "capsule",
        (x, 100.0, z),
        "rear.wheel_centre",
        radius=40.0,
        moves_with="axle",
    )
    rail = Envelope(
        "rear",
        "rail",
        "box",
        (x - 200, y - 200, z + 160),
        (x + 200, y - 200, z + 160),
        None,
        50.0,
        60.0,
    )
    pair = Clearance("rear", ("tube", "rail"), 5.0)
    told = BY_KEY["rear"].study(setup.having(envelopes=(tube, rail), clearances=(pair,)))
    (check,) = clearances(told)
    reading = check.proposed[0]
    assert told.proposed.links is not None
    pose = told.proposed.at_pose(Pose(reading.travel, reading.driven))
    places = rear_places_of(told.setup, told.proposed, pose, told.changed)
    inner, centre = places.frame.carry((x, 100.0, z)), places.left.points["wheel_centre"]
    rod = capsule(np.array([inner]), np.array([centre]), 40.0)
    ends = np.array([rail.start]), np.array([rail.finish])
    body = box(*ends, *box_halves(*ends, 50.0, 60.0))
    assert reading.gap == pytest.approx(nearest(rod, body).gap[0], abs=1e-3)
    assert reading.gap == pytest.approx(max(library_distance(rod, body, 0), 0.0), abs=1e-3)


def test_the_car_as_found_is_looked_over_up_to_its_own_stops() -> None:
    """Not up to the stop that a change puts on."""
    low = Change("Low stop", sets=FrozenMap({"front.travel.bump": 20.0}), on=True)
    both = FRONT.study(saloon().having(changes=(low,)))
    alone = FRONT.study(saloon().having(changes=()))
    found = [each.found for each in clearances(alone)]
    assert [each.found for each in clearances(both)] == found
    assert [each.built for each in clearances(both)] != found

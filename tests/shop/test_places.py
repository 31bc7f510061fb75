"""Where a fabricator measures from: the axle, the front eye, the ground, the middle of the car."""

from __future__ import annotations

import re

import numpy as np
import pytest

from app.document.address import Point, Side
from app.document.model import Change, FrozenMap
from app.shop.orders import orders
from app.shop.places import PlaceRow, place_rows
from app.shop.template import templates
from app.shop.template_words import TemplateWords
from app.systems.every import given_systems
from tests.helpers.sheets import sample, with_all_on, with_on
from tests.helpers.tapes import fore_and_aft, height_of, taped_inches
from tests.shop.setups import SETUPS, solved


def rows_of(name: str, end: str) -> dict[str, PlaceRow]:
    return {row.key: row for row in place_rows(solved(name)[end])}


def test_a_hole_is_told_from_the_old_one_and_from_the_axle() -> None:
    row = rows_of("small_saloon", "front")["front.upper_front"]
    # measured at 98, 372, 560 with the wheel's centre at 0, 668, 292; 22 lower
    assert row.step == "22.0 mm lower"
    assert row.distances == (
        "98.0 mm ahead of the axle's centre line; 538.0 mm above the ground as found; "
        "372.0 mm from the middle"
    )
    assert row.within == "± 1.0 mm"
    assert row.sides == ("left", "right")


def test_a_bracket_on_the_body_is_told_from_the_front_eye_one_on_the_axle_from_its_line() -> None:
    rows = rows_of("small_saloon, all on", "rear")
    # body end measured at -2285, 338, 590 and 410 rearward; the front eye is at -1890, 535, 229
    body = rows["rear.right.damper_body"]
    assert body.title == "Rear damper, body end, right"
    assert body.sides == ("right",)
    assert body.distances.startswith("805.0 mm behind the front eye, 361.0 mm above it; 338.0 mm")
    # the wheel's centre is at -2490, 655, 292; axle end measured at -2375, 420, 262, 230 rearward
    axle = rows["rear.right.damper_axle"]
    assert axle.distances.startswith("115.0 mm behind the axle's centre line, 30.0 mm below it")


def test_no_hole_is_measured_from_an_eye_that_the_same_order_moves() -> None:
    setup = with_all_on(sample("small_saloon"))
    lower = Change("Eyes lower", moves=FrozenMap({"rear.front_eye": (0.0, 0.0, -15.0)}))
    rear = next(system for system in given_systems(setup) if system.key == "rear")
    rows = place_rows(rear.study(setup.having(changes=(*setup.changes, lower))))
    assert not any("front eye" in row.distances for row in rows)
    found = {row.key: row.distances for row in rows}
    # the wheel's centre is at -2490; the eye was measured at -1890, 535, 229
    assert found["rear.front_eye"] == (
        "600.0 mm ahead of the axle's centre line; 214.0 mm above the ground, both as found; "
        "535.0 mm from the middle"
    )
    assert found["rear.right.damper_body"].startswith("205.0 mm behind the axle's centre line; 590")


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_hole_past_the_middle_says_so_on_order_and_template(side: Side) -> None:
    setup = sample("small_saloon")
    key = Point("front", side, "lower_rear").key
    y = setup.evidence["front.lower_rear"][1]  # type: ignore[index]
    way = 1.0 if side == "left" else -1.0
    setup = setup.having(
        changes=(Change("", moves=FrozenMap({key: (0.0, -way * (y + 6.0), 0.0)})),)
    )
    front = next(iter(given_systems(setup)))
    rows = place_rows(front.study(setup))
    assert rows
    assert all("6.0 mm past the middle, on the other side" in row.distances for row in rows)
    drilled = templates(setup)
    assert {template.side for template in drilled} >= {side}
    for template in drilled:
        words = TemplateWords("mm").figures(template, template.holes[0])
        other = "right" if template.side == "left" else "left"
        assert "new at 16.0 mm behind the front axle, 6.0 mm past the car's centre line" in words
        assert f"centre line, on its {other}, " in words


def test_what_is_new_has_no_old_place() -> None:
    rows = rows_of("torsion_coupe, all on", "rear")
    links = [key for key in rows if key.startswith(("rear.lower_", "rear.upper_", "rear.lateral"))]
    assert len(links) == 6
    assert all(rows[key].step == "" for key in links)
    assert rows["rear.lateral_body"].sides == ()
    assert "right of the middle" in rows["rear.lateral_body"].distances
    assert "left of the middle" in rows["rear.lateral_axle"].distances


@pytest.mark.parametrize("name", SETUPS)
def test_everything_that_is_drilled_or_moved_has_its_row(name: str) -> None:
    setup = SETUPS[name]
    moved = {key.replace(".right.", ".") for order in orders(setup) for key in order.moves}
    for end, study in solved(name).items():
        told = {row.key.replace(".right.", ".").split()[0] for row in place_rows(study)}
        gone = study.system.points(study).gone
        parts = {"rear.pinion", "rear.rear_eye", "rear.centre_bolt"}
        assert {key for key in moved if key.startswith(f"{end}.")} - gone - parts <= told


@pytest.mark.parametrize("name", ["small_saloon, all on", "hillclimb_special, all on"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_distances_lead_to_the_place(name: str, units: str) -> None:
    setup = SETUPS[name].having(units=units)
    for system in given_systems(setup):
        study = system.study(setup)
        total = {key: move for order in orders(setup) for key, move in order.moves.items()}
        for row in (row for row in place_rows(study) if row.key in total and row.step):
            left = row.key.replace(".right.", ".")
            own = setup.evidence.get(row.key)
            measured = np.array(own or np.array(setup.evidence[left]) * (1.0, -1.0, 1.0))
            place = measured + total[row.key]
            assert row.key in total
            front, *_, across = row.distances.split("; ")
            side = ".right" if row.key != left else ""
            end = row.key.split(".")[0]
            datum = f"{end}{side}.wheel_centre"
            if "front eye" in front:
                datum = f"{end}{side}.front_eye"
            start = setup.evidence.get(datum, setup.evidence[datum.replace(".right", "")])
            exact = 0.051 if units == "mm" else 25.4 / 128 + 1e-6
            ahead = place[0] - start[0]  # type: ignore[index]
            assert fore_and_aft(front, units) == pytest.approx(ahead, abs=exact)
            assert taped_inches(across, units) == pytest.approx(abs(place[1]), abs=exact)
            if "ground" in row.distances:
                assert height_of(row.distances, units) == pytest.approx(place[2], abs=exact)


def test_shims_are_no_holes() -> None:
    setup = with_on(sample("small_saloon"), "Shims")
    front = next(iter(given_systems(setup)))
    rows = place_rows(front.study(setup))
    assert [(row.title, row.step, row.within) for row in rows] == [
        ("Shims: upper arm, front pivot", "3.0 mm inboard", "± 0.5 mm"),
        ("Shims: upper arm, rear pivot", "6.0 mm inboard", "± 0.5 mm"),
    ]
    assert all(row.sides == ("left", "right") for row in rows)
    both = with_all_on(sample("small_saloon"))
    row = {row.key: row for row in place_rows(front.study(both))}["front.upper_front"]
    assert row.step == "22.0 mm lower"
    assert "372.0 mm from the middle" in row.distances


def test_the_step_of_a_right_hand_point_is_told_by_its_own_side() -> None:
    setup = sample("hillclimb_special")
    moves = {"front.right.upper_front": (0.0, 12.0, -30.0)}
    setup = setup.having(changes=(Change("right", moves=FrozenMap(moves)),))
    front = next(iter(given_systems(setup)))
    (row,) = place_rows(front.study(setup))
    assert row.sides == ("right",)
    assert re.fullmatch(r"30\.0 mm lower and 12\.0 mm inboard", row.step)

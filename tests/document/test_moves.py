"""What changes do to each side of the car."""

from __future__ import annotations

from dataclasses import replace

from app.document.address import SIDES, named
from app.document.edits import move_points, set_move
from app.document.model import Change, Setup, Vec
from app.document.moves import (
    known_points,
    proposed_place,
    proposed_values,
    summed_moves,
    total_moves_of_side,
)

LOWER: Vec = (0.0, 5.0, -20.0)


def _setup(*changes: Change) -> Setup:
    evidence = {"front.upper_front": (100.0, 370.0, 580.0), "front.upper_ball": (0.0, 620.0, 560.0)}
    return Setup("t", evidence=evidence, changes=changes)


def test_a_left_job_is_done_on_the_right_as_its_mirror() -> None:
    setup = _setup(Change("a", moves={"front.upper_front": LOWER}))
    assert total_moves_of_side(setup, "front", "left") == {"upper_front": LOWER}
    assert total_moves_of_side(setup, "front", "right") == {"upper_front": (0.0, -5.0, -20.0)}


def test_a_change_that_names_the_right_says_what_is_done_there() -> None:
    both = {"front.upper_front": LOWER, "front.right.upper_front": (0.0, 0.0, -9.0)}
    setup = _setup(Change("a", moves=both))
    assert total_moves_of_side(setup, "front", "right") == {"upper_front": (0.0, 0.0, -9.0)}


def test_it_is_decided_change_by_change() -> None:
    setup = _setup(
        Change("a", moves={"front.right.upper_front": (0.0, 0.0, -9.0)}),
        Change("b", moves={"front.upper_front": LOWER}),
    )
    assert total_moves_of_side(setup, "front", "left") == {"upper_front": LOWER}
    assert total_moves_of_side(setup, "front", "right") == {"upper_front": (0.0, -5.0, -29.0)}


def test_joints_are_made_to_fit_by_nature_and_holes_as_the_change_says() -> None:
    moves = {"front.upper_front": LOWER, "front.upper_ball": LOWER}
    for side in SIDES:
        kept = summed_moves(_setup(Change("a", moves=moves)))
        assert set(named("front", side, kept.parts)) == {"upper_ball"}
        assert set(named("front", side, kept.holes)) == {"upper_front"}
        fitted = summed_moves(_setup(Change("a", parts="made to fit", moves=moves)))
        assert set(named("front", side, fitted.parts)) == {"upper_ball", "upper_front"}
        assert not fitted.holes


def test_a_point_that_is_set_counts_from_its_measured_place_and_forgets_earlier_moves() -> None:
    setup = _setup(
        Change("a", moves={"front.upper_front": LOWER}),
        Change("b", sets={"front.upper_front": (101.0, 370.0, 570.0)}),
        Change("c", moves={"front.upper_front": (0.0, 0.0, 1.0)}),
    )
    assert total_moves_of_side(setup, "front", "left") == {"upper_front": (1.0, 0.0, -9.0)}
    assert total_moves_of_side(setup, "front", "right") == {"upper_front": (1.0, 0.0, -9.0)}


def test_changes_that_are_off_do_nothing() -> None:
    off = summed_moves(_setup(Change("a", on=False, moves={"front.upper_front": LOWER})))
    assert not off.parts
    assert not off.holes


def test_a_point_that_only_a_change_gives_is_where_it_is_first_set() -> None:
    setup = _setup(
        Change("a", sets={"rear.bar_snubber": (-1900.0, 535.0, 200.0)}),
        Change("b", sets={"rear.bar_snubber": (-1910.0, 535.0, 190.0)}),
    )
    known = known_points(setup)
    assert known["rear.bar_snubber"] == (-1900.0, 535.0, 200.0)
    for side in ("left", "right"):
        assert total_moves_of_side(setup, "rear", side) == {"bar_snubber": (-10.0, 0.0, -10.0)}
    assert known_points(_setup()) == _setup().evidence


def test_a_right_hand_point_goes_on_from_where_a_set_on_the_left_has_taken_it() -> None:
    left, right = "front.upper_front", "front.right.upper_front"
    setup = _setup(Change("a", sets={left: (100.0, 375.0, 560.0)}))
    moved = move_points(setup, 0, (right,), (0.0, 0.0, -1.0))
    assert proposed_place(setup, right) == (100.0, -375.0, 560.0)
    assert proposed_place(moved, right) == (100.0, -375.0, 559.0)
    assert proposed_place(moved, left) == (100.0, 375.0, 560.0)


def test_a_right_hand_point_that_stays_where_a_change_sets_the_left_one_is_kept_in_it() -> None:
    left, right = "front.upper_front", "front.right.upper_front"
    setup = _setup(Change("a", sets={left: (100.0, 375.0, 560.0)}))
    stays = set_move(setup, 0, right, (0.0, 0.0, 0.0))
    assert proposed_place(stays, right) == (100.0, -370.0, 580.0)


def test_moves_of_a_point_whose_job_is_off_wait_for_it() -> None:
    place, key = (-1900.0, 535.0, 200.0), "rear.bar_snubber"
    fitted, moved = Change("a", sets={key: place}), Change("b", moves={key: (0.0, 0.0, 1.0)})
    assert proposed_values(_setup(fitted, moved))[key] == (-1900.0, 535.0, 201.0)
    off = _setup(switched(fitted), moved)
    assert key not in proposed_values(off)
    assert move_points(off, 0, ("front.upper_ball",), LOWER).changes[0].sets == {key: place}


def switched(change: Change) -> Change:
    return replace(change, on=False)

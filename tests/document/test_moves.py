"""What changes do to each side of the car."""

from __future__ import annotations

from app.document.address import SIDES, named
from app.document.model import Change, Setup, Vec
from app.document.moves import known_points, summed_moves, total_moves_of_side

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

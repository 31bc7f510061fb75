"""One hole, one order: changes that move the same point are one job with their sum."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.model import Change, FrozenMap, Setup, Vec
from app.document.moves import total_moves
from app.shop.idle import idle_notes
from app.shop.jobs import jobs
from app.shop.orders import orders
from app.shop.template import templates
from app.systems.cautions import cautions_of
from app.systems.every import given_systems
from app.systems.front.system import FRONT
from tests.helpers.front_setups import PLAIN, front_setup, moved
from tests.helpers.sheets import sample, with_all_on
from tests.shop.setups import SETUPS

PIVOTS = ("upper_front", "upper_rear")


def change(name: str, moves: dict[str, Vec], **more: object) -> Change:
    keys = {f"front.{point}": move for point, move in moves.items()}
    return Change(name, moves=FrozenMap(keys), **more)  # type: ignore[arg-type]


def told(*changes: Change, setup: Setup | None = None) -> list[tuple[str, tuple[str, ...]]]:
    base = front_setup() if setup is None else setup
    found = jobs([FRONT.study(base.having(changes=changes))])
    return [(job.title, job.details) for job in found if not job.title.startswith("Align")]


def test_two_changes_on_one_hole_are_one_job_with_both_names() -> None:
    lower = change("Upper pivots 22 mm lower", dict.fromkeys(PIVOTS, (0.0, 0.0, -22.0)))
    back = change("A little back up", dict.fromkeys(PIVOTS, (0.0, 0.0, 6.0)), note="As he said.")
    ((title, details),) = told(lower, back)
    assert title == "Re-drill the upper arm pivots 16.0 mm lower, both sides."
    assert details[0].startswith("One job, the sum of “Upper pivots 22 mm lower” and “A little ")
    assert "As he said." in details


def test_changes_that_share_some_points_are_one_job_of_all_of_them() -> None:
    both = change("both", dict.fromkeys(PIVOTS, (0.0, 0.0, -20.0)))
    one = change("one", {"upper_rear": (0.0, 0.0, -2.0)})
    other = change("other", {"tie_inner": (0.0, 0.0, 3.0)})
    first, second = told(both, other, one)
    assert first[0] == (
        "Re-drill the upper arm's front pivot 20.0 mm lower, both sides. "
        "Re-drill the upper arm's rear pivot 22.0 mm lower, both sides."
    )
    assert second[0].startswith("Move the tie rods' inner ends 3.0 mm higher")


def test_a_hole_that_is_drilled_and_a_shaft_that_is_shimmed_are_two_jobs() -> None:
    drilled = change("lower", dict.fromkeys(PIVOTS, (0.0, 0.0, -22.0)))
    thin, more = (change(n, dict.fromkeys(PIVOTS, (0.0, -1.5, 0.0))) for n in ("a", "b"))
    titles = [title for title, _ in told(drilled, thin, more)]
    assert titles[0] == "Re-drill the upper arm pivots 22.0 mm lower, both sides."
    assert "front bolt 3.0 mm inboard, rear bolt 3.0 mm inboard" in titles[1]
    assert len(titles) == 2


def test_shims_that_come_to_more_than_shims_are_new_holes() -> None:
    drilled = change("lower", dict.fromkeys(PIVOTS, (0.0, 0.0, -22.0)))
    thick, more = (change(n, dict.fromkeys(PIVOTS, (0.0, -6.0, 0.0))) for n in ("a", "b"))
    ((title, _),) = told(drilled, thick, more)
    assert title == ("Re-drill the upper arm pivots 22.0 mm lower and 12.0 mm inboard, both sides.")


def test_a_shaft_further_across_than_shims_go_is_one_job_with_both_its_ends() -> None:
    alike = change("out", dict.fromkeys(PIVOTS, (0.0, -5.0, 0.0)))
    uneven = change("more", dict(zip(PIVOTS, ((0.0, -5.0, 0.0), (0.0, -2.0, 0.0)), strict=True)))
    apart = [change(n, {n: (0.0, y, 0.0)}) for n, y in zip(PIVOTS, (-10.0, -7.0), strict=True)]
    for changes in ([alike, uneven], apart):
        ((title, details),) = told(*changes)
        assert title == (
            "Move the upper arm's front pivot 10.0 mm inboard, both sides. "
            "Move the upper arm's rear pivot 7.0 mm inboard, both sides."
        )
        assert "further than shims go: a spacer" in details[0]
        assert "oles of" not in details[0]
        assert templates(front_setup().having(changes=tuple(changes))) == ()


def test_a_change_of_one_side_adds_to_that_side_alone() -> None:
    both = change("both", {"tie_inner": (0.0, 0.0, -14.0)})
    right = change("right", {"right.tie_inner": (0.0, 0.0, 5.0)})
    ((title, _),) = told(both, right)
    assert (
        title == "Move the tie rods' inner ends: left side 14.0 mm lower, right side 9.0 mm lower."
    )


def test_what_comes_to_nothing_is_no_job() -> None:
    down, up = (change(n, {"tie_inner": (0.0, 0.0, z)}) for n, z in (("down", -4.0), ("up", 4.0)))
    assert told(down, up) == []
    study = FRONT.study(front_setup().having(changes=(down, up)))
    (note,) = idle_notes([study])
    assert note == "“down” and “up”: the moves of the tie rods' inner ends cancel out."
    assert jobs([study]) == ()
    assert cautions_of([study]) == []


def test_what_is_partly_moved_back_says_what_stays() -> None:
    down = change("down", dict.fromkeys(PIVOTS, (0.0, 0.0, -22.0)))
    up = change("up", {"upper_front": (0.0, 0.0, 22.0)})
    ((title, _),) = told(down, up)
    assert title == "Re-drill the upper arm's rear pivot 22.0 mm lower, both sides."
    (note,) = idle_notes([FRONT.study(front_setup().having(changes=(down, up)))])
    assert note == "“down” and “up”: the moves of the upper arm's front pivot cancel out."


def test_what_does_nothing_on_the_axle_as_built_is_a_note_and_no_job() -> None:
    setup = with_all_on(sample("torsion_coupe"))
    studies = [system.study(setup) for system in given_systems(setup)]
    assert not any("shackles" in job.title for job in jobs(studies))
    (note,) = idle_notes(studies)
    assert (
        note == "“Shackles 20 mm longer” does nothing at the rear: the axle as built is on links."
    )


def test_a_point_that_is_set_forgets_what_came_before() -> None:
    down = change("down", {"damper_body": (0.0, 0.0, -40.0)})
    place = moved(PLAIN["damper_body"], (0.0, 0.0, -10.0))
    put = Change("put", sets=FrozenMap({"front.damper_body": place}))
    ((title, _),) = told(down, put)
    assert title == "Move the damper's body end 10.0 mm lower, both sides."


def test_new_arms_for_another_place_than_the_hole_are_said_so() -> None:
    arms = change("arms", {"upper_front": (0.0, 0.0, -22.0)}, parts="made to fit")
    hole = change("hole", {"upper_front": (0.0, 0.0, 6.0)})
    ((title, details),) = told(arms, hole)
    assert title.startswith("With new arms made to fit, re-drill the upper arm's front pivot 16.0")
    assert any("made to fit the upper arm's front pivot 22.0 mm lower" in each for each in details)


def test_new_arms_on_one_side_leave_the_other_side_its_own() -> None:
    kept = change("kept", dict.fromkeys(PIVOTS, (0.0, 0.0, -10.0)))
    right = [f"right.{name}" for name in PIVOTS]
    made = change("new", dict.fromkeys(right, (0.0, 0.0, -4.0)), parts="made to fit")
    ((title, details),) = told(kept, made)
    assert title == (
        "Re-drill the upper arm pivots 10.0 mm lower, left side. "
        "With a new arm made to fit, re-drill the upper arm pivots 14.0 mm lower, right side."
    )
    assert "Left side: same arms, bolted to the new holes." in details[0]
    assert any("new parts on the right are made to fit" in each for each in details)


def test_new_arms_on_one_side_are_told_where_both_sides_move_alike() -> None:
    kept = change("kept", {"upper_front": (0.0, 0.0, -10.0)})
    names = ("right.upper_front", "right.upper_rear")
    moves = dict(zip(names, ((0.0, 0.0, -4.0), (0.0, 0.0, -4.0)), strict=True))
    made = change("new", moves, parts="made to fit")
    left = change("left", {"upper_front": (0.0, 0.0, -4.0), names[0]: (0.0, 0.0, 0.0)})
    ((title, _),) = told(kept, made, left)
    assert title.startswith(
        "Re-drill the upper arm's front pivot 14.0 mm lower, left side. "
        "With a new arm made to fit, re-drill the upper arm's front pivot 14.0 mm lower, right side"
    )


def test_a_bracket_that_is_fitted_and_then_moved_is_ordered_where_it_ends() -> None:
    setup = with_all_on(sample("small_saloon"))
    on = Change("Bars further back", moves=FrozenMap({"rear.bar_axle": (-10.0, 0.0, 0.0)}))
    setup = setup.having(changes=(*setup.changes, on))
    found = jobs([system.study(setup) for system in given_systems(setup)])
    (bars,) = (job for job in found if "traction bars" in job.title)
    assert "axle end −2500.0, 535.0, 208.0 mm" in " ".join(bars.details)
    assert not any(" 10.0 mm rearward" in job.title for job in found)


def test_the_size_of_the_holes_is_on_the_order() -> None:
    down = change("down", {"upper_front": (0.0, 0.0, -22.0)})
    ((_, details),) = told(down)
    assert "as the old ones" in details[0]
    setup = front_setup()
    setup = setup.having(evidence=setup.evidence.having("sheet.hole_diameter", 11.0))  # type: ignore[attr-defined]
    ((_, details),) = told(down, setup=setup)
    assert "Holes of 11.0 mm." in details[0]


@pytest.mark.parametrize("name", SETUPS)
def test_every_point_is_in_one_order_and_all_of_them_come_to_the_proposal(name: str) -> None:
    check_sums(SETUPS[name])


points = st.sampled_from(
    ["upper_front", "upper_rear", "tie_inner", "right.upper_rear", "right.tie_inner", "damper_body"]
)
steps = st.tuples(*[st.sampled_from([-6.0, -2.5, 0.0, 1.5, 9.0])] * 3)
changes = st.lists(st.dictionaries(points, steps, min_size=1, max_size=4), max_size=5)


@given(changes)
def test_orders_come_to_the_proposal_whatever_is_moved(drawn: Sequence[dict[str, Vec]]) -> None:
    on = tuple(change(str(number), moves) for number, moves in enumerate(drawn))
    check_sums(front_setup().having(changes=on))


def check_sums(setup: Setup) -> None:
    """Holes and shims of all orders are the proposal's moves; no hole is in two of them."""
    found, total = orders(setup), total_moves(setup)
    for kind in ("moves", "shims"):
        keys = [key for order in found for key in getattr(order, kind)]
        assert len(keys) == len(set(keys))
    told_moves: dict[str, np.ndarray] = {}
    for order in found:
        for moves in (order.moves, order.shims):
            for key, move in moves.items():
                told_moves[key] = told_moves.get(key, np.zeros(3)) + move
    new = {key for change in setup.changes for key in change.sets} - setup.evidence.keys()
    for key in {*told_moves, *total} - new:
        whole = np.array(total.get(key, (0.0, 0.0, 0.0)))
        assert np.allclose(told_moves.get(key, np.zeros(3)), whole, atol=1e-6), key

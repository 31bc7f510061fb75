"""Changes told as jobs: what somebody at the bench reads and does."""

from __future__ import annotations

from math import hypot
from typing import Final

import pytest

from app.document.model import Change, FrozenMap, Setup, Vec
from app.shop.jobs import jobs
from app.shop.template import templates
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.front_setups import PLAIN, front_setup, mirrored, moved
from tests.helpers.sheets import sample

FAR_STEP: Final[Vec] = (-410.0, 20.0, -30.0)


def titles(*changes: Change, setup: Setup | None = None, **more: object) -> list[str]:
    base = front_setup(**more) if setup is None else setup  # type: ignore[arg-type]
    return [job.title for job in jobs([FRONT.study(base.having(changes=changes))])]


def change(moves: dict[str, Vec] | None = None, **more: object) -> Change:
    keys = {f"front.{name}": move for name, move in (moves or {}).items()}
    return Change("job", moves=FrozenMap(keys), **more)  # type: ignore[arg-type]


def test_lowered_pivots_are_one_hole_pattern_for_both_sides() -> None:
    lower = {"upper_front": (0.0, 0.0, -22.0), "upper_rear": (0.0, 0.0, -22.0)}
    told = titles(change(lower))
    assert told[0] == "Re-drill the upper arm pivots 22.0 mm lower, both sides."
    assert told[1].startswith("Align the wheels, and turn the tie rods")


def test_pivots_that_move_differently_are_told_one_by_one() -> None:
    uneven = {"upper_front": (0.0, 0.0, -22.0), "upper_rear": (0.0, 0.0, -20.0)}
    assert titles(change(uneven))[0] == (
        "Re-drill the upper arm's front pivot 22.0 mm lower, both sides. "
        "Re-drill the upper arm's rear pivot 20.0 mm lower, both sides."
    )


def test_each_pair_and_each_mount_is_ticked_off_by_itself() -> None:
    moves = {
        "upper_front": (0.0, 0.0, -22.0),
        "upper_rear": (0.0, 0.0, -22.0),
        "damper_body": (0.0, 0.0, 8.0),
    }
    (job, _) = jobs([FRONT.study(front_setup().having(changes=(change(moves),)))])
    assert job.ticks == (
        "Re-drill the upper arm pivots 22.0 mm lower, both sides.",
        "Move the damper's body end 8.0 mm higher, both sides.",
    )
    assert job.title == " ".join(job.ticks)


def test_a_shaft_moved_straight_across_is_shimmed_bolt_by_bolt() -> None:
    shims = {"upper_front": (0.0, -1.5, 0.0), "upper_rear": (0.0, -3.0, 0.0)}
    assert titles(change(shims))[0] == (
        "Shim the upper arm's shaft: "
        "front bolt 1.5 mm inboard, rear bolt 3.0 mm inboard, both sides."
    )
    one = titles(change({"upper_rear": (0.0, 2.0, 0.0)}))[0]
    assert "front bolt as it is, rear bolt 2.0 mm outboard" in one


def test_a_link_and_a_strut_rod_have_no_shaft_to_shim() -> None:
    inboard = Change("job", moves=FrozenMap({"front.lower_rear": (0.0, -5.0, 0.0)}))
    told = titles(inboard, setup=sample("small_saloon"))
    assert told[0] == "Re-drill the lateral link's body bush 5.0 mm inboard, both sides."
    (left, _) = templates(sample("small_saloon").having(changes=(inboard,)))
    assert left.plane.lie == "across"


def test_new_arms_and_new_parts_are_said_to_be_made() -> None:
    arm = change({"lower_front": (5.0, 0.0, 0.0)}, parts="made to fit")
    assert titles(arm)[0].startswith("With new arms made to fit, re-drill the lower arm's front")
    ball = titles(change({"tie_outer": (0.0, 0.0, 2.0)}))[0]
    assert ball == "With parts made to fit, put the tie rods' outer ends 2.0 mm higher, both sides."


def test_each_side_by_itself_is_one_job_with_two_figures() -> None:
    right = {name: mirrored(PLAIN)[name] for name in PLAIN}
    setup = front_setup(right=right)
    own = {"tie_inner": (0.0, 0.0, -14.0), "right.tie_inner": (0.0, 0.0, -9.0)}
    assert titles(change(own), setup=setup)[0] == (
        "Move the tie rods' inner ends: left side 14.0 mm lower, right side 9.0 mm lower."
    )


def test_a_point_that_is_set_is_told_as_the_move_it_is() -> None:
    place = moved(PLAIN["damper_body"], (0.0, 3.0, -10.0))
    told = titles(Change("set", sets=FrozenMap({"front.damper_body": place})))
    assert told[0] == ("Move the damper's body end 10.0 mm lower and 3.0 mm outboard, both sides.")


def test_springs_are_told_with_what_they_were() -> None:
    told = titles(Change("spring", sets=FrozenMap({"front.spring.rate": 60.0})))
    assert told[0] == "Fit springs: rate 60.0 N/mm (was 52.0 N/mm)."


@pytest.mark.parametrize(
    ("step", "words"), [(19.05, "3/4 in lower"), (20.0, "25/32 in lower"), (0.5, "0.020 in lower")]
)
def test_inches_are_fractions_but_for_what_a_gauge_measures(step: float, words: str) -> None:
    setup = front_setup().having(units="in")
    lower = {"upper_front": (0.0, 0.0, -step), "upper_rear": (0.0, 0.0, -step)}
    assert words in titles(change(lower), setup=setup)[0]


def test_toe_left_alone_is_said_so() -> None:
    told = jobs(
        [FRONT.study(front_setup(changes=(change({"tie_inner": (0, 0, 2.0)}, toe="left"),)))]
    )
    assert told[-1].title.startswith("Leave the tie rods as they are.")


def test_a_change_that_is_off_is_no_job() -> None:
    assert titles(change({"tie_inner": (0.0, 0.0, 2.0)}, on=False)) == []


def test_the_users_note_and_a_name_of_its_own_are_told() -> None:
    made = Change(
        "Rack plates", note="One under each clamp.", moves=FrozenMap({"front.tie_inner": (0, 0, 2)})
    )
    details = jobs([FRONT.study(front_setup(changes=(made,)))])[0].details
    assert details == ("“Rack plates”.", "One under each clamp.")


@pytest.mark.parametrize(("step", "is_far"), [((-40.0, 0.0, -30.0), False), (FAR_STEP, True)])
def test_a_new_hole_far_from_the_old_one_is_told_straight_from_that(
    step: Vec, is_far: bool
) -> None:
    moves = FrozenMap({"rear.right.damper_body": step})
    setup = sample("small_saloon").having(changes=(Change("job", moves=moves),))
    job = jobs([REAR.study(setup)])[0]
    straight = f"From the old centre to the new one {hypot(*step):.1f} mm straight."
    assert (straight in " ".join(job.details)) == is_far

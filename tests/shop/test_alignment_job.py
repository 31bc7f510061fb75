"""An alignment that is a change: shims and turns as a job of its own, and nothing to drill."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.document.edits import move_points
from app.document.model import Setup
from app.judge.aligning_work import aligning, amounts_in, turned, without_alignment
from app.judge.drilling import new_holes
from app.panels.lists.job_words import job_words
from app.shop.jobs import jobs
from app.shop.places import place_rows
from app.shop.template import templates
from app.systems.cautions import cautions_of
from app.systems.front.system import FRONT
from tests.helpers.aligning import ALL, car_to_align

pytestmark = pytest.mark.gui

FRONT_SHIM, REAR_SHIM = (f"front.upper_shims upper_{name}" for name in ("front", "rear"))
BOTH = ("left", "right")


def worked(**more: object) -> Setup:
    """Return a car whose only changes are turned knobs: one of each kind."""
    shims = replace(ALL["front.upper_shims"], fitted_right=(3.0, 4.0))
    setup = car_to_align(
        adjusters={**ALL, "front.upper_shims": shims}, changes=(), gauge={}, **more
    )
    setup = turned(setup, FRONT_SHIM, ("left",), 2.0)
    setup = turned(setup, REAR_SHIM, BOTH, 9.0)  # more than shims are otherwise taken for
    setup = turned(setup, "front.lower_eccentric", BOTH, 3.0)
    return turned(setup, "front.strut_rod", ("right",), -0.75)


def test_each_knob_is_a_box_and_nothing_is_drilled() -> None:
    setup = worked()
    done = FRONT.study(setup)
    first, last = jobs([done])
    assert first.ticks == (
        "Shims at the upper arm's front pivot: left 3.0 mm to 5.0 mm.",
        "Shims at the upper arm's rear pivot: left 3.0 mm to 12.0 mm; right 4.0 mm to 13.0 mm.",
        "Turn the eccentric at the lateral link's body bush: 3.00 mm inboard, 30° from its middle, "
        "both sides.",
        "Turn the strut rod: right 0.50 turns shorter (0.75 mm).",
    )
    assert "nothing is drilled" in first.details[0]
    assert "turn the tie rods" in last.title
    assert not templates(setup)
    assert not new_holes(done)
    assert not place_rows(done)
    assert not any("Drilled panels" in caution for caution in cautions_of([done]))
    assert any("store energy" in caution for caution in cautions_of([done]))


def test_a_hole_that_is_drilled_as_well_is_told_without_the_shims() -> None:
    setup = car_to_align(gauge={})
    after = turned(setup, FRONT_SHIM, BOTH, 2.0)
    assert [t.holes for t in templates(after)] == [t.holes for t in templates(setup)] != []
    titles = [job.title for job in jobs([FRONT.study(after)])]
    assert titles[0] == jobs([FRONT.study(setup)])[0].title
    assert titles[1] == "Shims at the upper arm's front pivot: 3.0 mm to 5.0 mm, both sides."


def test_the_list_of_changes_says_shims_and_turns() -> None:
    setup = worked()
    for change in setup.changes:
        assert "shims and turns" in job_words(setup, change)
        assert "drill" not in job_words(setup, change)


def test_a_change_in_which_a_point_was_then_dragged_is_one_like_any_other() -> None:
    """Nothing of it is lost, and its hole is drilled."""
    aligned = turned(car_to_align(changes=()), FRONT_SHIM, BOTH, 2.0)
    dragged = move_points(aligned, 0, ("front.upper_front",), (0.0, 0.0, -10.0))
    assert aligning(aligned)
    assert not aligning(dragged)
    assert without_alignment(dragged) == dragged
    more = turned(dragged, REAR_SHIM, BOTH, 1.0)
    assert more.changes[0] == replace(dragged.changes[0], aligns=False)
    assert amounts_in(more)["left"] == pytest.approx({FRONT_SHIM: 0.0, REAR_SHIM: 1.0})
    assert templates(more)


def test_without_its_adjusters_it_is_a_change_like_any_other() -> None:
    setup = turned(car_to_align(changes=()), FRONT_SHIM, BOTH, 2.0)
    bare = setup.having(adjusters={})
    assert not aligning(bare)
    assert any("Shim" in job.title for job in jobs([FRONT.study(bare)]))


def test_one_that_is_off_asks_for_no_work() -> None:
    setup = worked()
    off = setup.having(changes=tuple(replace(each, on=False) for each in setup.changes))
    assert not jobs([FRONT.study(off)])

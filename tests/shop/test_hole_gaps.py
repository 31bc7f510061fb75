"""How much metal new holes leave: to old ones, and to stated edges; on template and order."""

from __future__ import annotations

import pytest

from app.document.clearances import Envelope
from app.document.model import Change, FrozenMap, Setup
from app.shop.hole_gaps import hole_gaps
from app.shop.jobs import jobs
from app.shop.template import templates
from app.shop.template_words import TemplateWords
from app.systems.every import given_systems
from tests.helpers.sheets import sample

UPPER = ("front.upper_front", "front.upper_rear")


def moved(down: float, rear_down: float | None = None, edge: float | None = None) -> Setup:
    """Return the saloon, holes of 11 mm, with its upper pivots lowered, and an edge below them."""
    steps = (down, down if rear_down is None else rear_down)
    moves = {key: (0.0, 0.0, -step) for key, step in zip(UPPER, steps, strict=True)}
    change = Change("lower", moves=FrozenMap(moves))
    setup = sample("small_saloon").having(changes=(change,), together=())
    if edge is None:
        return setup
    flange = Envelope("front", "flange", "edge", (300.0, 372.0, edge), (-300.0, 378.0, edge))
    return setup.having(envelopes=(*setup.envelopes, flange))


def said(setup: Setup) -> str:
    """Return what the templates say."""
    return " ".join(
        text for each in templates(setup) for text in TemplateWords("mm").own_paragraphs(each)
    )


def order(setup: Setup) -> str:
    """Return the jobs with all their details."""
    studies = [system.study(setup) for system in given_systems(setup)]
    return " ".join(f"{job.title} {' '.join(job.details)}" for job in jobs(studies))


@pytest.mark.parametrize(("down", "left"), [(22.0, 11.0), (15.0, 4.0), (11.0, 0.0), (6.0, -5.0)])
def test_between_old_and_new_hole_is_what_the_centres_are_apart_less_a_diameter(
    down: float, left: float
) -> None:
    gaps = [gap for each in templates(moved(down)) for gap in hole_gaps(each)]
    assert len(gaps) == 4  # two pivots a side
    assert [gap.left for gap in gaps] == pytest.approx([left] * 4, abs=0.05)
    assert {gap.breaks_in for gap in gaps} == {left <= 0.0}
    assert {gap.is_thin for gap in gaps} == {down < 22.0}


def test_each_hole_is_named_where_an_order_has_those_of_several_parts() -> None:
    moves = {"front.lower_front": (0.0, 0.0, 12.0), "front.lower_rear": (0.0, 0.0, 6.0)}
    both = Change("job", moves=FrozenMap({**moves, "rear.shackle_body": (0.0, 0.0, 8.0)}))
    words = order(moved(6.0).having(changes=(both,)))
    assert "Strut rod, body bush: between the new hole and the old one 1.0 mm" in words
    assert "Lateral link, body bush: the new hole breaks into the old one" in words
    assert "Front: holes of 11.0 mm." in words
    assert "Rear: size of the holes: as the old ones" in words
    one_side = Change("job", moves=FrozenMap({**moves, "front.right.lower_rear": (0.0, 0.0, 12.0)}))
    words = order(moved(6.0).having(changes=(one_side,)))
    assert "Lateral link, body bush, left side: the new hole breaks" in words


def test_a_hole_that_meets_the_old_one_is_said_on_template_and_order() -> None:
    setup = moved(6.0)
    assert "to the old one none: it breaks in" in said(setup)
    assert "The new holes break into the old ones: plate them, then drill." in order(setup)


def test_thin_metal_is_said_with_what_is_left() -> None:
    setup = moved(15.0)
    assert "front, to the old one 4.0 mm, less than the 11.0 mm" in said(setup)
    assert "the new holes and the old ones 4.0 mm of metal is left: plate the old ones." in order(
        setup
    )


def test_two_holes_that_leave_unlike_metal_are_said_each_by_its_name() -> None:
    words = order(moved(15.0, 6.0))
    assert "Between the new front hole and the old one 4.0 mm of metal is left" in words
    assert "The new rear hole breaks into the old one: plate it, then drill." in words


def test_two_diameters_need_no_word_on_the_order() -> None:
    setup = moved(22.0)
    assert "front, to the old one 11.0 mm; rear" in said(setup)
    assert "of metal is left" not in order(setup)


def test_one_that_stays_leaves_all() -> None:
    gaps = [gap for each in templates(moved(15.0, 0.0)) for gap in hole_gaps(each)]
    assert {gap.hole.name for gap in gaps} == {"front"}


def test_a_stated_edge_of_the_metal_is_measured_on_both_sides() -> None:
    setup = moved(22.0, edge=520.0)
    edges = [g for each in templates(setup) for g in hole_gaps(each) if not g.is_old_hole]
    front = [gap.left for gap in edges if gap.hole.name == "front"]
    # centre at 560 - 22 = 538, radius 5.5, the edge 18 mm below
    assert front == pytest.approx([12.5, 12.5], abs=0.2)
    assert "front, to flange 12.6 mm, less than the 16.5 mm" in said(setup)
    assert "From the new front hole to flange 12.6 mm of metal is left: fit a doubler." in order(
        setup
    )


def test_an_edge_that_is_passed_and_one_far_off() -> None:
    assert "breaks out at flange: it can't be there." in order(moved(22.0, edge=536.0))
    assert "flange" not in said(moved(22.0, edge=300.0))


def test_holes_of_unknown_size_have_no_gaps() -> None:
    setup = moved(15.0)
    without = setup.having(evidence=FrozenMap(setup.readings).without("sheet.hole_diameter"))
    assert not [gap for each in templates(without) for gap in hole_gaps(each)]
    assert "metal" not in order(without).lower().replace("sheet metal", "")

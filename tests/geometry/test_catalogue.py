"""The one list of results: what panels, curves, sheet and shop read from its lines."""

from __future__ import annotations

import pytest

from geometry.catalogue.every import KEYS, result_of
from geometry.catalogue.front import RESULTS
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.catalogue.result import (
    CURVES_SHOWN,
    LEAST_SPANS,
    SUFFIX,
    Result,
    asked_first,
    plotted_first,
)

LISTS = {"front": RESULTS, "leaf axle": LEAF_RESULTS, "link axle": LINK_RESULTS}


@pytest.mark.parametrize("results", LISTS.values(), ids=LISTS)
def test_no_two_results_of_an_axle_share_key_title_identity_or_place(
    results: tuple[Result, ...],
) -> None:
    for name in ("key", "title", "identity"):
        assert len({getattr(each, name) for each in results}) == len(results), name
    places = [each.plotted for each in plotted_first(results)]
    assert len(set(places)) == len(places)
    places = [asked.place for _, asked in asked_first(results)]
    assert len(set(places)) == len(places)


@pytest.mark.parametrize("results", LISTS.values(), ids=LISTS)
def test_the_curves_to_begin_with_are_enough_and_have_curves(results: tuple[Result, ...]) -> None:
    assert len(plotted_first(results)) >= CURVES_SHOWN
    assert all(each.scope != "car" for each in plotted_first(results))


def test_leaf_and_link_axle_share_those_results_that_bear_one_title_and_no_others() -> None:
    """A shop reads titles: two that read alike are one row, two that don't are two."""
    for leaf in LEAF_RESULTS:
        for link in LINK_RESULTS:
            assert (leaf.identity == link.identity) == (leaf.title == link.title), leaf.title
    shared = {each.identity for each in LEAF_RESULTS} & {each.identity for each in LINK_RESULTS}
    assert {"pinion_angle", "roll_wheel_rate", "wheel_rate", "settled_travel"} <= shared
    assert "spring_load" not in shared  # a leaf's load and a coil's force


def test_every_kind_has_a_least_span_and_a_unit_in_machine_readable_names() -> None:
    assert set(LEAST_SPANS) == set(SUFFIX)
    assert all(each.least_span > 0 for results in LISTS.values() for each in results)


def test_a_misspelt_key_is_an_error_and_another_axles_is_not() -> None:
    assert "camber" in KEYS
    assert result_of(RESULTS, "anti_squat") is None
    found = result_of(LEAF_RESULTS, "anti_squat")
    assert found is not None
    assert found.title == "Anti-squat"
    with pytest.raises(KeyError, match="no result is called 'anti_sqat'"):
        result_of(LEAF_RESULTS, "anti_sqat")

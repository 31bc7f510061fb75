"""A car measured over a bad floor, or from a raked frame, is laid back onto its tyres."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from app.document.address import left_of, mirrored
from app.document.keys import is_point
from app.document.levelling import levelled, levelled_words, with_levelled
from app.document.model import FrozenMap
from app.document.rewriting import rewritten
from app.judge.survey import survey_of
from tests.document.examples import COIL
from tests.helpers.entering import sample
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui

HEIGHTS = (0.0, 0.0, 0.0)


def tilted(setup, turn: Rotation, rise: float):
    """Return a car as it would be measured in axes that a library tilts about its wheel centre."""
    wheel = np.array([0.0, 0.0, setup.readings["front.wheel_centre"][2]])
    readings = dict(setup.readings)
    for key in filter(is_point, readings):
        place = turn.inv().apply(np.subtract(readings[key], wheel)) + wheel + [0.0, 0.0, rise]
        readings[key] = tuple(place.tolist())
    pads = [(620.0, 690.0, 0.0), (0.0, -690.0, 0.0), (-2600.0, 0.0, 0.0)]
    seen = [tuple(turn.inv().apply(np.subtract(p, wheel)) + wheel + [0, 0, rise]) for p in pads]
    return setup.having(evidence=FrozenMap(readings)), seen


@pytest.mark.parametrize("name", ["small_saloon", "hillclimb_special"])
def test_a_tilted_car_comes_back(name: str) -> None:
    setup = sample(name)
    measured, pads = tilted(setup, Rotation.from_rotvec([0.6, -1.4, 0.0], degrees=True), 21.0)
    result = levelled(measured, pads, HEIGHTS, ("front", "rear"))
    assert result is not None
    keys = list(result.places)
    back = np.array([result.places[key] for key in keys])
    true = np.array([setup.readings[key] for key in keys])
    assert back[:, 2] == pytest.approx(true[:, 2], abs=0.002)
    from_first = (back - back[0]) - (true - true[0])
    assert np.abs(from_first).max() < 0.003
    wheel = keys.index("front.wheel_centre")
    assert back[wheel, 0] == pytest.approx(measured.readings["front.wheel_centre"][0], abs=0.001)


def test_only_the_chosen_end_is_turned_and_it_is_kept_with_a_note() -> None:
    setup = parse(COIL)
    pads = [(0.0, 600.0, 4.0), (0.0, -600.0, 4.0), (-1000.0, 0.0, -6.0)]
    result = levelled(setup, pads, HEIGHTS, ("front",))
    assert result is not None
    assert levelled(setup, pads, HEIGHTS, ("rear",)) is None
    after = with_levelled(setup, result)
    assert after.evidence["front.wheel_centre"][0] == setup.evidence["front.wheel_centre"][0]
    words = levelled_words(setup, result, "mm")
    assert words.startswith("What was measured as level lies 0.57° down ahead")
    again = parse(rewritten(COIL, setup, after))
    assert again.readings == after.readings
    assert again.notes.rstrip().endswith(words)


def test_three_places_in_a_line_fix_no_floor() -> None:
    setup = parse(COIL)
    assert levelled(setup, [(0, 0, 0), (1, 1, 0), (2, 2, 0)], HEIGHTS, ("front",)) is None


def both_sides_measured(setup):
    """Return a car whose right side is measured wherever a tape ends at it."""
    rights = {
        end: mirrored(setup.readings[left_of(end)])
        for tape in setup.tapes
        for end in tape.between
        if left_of(end) != end
    }
    return setup.having(evidence=FrozenMap({**setup.readings, **rights}))


PITCHED = [(600.0, 500.0, 11.0), (600.0, -500.0, 11.0), (-2400.0, 0.0, -22.0)]
ROLLED = [(600.0, 500.0, 4.0), (600.0, -500.0, -6.0), (-2400.0, 0.0, -22.0)]


@pytest.mark.parametrize(("pads", "both"), [(PITCHED, False), (PITCHED, True), (ROLLED, True)])
def test_a_turn_of_the_whole_car_leaves_every_tape_as_it_was(pads, both: bool) -> None:
    """Distances don't turn; a side that is only the mirror of the other does in a roll."""
    setup = sample("taped_saloon")
    setup = both_sides_measured(setup) if both else setup
    turned = with_levelled(setup, levelled(setup, pads, HEIGHTS, ("front", "rear")))
    before, after = survey_of(setup), survey_of(turned)
    assert turned.marks != setup.marks
    assert after.chi_square == pytest.approx(before.chi_square, rel=2e-4)
    assert [row.residual for row in after.tapes] == pytest.approx(
        [row.residual for row in before.tapes], abs=2e-3
    )


def test_a_mark_turns_with_the_end_that_its_tapes_go_to() -> None:
    setup = sample("taped_saloon")  # whose tapes are all at the front
    for ends, turns in ((("front",), True), (("rear",), False)):
        after = with_levelled(setup, levelled(setup, PITCHED, HEIGHTS, ends))
        assert (after.marks != setup.marks) is turns
    words = levelled_words(setup, levelled(setup, PITCHED, HEIGHTS, ("front",)), "mm")
    assert "points and marks turned by that" in words

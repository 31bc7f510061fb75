"""Envelopes and clearances as typed: as a file is read, or refused in words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from app.document.clearances import Clearance, Envelope
from app.document.model import FrozenMap, Setup
from app.document.samples import sample_paths
from app.document.typed_clearances import (
    CAR_TYRE,
    TypedClearance,
    TypedEnvelope,
    TypedSpaces,
    in_other_units,
    read_spaces,
    typed_spaces,
)
from tests.helpers.reading import parse

TAPED = next(path for path in sample_paths() if path.stem == "taped_saloon")
ROD = TypedEnvelope(
    "rod", "capsule", ("front.upper_front", "front.upper_ball"), FrozenMap({"radius": "15"})
)


@cache
def car() -> Setup:
    return parse(TAPED.read_text())


@cache
def typed(end: str = "front", units: str = "mm") -> TypedSpaces:
    return typed_spaces(car(), end, units)


def with_part(part: TypedEnvelope) -> TypedSpaces:
    return replace(typed(), envelopes=(*typed().envelopes, part))


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_is_typed_as_it_stands_changes_nothing(end: str, units: str) -> None:
    touched = typed(end, units).clearances[0]
    other = replace(touched, by="somebody")
    rest = typed(end, units).clearances[1:]
    read = read_spaces(car(), end, replace(typed(end, units), clearances=(other, *rest)), units)
    assert read.errors == {}
    assert read.setup.envelopes == car().envelopes
    place = next(i for i, each in enumerate(car().clearances) if each.end == end)
    told = read.setup.clearances[place]
    assert told.at_least == pytest.approx(car().clearances[place].at_least, abs=1e-12)
    assert (told.between, told.by) == (car().clearances[place].between, "somebody")
    assert len(read.setup.clearances) == len(car().clearances)


def test_a_new_part_and_pair_are_read_in_the_units_typed() -> None:
    in_inches = in_other_units(with_part(ROD), "mm", "in", ".")
    pair = TypedClearance((CAR_TYRE, len(in_inches.envelopes) - 1), "1/2", "owner")
    read = read_spaces(
        car(), "front", replace(in_inches, clearances=(*in_inches.clearances, pair)), "in"
    )
    assert read.errors == {}
    part = next(each for each in read.setup.envelopes if each.name == "rod")
    assert part.radius == pytest.approx(15.0, abs=1e-9)
    assert (part.start, part.finish) == ROD.ends
    told = [each for each in read.setup.clearances if each.end == "front"][-1]
    assert told == Clearance("front", ("tyre", "rod"), told.at_least, "owner")
    assert told.at_least == pytest.approx(12.7)
    assert [each.end for each in read.setup.envelopes] == ["front"] * 3 + ["rear"] * 4


def test_another_name_goes_on_in_its_pairs_and_a_part_that_goes_takes_them_along() -> None:
    first, *rest = typed().envelopes
    renamed = replace(typed(), envelopes=(replace(first, name="rail"), *rest))
    told = read_spaces(car(), "front", renamed, "mm").setup
    assert [each.between for each in told.clearances[:2]] == [("tyre", "rail"), ("tyre", "coil")]
    left = read_spaces(car(), "front", typed().without_envelope(0), "mm").setup
    assert [each.between for each in left.clearances if each.end == "front"] == [("tyre", "coil")]
    assert [each.name for each in left.envelopes if each.end == "front"] == ["coil"]


@pytest.mark.parametrize(
    ("part", "field", "words"),
    [
        (replace(ROD, name=" "), "name", "Give it a name."),
        (replace(ROD, name="coil"), "name", "Another part has this name."),
        (replace(ROD, texts=FrozenMap()), "radius", "A number is missing."),
        (replace(ROD, texts=FrozenMap({"radius": "-3"})), "radius", "more than 0"),
        (replace(ROD, texts=FrozenMap({"radius": "thick"})), "radius", "thick"),
        (replace(ROD, ends=("", "front.upper_ball")), "from.y", "A number is missing."),
        (replace(ROD, kind="cylinder", ends=2 * ("front.upper_ball",)), "to", "the same place"),
        (replace(ROD, ends=("front.damper_body_2", ROD.ends[1])), "from", "no"),
    ],
)
def test_what_cannot_be_read_is_said_of_its_field(
    part: TypedEnvelope, field: str, words: str
) -> None:
    read = read_spaces(car(), "front", with_part(part), "mm")
    assert read.setup == car()
    assert words in read.errors["envelope", 2, field]


def test_a_pair_of_one_part_and_a_pair_twice_are_refused() -> None:
    pairs = (TypedClearance((0, 0)), typed().clearances[0], typed().clearances[0])
    errors = read_spaces(car(), "front", replace(typed(), clearances=pairs), "mm").errors
    assert errors["clearance", 0, "between"] == "Choose two different parts."
    assert errors["clearance", 2, "between"] == "This pair has a clearance already."
    wide = (TypedClearance((0, 1), "501"),)
    errors = read_spaces(car(), "front", replace(typed(), clearances=wide), "mm").errors
    assert "500" in errors["clearance", 0, "at_least"]


def test_places_of_a_box_are_numbers() -> None:
    places = {f"{end}.{axis}": str(n) for n, end in ((1, "from"), (90, "to")) for axis in "xyz"}
    beam = TypedEnvelope("beam", "box", texts=FrozenMap({**places, "width": "20", "height": "30"}))
    told = read_spaces(car(), "front", with_part(beam), "mm").setup.envelopes[2]
    assert told == Envelope(
        "front", "beam", "box", (1.0, 1.0, 1.0), (90.0, 90.0, 90.0), None, 20.0, 30.0
    )

"""Wants and room typed in rows are those of the file; what is wrong is told beside its field."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from app.document.model import Limit, Setup, Units
from app.document.plan_edits import set_room, set_span
from app.document.plans import Adjuster, Room, Want
from app.judge.asked import (
    Hand,
    TypedRoom,
    TypedWant,
    first_row,
    kept_limit,
    read_rooms,
    read_wants,
    room_in,
    typed_rooms,
    typed_wants,
    want_in,
    ways_of,
)
from tests.helpers.sought import GAIN, PIVOTS, UPPER_FRONT, UPPER_REAR, saloon

pytestmark = pytest.mark.gui

MM, IN = Hand("mm"), Hand("in")
WANTS = (
    Want("front.camber_gain", -0.5 * GAIN, within=0.01 * GAIN, kind="angle per length"),
    Want("front.bump_steer_range", at_most=radians(0.1), weight=2.0, kind="angle"),
    Want("front.camber", at_least=radians(-1.0), at_most=radians(0.5), kind="angle"),
    Want("front.roll_centre_height", keep=True, kind="length"),
)
ROOMS = {
    **PIVOTS,
    "front.tie_outer": Room(x=(-3.0, 3.0), z=(-12.0, 12.5)),
    "front.spring.free_length": Room(span=(300.0, 340.0)),
    "rear.block": Room(steps=(0.0, 12.5, 25.0)),
    "front.upper_shims": Room(by_adjuster=True),
}
SHIMS = {"front.upper_shims": Adjuster(at=(UPPER_FRONT, UPPER_REAR), fitted=(3.0, 3.0))}


def blocked(**more: object) -> Setup:
    """Return the saloon with a lowering block, of no height as yet."""
    return saloon(evidence={**saloon().readings, "rear.block": 0.0}, **more)


def close(one: Want, other: Want) -> bool:
    ends = ("value", "at_least", "at_most", "within")
    rest = [replace(want, **dict.fromkeys(ends)) for want in (one, other)]
    return rest[0] == rest[1] and all(
        getattr(one, end) == pytest.approx(getattr(other, end)) for end in ends
    )


@pytest.mark.parametrize(("units", "decimal"), [("mm", "."), ("in", "."), ("mm", ",")])
def test_rows_of_a_file_read_back_as_the_file_in_any_units(units: Units, decimal: str) -> None:
    hand = Hand(units, decimal)  # of its own: a hand knows what it has shown
    setup = blocked(wants=WANTS, rooms=ROOMS, adjusters=SHIMS)
    wants, wrong = read_wants(typed_wants(setup, hand), hand)
    rooms, wrong_rooms = read_rooms(setup, typed_rooms(setup, hand), hand)
    assert not wrong
    assert not wrong_rooms
    assert all(map(close, wants, WANTS))
    assert list(rooms) == list(ROOMS)
    near = 25.4 * 0.5e-4 if units == "in" else 1e-9  # of the four places that inches are shown with
    for key, room in ROOMS.items():
        for end in ("x", "y", "z", "span", "steps"):
            assert getattr(rooms[key], end) == pytest.approx(getattr(room, end), abs=near), key
        assert (rooms[key].alike, rooms[key].by_adjuster) == (room.alike, room.by_adjuster)


def test_rows_turned_into_inches_and_back_are_what_they_were() -> None:
    setup = blocked(wants=WANTS, rooms=ROOMS, adjusters=SHIMS)
    mm, inches = Hand("mm"), Hand("in")
    for row in typed_wants(setup, mm):
        assert want_in(want_in(row, mm, inches), inches, mm) == row
    for room in typed_rooms(setup, mm):
        assert room_in(setup, room_in(setup, room, mm, inches), inches, mm) == room
    odd = TypedWant("front.camber", value="as before")
    assert want_in(odd, mm, inches) == odd  # what can't be read isn't lost


@pytest.mark.parametrize(
    ("row", "field", "words"),
    [
        (TypedWant(value="1"), "result", "Choose"),
        (TypedWant("front.camber", value="x"), "value", "no number"),
        (TypedWant("front.camber", value=""), "value", "Nothing is entered"),
        (TypedWant("front.camber", "between", "1", "0"), "most", "less than the least"),
        (TypedWant("front.camber", value="1", within="-1"), "within", "more than 0"),
        (TypedWant("front.camber", value="1", weight="0"), "weight", "more than 0"),
    ],
)
def test_a_want_that_is_none_is_told_at_its_field(row: TypedWant, field: str, words: str) -> None:
    wants, wrong = read_wants([TypedWant("front.caster", value="3"), row], MM)
    assert [want.result for want in wants] == ["front.caster"]
    assert [(each.row, each.field) for each in wrong] == [(1, field)]
    assert words in wrong[0].words


def test_a_result_wanted_twice_names_the_first_row() -> None:
    rows = [TypedWant("front.camber", value="1"), TypedWant("front.camber", "keep")]
    assert "row 1" in read_wants(rows, MM)[1][0].words


@pytest.mark.parametrize(
    ("row", "field", "words"),
    [
        (TypedRoom(), "key", "Choose"),
        (TypedRoom(UPPER_FRONT, "z", "5", "-5"), "high", "less than"),
        (TypedRoom(UPPER_FRONT, "z", "five", "6"), "low", "no number"),
        (TypedRoom(UPPER_FRONT, "alike", alike=UPPER_REAR), "alike", "no room of its own"),
        (TypedRoom(UPPER_FRONT, "alike", alike=UPPER_FRONT), "alike", "point itself"),
        (TypedRoom(UPPER_FRONT, "alike"), "alike", "Choose"),
        (TypedRoom("rear.block", "steps", "1, two"), "low", "no number"),
        (TypedRoom("front.spring.free_length", "span", "-10", "10"), "low", "It can be"),
        (TypedRoom("front.spring.free_length", "steps", "0, 10"), "low", "It can be"),
    ],
)
def test_a_room_that_is_none_is_told_at_its_field(row: TypedRoom, field: str, words: str) -> None:
    _, wrong = read_rooms(blocked(), [row], MM)
    assert [(each.row, each.field) for each in wrong] == [(0, field)]
    assert words in wrong[0].words


def test_a_value_of_which_nothing_is_known_has_no_room() -> None:
    _, (wrong,) = read_rooms(saloon(), [TypedRoom("rear.traction_bar.gap", "span", "0", "20")], MM)
    assert (wrong.field, "enter it" in wrong.words) == ("key", True)


def test_a_first_row_reads_as_room_around_what_is_there() -> None:
    setup = saloon(adjusters=SHIMS)
    for key in (UPPER_FRONT, "front.spring.rate", "front.upper_shims"):
        row = first_row(setup, key, MM)
        assert row.how in ways_of(setup, key)
        rooms, wrong = read_rooms(setup, [row], MM)
        assert not wrong
        assert set(rooms) == {key}


def test_a_limit_that_is_not_kept_is_wanted_as_it_is() -> None:
    limit = Limit(minimum=radians(-1.5), maximum=radians(1.0), kind="angle")
    want = kept_limit("front.camber", limit)
    (row,) = typed_wants(saloon(wants=(want,)), MM)
    assert (row.how, row.value, row.most) == ("between", "−1.5", "1")


def test_room_that_is_taken_away_leaves_none_alike_it() -> None:
    setup = saloon(rooms={UPPER_FRONT: Room(z=(-30.0, 10.0)), UPPER_REAR: Room(alike=UPPER_FRONT)})
    assert not set_room(setup, UPPER_FRONT, None).rooms
    assert not set_span(setup, UPPER_FRONT, "z", None).rooms.get(UPPER_FRONT)
    wider = set_span(setup, UPPER_FRONT, "y", (-2.0, 2.0))
    assert wider.rooms[UPPER_FRONT] == Room(y=(-2.0, 2.0), z=(-30.0, 10.0))

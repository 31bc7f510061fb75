"""Each error of the kernel is said with its points' titles and its figures in the reader's units.

Figures are converted here by the definitions: an inch is 25.4 mm, a pound-force 4.4482216 N.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import fields

import pytest

from app.document.keys import KEYS
from app.document.model import Units
from app.words.errors import error_addresses, error_keys, geometry_words
from geometry.errors import (
    AxlePoseRefused,
    AxleUnreachable,
    CoilsNeverCarry,
    DegenerateGeometry,
    Flaw,
    FreeMotion,
    GeometryError,
    ImpossiblePack,
    LegsDontMeet,
    LinksLoose,
    NoUpperLink,
    OnOneLine,
    PackFlaw,
    ShackleOutOfReach,
    TooFarApart,
    Unreachable,
)

BALLS = ("front.lower_ball", "front.upper_ball")
LINK = ("rear.right.lower_body", "rear.right.lower_axle")

# an error; the lengths [mm], angles [rad] and forces [N] that its words tell
EXAMPLES: list[tuple[GeometryError, tuple[float, ...], tuple[float, ...], tuple[float, ...]]] = [
    *((DegenerateGeometry(*BALLS, flaw), (), (), ()) for flaw in Flaw),
    (OnOneLine("front.upper_ball", "front.upper_front", "front.upper_rear"), (), (), ()),
    (TooFarApart(*BALLS, 1e6), (), (), ()),  # in mm a word: tested below
    (Unreachable(*BALLS, 254.0, 281.3, 91.7, 83.2), (254.0, 281.3, 27.3, 91.7, 83.2), (), ()),
    (Unreachable(*BALLS, 254.0, 254.01, 91.7, 83.2), (254.0, 91.7, 83.2), (), ()),
    (Unreachable(*BALLS, 254.0, 221.9, 0.0), (254.0, 221.9, 32.1), (), ()),
    (Unreachable(*BALLS, 254.0, 281.3, 9.7, 8.2, -61.3), (254.0, 281.3, 9.7, 8.2, 61.3), (), ()),
    (LegsDontMeet("front.upper_front", "front.upper_rear", 476.8, 512.3), (476.8, 512.3), (), ()),
    (LegsDontMeet("front.lower_front", "front.lower_rear", 101.6, 91.7), (101.6, 91.7), (), ()),
    (AxleUnreachable(*LINK, 431.8, 447.1, -93.6, 0.1234), (431.8, 447.1, 93.6), (0.1234,), ()),
    (AxlePoseRefused(93.6, -0.1234), (93.6,), (0.1234,), ()),
    (ShackleOutOfReach(-93.6, -81.2, 101.6, 123.4), (93.6, 81.2, 101.6, 123.4), (), ()),
    *((LinksLoose(motion), (), (), ()) for motion in FreeMotion),
    (NoUpperLink(), (), (), ()),
    (CoilsNeverCarry(8765.0), (), (), (8765.0,)),
    (ImpossiblePack(PackFlaw.NO_LEAF), (), (), ()),
    (ImpossiblePack(PackFlaw.NO_SECTION), (), (), ()),
    (ImpossiblePack(PackFlaw.CLAMP, value=-12.7), (12.7,), (), ()),
    (ImpossiblePack(PackFlaw.NO_RATE), (), (), ()),
    (ImpossiblePack(PackFlaw.HELPER_ON_TOP, 1, "contact", 12.7), (), (), ()),
    (ImpossiblePack(PackFlaw.THICKNESS, 3, "thickness", -6.5), (6.5,), (), ()),
    (ImpossiblePack(PackFlaw.CONTACT, 3, "contact", -12.7), (12.7,), (), ()),
    (ImpossiblePack(PackFlaw.INSIDE_CLAMP, 3, "front", 41.3, 57.2), (41.3, 57.2), (), ()),
    (ImpossiblePack(PackFlaw.TOO_LONG, 2, "rear", 762.0, 635.0), (762.0, 635.0), (), ()),
]
OTHER = {"mm": r"\d (in|lbf|ft|lb)\b", "in": r"\d (mm|N|kg|m)\b|metre|mm\b"}


def _kinds(of: type[GeometryError] = GeometryError) -> Iterator[type[GeometryError]]:
    for kind in of.__subclasses__():
        yield kind
        yield from _kinds(kind)


def test_every_kind_of_error_and_every_flaw_has_an_example() -> None:
    errors = [row[0] for row in EXAMPLES]
    assert {type(error) for error in errors} == set(_kinds())
    for each, name, enum in (
        (DegenerateGeometry, "flaw", Flaw),
        (ImpossiblePack, "flaw", PackFlaw),
        (LinksLoose, "motion", FreeMotion),
    ):
        shown = {getattr(error, name) for error in errors if isinstance(error, each)}
        assert shown == set(enum)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("row", EXAMPLES, ids=lambda row: repr(row[0]))
def test_words_tell_the_figures_in_the_units_of_the_reader_and_in_no_other(
    row: tuple[GeometryError, tuple[float, ...], tuple[float, ...], tuple[float, ...]],
    units: Units,
) -> None:
    error, lengths, angles, forces = row
    words = geometry_words(error, units)
    for length in lengths:
        size = length if units == "mm" else length / 25.4
        assert re.search(rf"(?<![\d.]){size:.{1 if units == 'mm' else 3}f}\d* {units}\b", words)
    for angle in angles:
        assert f"{math.degrees(angle):.2f}°" in words
    for force in forces:
        told = f"{force:.0f} N" if units == "mm" else f"{force / 4.4482216:.0f} lbf"
        assert told in words
    assert not re.search(OTHER[units], words)
    assert words.endswith(".")
    assert not words[0].islower()


@pytest.mark.parametrize("row", EXAMPLES, ids=lambda row: repr(row[0]))
def test_an_error_names_keys_of_a_setup_and_its_points_by_their_titles(
    row: tuple[GeometryError, object, object, object],
) -> None:
    error = row[0]
    assert set(error_keys(error)) <= KEYS.keys()
    assert [address[0] for address in error_addresses(error)] == list(error_keys(error))
    words = geometry_words(error, "mm").lower()
    if not isinstance(error, ShackleOutOfReach | NoUpperLink):  # said by what they are part of
        for key in error_keys(error):
            if KEYS[key].kind == "point":
                assert KEYS[key].title.lower() in words


@pytest.mark.parametrize("row", EXAMPLES, ids=lambda row: repr(row[0]))
def test_a_developer_reads_the_class_and_its_numbers(
    row: tuple[GeometryError, object, object, object],
) -> None:
    error = row[0]
    assert str(error).startswith(f"{type(error).__name__}(")
    for field in fields(error):  # type: ignore[arg-type]
        assert f"{field.name}={getattr(error, field.name)!r}" in str(error)
    assert " mm" not in str(error)
    assert error == type(error)(*(getattr(error, each.name) for each in fields(error)))  # type: ignore[arg-type]


def test_a_decimal_comma_is_used_where_it_is_the_readers() -> None:
    for error, lengths, *_ in EXAMPLES:
        words = geometry_words(error, "mm", ",")
        assert not re.search(r"\d\.\d", words)
        assert not lengths or re.search(r"\d,\d", words)


def test_no_error_is_shown_by_its_technical_line() -> None:
    with pytest.raises(NotImplementedError, match="no words for GeometryError"):
        geometry_words(GeometryError(), "mm")


@pytest.mark.parametrize(
    ("error", "words"),
    [  # as they were worded before errors carried numbers alone
        (
            DegenerateGeometry("front.tie_inner", "front.tie_outer", Flaw.NO_TIE_ROD),
            "Tie rod, inner end and tie rod, outer end are in one place, so there is no tie rod.",
        ),
        (
            DegenerateGeometry("rear.centre_bolt", "rear.front_eye", Flaw.NO_ROOM),
            "Spring, centre bolt and spring, front eye leave no room for the clamp between the "
            "eyes.",
        ),
        (
            OnOneLine("front.upper_ball", "front.upper_front", "front.upper_rear"),
            "Upper ball joint and upper arm, front pivot lie on one line with upper arm, rear "
            "pivot.",
        ),
        (
            TooFarApart("front.upper_front", "front.lower_ball", 1e6),
            "Upper arm, front pivot and lower ball joint are over a kilometre apart.",
        ),
        (
            LinksLoose(FreeMotion.PINION_ANGLE),
            "The links leave the axle free to move in pinion angle. Check that the upper links "
            "stand away from the lower ones and that the lateral link lies across the car.",
        ),
        (
            CoilsNeverCarry(8765.4),
            "The coils find no height at which they carry 8765 N: check their rates and free "
            "lengths.",
        ),
        (
            ImpossiblePack(PackFlaw.THICKNESS, 3, "thickness", 0.0),
            "Leaf 3 is 0.00 mm thick: more than zero is needed.",
        ),
        (
            ImpossiblePack(PackFlaw.INSIDE_CLAMP, 3, "front", 50.0, 60.0),
            "Leaf 3 ends 50.0 mm from the bolt at the front, inside the clamp (60.0 mm): lengthen "
            "it, or leave it out.",
        ),
        (
            ImpossiblePack(PackFlaw.TOO_LONG, 2, "front", 762.0, 635.0),
            "Leaf 2 is 762.0 mm long at the front, longer than the main leaf's 635.0 mm.",
        ),
        (
            ImpossiblePack(PackFlaw.HELPER_ON_TOP, 1, "contact", 5.0),
            "Leaf 1 is the main leaf and can't be a helper: take its contact away.",
        ),
        (ImpossiblePack(PackFlaw.NO_LEAF), "The pack has no leaf: give at least the main leaf."),
    ],
)
def test_sentences_of_a_car_in_mm(error: GeometryError, words: str) -> None:
    assert geometry_words(error, "mm") == words


def test_points_a_kilometre_apart_in_inches() -> None:
    words = geometry_words(TooFarApart(*BALLS, 1e6), "in")
    assert words.endswith(f" are over {1e6 / 25.4:.3f} in apart.")


def test_legs_that_do_not_meet_name_their_arm_and_no_part_between_its_pivots() -> None:
    words = geometry_words(
        LegsDontMeet("front.upper_front", "front.upper_rear", 476.8, 477.3), "mm"
    )
    assert words.startswith("Upper arm: its front and rear legs can't meet")
    assert "part between" not in words


def test_a_place_that_does_not_exist_has_no_dash_for_a_figure() -> None:
    words = geometry_words(Unreachable(*BALLS, 254.0, float("nan"), 0.0), "mm")
    assert "find no place" in words
    assert "254.0 mm" in words
    assert "–" not in words

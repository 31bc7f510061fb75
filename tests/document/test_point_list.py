"""A list of points that somebody else measured: read, refused line by line, laid and taken over."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from app.document.faults import SetupFaults
from app.document.files import read_setup
from app.document.laid_list import (
    doubtful_words,
    lay_list,
    misfit_words,
    refusal_words,
    taken_over,
)
from app.document.listed_names import known_points, matched, unclear_words
from app.document.model import Setup, frozen
from app.document.point_list import PointList, read_point_list
from app.document.rewriting import rewritten
from app.document.same import same_setup
from tests.document.examples import COIL
from tests.helpers.project import SAMPLE_FOLDER
from tests.helpers.reading import parse

SETUP = parse(COIL)
SALOON = SAMPLE_FOLDER / "small_saloon.toml"
TURN = Rotation.from_euler("xyz", [3.0, -8.0, 70.0], degrees=True)
SHIFT = np.array([350.0, -900.0, 42.0])
DATUM = ("front.lower_front", "front.lower_rear", "front.tie_inner", "front.upper_front")


def as_listed(setup: Setup, *keys: str, size: float = 1.0) -> str:
    """Return the car's points as somebody else's instrument gives them."""
    lines = ["point,x [mm],y [mm],z [mm],±"]
    for key in keys:
        x, y, z = TURN.apply(np.array(setup.readings[key]) - SHIFT) * size
        lines.append(f"{key},{x:.9f},{y:.9f},{z:.9f},0.4")
    return "\n".join(lines)


def test_both_decimal_signs_heads_and_units() -> None:
    """One list written in five ways."""
    plain = read_point_list("A,1.5,-2,3,0.1\nB,4,5,6", "list.csv").points
    comma = read_point_list("A;1,5;-2;3;±0,1\nB;4;5;6", "list.csv").points
    tabbed = read_point_list(
        "name\tx\ty\tz\t±\nA\t1,5\t−2\t3\t0,1\nB\t4\t5\t6\t", "list.csv"
    ).points
    turned = read_point_list(
        "\ufeffz (cm),name,x_cm,y (cm),error (cm)\n.3,A,.15,-.2,.01\n.6,B,.4,.5,", "list.csv"
    ).points
    commented = read_point_list("# by phone\n\nA,1.5,-2,3,0.1\n B , 4, 5, 6\n", "list.csv").points
    assert [point.name for point in plain] == ["A", "B"]
    assert plain[0].place == (1.5, -2.0, 3.0)
    assert [plain[0].within, plain[1].within] == [0.1, None]
    assert plain == comma == tabbed == commented
    for one, other in zip(plain, turned, strict=True):
        assert one.place == pytest.approx(other.place, abs=1e-12)


def test_inches_are_inches() -> None:
    assert read_point_list("A,1,2,3", "list.csv", "in").points[0].place[0] == 25.4
    assert read_point_list("name,x[m],y[m],z[m]\nA,1,2,3", "list.csv").points[0].place[0] == 1000.0


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("B,4,five,6", "line 2: found “B,4,five,6”; expected a name and three numbers"),
        ("B,4,5", "line 2: found “B,4,5”"),
        (",4,5,6", "line 2: found “,4,5,6”"),
        ("B,4,5,nan", "line 2: found"),
        ("B,4,5,1e9", "“B” is more than a kilometre away"),
        ("B,4,5,6,-1", "found “-1” as the ± of “B”; expected a number from 0 on"),
        ("A,4,5,6", "“A” stands in line 1 too; expected each name once"),
    ],
)
def test_each_line_that_is_no_point_is_named(line: str, words: str) -> None:
    with pytest.raises(SetupFaults) as faults:
        read_point_list(f"A,1,2,3\n{line}", "list.csv")
    assert words in str(faults.value)


@pytest.mark.parametrize(
    ("head", "words"),
    [("x [kg],y [kg],z [kg]", "found the unit “kg”"), ("x [mm],y [mm],z [in]", "mm and in in one")],
)
def test_a_unit_of_no_length_or_two_units_are_refused(head: str, words: str) -> None:
    with pytest.raises(SetupFaults, match=words):
        read_point_list(f"name,{head}\nA,1,2,3", "list.csv")


@pytest.mark.parametrize("text", ["", "name,x,y,z", "\n\n"])
def test_an_empty_list_is_refused(text: str) -> None:
    with pytest.raises(SetupFaults, match="found no point"):
        read_point_list(text, "list.csv")


def laid_points(text: str, datum: tuple[str, ...] = DATUM, setup: Setup = SETUP):  # type: ignore[no-untyped-def]
    points = read_point_list(text, "list.csv")
    laid = lay_list(setup, points, matched(setup, points), datum)
    assert laid is not None
    return laid


def test_a_turned_list_comes_back_to_where_the_points_were() -> None:
    text = as_listed(SETUP, *DATUM, "front.upper_ball", "front.lower_ball", "front.wheel_centre")
    laid = laid_points(text)
    assert laid.worst < 1e-6
    after = taken_over(SETUP, laid, "list.csv")
    for key in ("front.upper_ball", "front.lower_ball", "front.wheel_centre"):
        assert after.readings[key] == pytest.approx(SETUP.readings[key], abs=1e-3)
        assert after.point_notes[key] == f"from list.csv: {key}"
    for key in DATUM:
        assert after.readings[key] is SETUP.readings[key]
    assert same_setup(parse(rewritten(COIL, SETUP, after)), after)


def test_what_is_far_from_its_datum_is_known_less_well() -> None:
    near, far = laid_points(
        as_listed(SETUP, *DATUM, "front.upper_ball", "front.wheel_centre")
    ).taken
    assert 0.4 < max(near.within) < max(far.within)


def test_a_list_in_another_unit_and_a_slip_are_told() -> None:
    assert laid_points(as_listed(SETUP, *DATUM, size=0.1)).is_of_odd_size
    assert not laid_points(as_listed(SETUP, *DATUM)).is_of_odd_size
    lines = as_listed(SETUP, *DATUM).split("\n")
    name, x, *rest = lines[2].split(",")
    lines[2] = ",".join([name, str(float(x) + 30.0), *rest])
    words = doubtful_words(SETUP, laid_points("\n".join(lines)))
    assert words[0].startswith("“front.lower_rear” misses by")
    assert not doubtful_words(SETUP, laid_points(as_listed(SETUP, *DATUM)))


def test_names_as_people_write_them() -> None:
    names = (
        "front upper_ball",
        "Strut rod, body bush",
        "UPPER BALL right",
        "right upper ball",
        "Q",
    )
    points = PointList(
        tuple(read_point_list(f"{n.replace(',', ' ')},1,2,3", "l").points[0] for n in names), "mm"
    )
    keys = matched(SETUP, points)
    assert list(keys.values()) == [
        "front.upper_ball",
        "front.lower_front",
        "",
        "front.right.upper_ball",
        "",
    ]


def test_fewer_than_three_hold_nothing() -> None:
    points = read_point_list(as_listed(SETUP, *DATUM), "list.csv")
    assert lay_list(SETUP, points, matched(SETUP, points), DATUM[:2]) is None


def listed(*names: str) -> PointList:
    return read_point_list("\n".join(f"{name},{row},2,3" for row, name in enumerate(names)), "l")


def test_a_name_means_a_point_of_this_kind_of_car_only() -> None:
    """A leaf axle has no spring seats, so only the front's is meant; both ends have dampers."""
    saloon = read_setup(SALOON).setup
    assert saloon.readings["rear.kind"] == "leaf axle"
    points = listed("spring_body", "damper_body", "Front eye", "upper pivot")
    keys = matched(saloon, points)
    assert list(keys.values()) == ["front.spring_body", "", "rear.front_eye", ""]
    assert unclear_words(saloon, keys, "say which") == [
        "“damper_body” may be front.damper_body or rear.damper_body: say which."
    ]


def test_a_car_that_is_to_be_converted_has_the_points_of_both_axles() -> None:
    saloon = read_setup(SALOON).setup
    change = replace(saloon.changes[0], sets=frozen({"rear.kind": "five-link axle"}))
    points = known_points(saloon.having(changes=(change,)))
    assert {"rear.front_eye", "rear.spring_body"} <= set(points)
    assert "rear.spring_body" not in known_points(saloon)


def in_axes_of_the_other_hand(text: str) -> str:
    head, *lines = text.split("\n")
    cells = [line.split(",") for line in lines]
    return "\n".join([head, *(f"{n},{x},{-float(y)!r},{z},{w}" for n, x, y, z, w in cells)])


def test_a_mirrored_list_is_called_mirrored() -> None:
    text = as_listed(SETUP, *DATUM, "front.upper_ball", "front.wheel_centre")
    laid = laid_points(in_axes_of_the_other_hand(text))
    assert refusal_words(laid) == "The list is mirrored, so nothing is taken over"
    assert "left-handed" in misfit_words(SETUP, laid)[1]
    assert "within 0.0 mm" in misfit_words(SETUP, laid)[1]
    assert not refusal_words(laid_points(text))


def test_a_mirrored_list_over_three_points_is_seen_by_the_others() -> None:
    """Three points fit their mirror image as well as themselves: what else is known must tell."""
    others = ("front.upper_ball", "front.wheel_centre", "front.lower_ball")
    text = as_listed(SETUP, *DATUM[:3], *others)
    mirror = laid_points(in_axes_of_the_other_hand(text), DATUM[:3])
    assert mirror.worst < 1e-6
    assert mirror.mirrored is not None
    assert not mirror.fits
    assert laid_points(text, DATUM[:3]).fits


def test_three_points_that_nothing_else_helps_are_said_to_fit_either_hand() -> None:
    """A reflection of three points is a rotation too: neither the list nor its mirror is told."""
    unknown = SETUP.having(evidence=frozen(SETUP.readings).without("front.upper_ball"))
    text = as_listed(SETUP, *DATUM[:3], "front.upper_ball")
    for each in (text, in_axes_of_the_other_hand(text)):
        laid = laid_points(each, DATUM[:3], unknown)
        assert laid.fits
        assert laid.fits_either_hand
        assert "Three datum points can't tell left from right" in misfit_words(unknown, laid)[-1]
    told = laid_points(as_listed(SETUP, *DATUM, "front.upper_ball"), DATUM, unknown)
    assert not told.fits_either_hand
    assert len(misfit_words(unknown, told)) == 1


def test_a_sound_list_is_refused_once_in_a_thousand() -> None:
    """Points off by what list and car say they may be, 200 times: a real refusal is rare."""
    chance = np.random.default_rng(7)
    lines = as_listed(SETUP, *DATUM).split("\n")
    deviation = np.hypot(0.4, SETUP.readings["sheet.measured_within"]) / 2.0
    assert not SETUP.within.keys() & set(DATUM)
    refused = 0
    for _ in range(200):
        moved = [lines[0]]
        for line in lines[1:]:
            name, *numbers, within = line.split(",")
            x, y, z = np.array(numbers, dtype=float) + chance.normal(0.0, deviation, 3)
            moved.append(f"{name},{x:.9f},{y:.9f},{z:.9f},{within}")
        refused += bool(refusal_words(laid_points("\n".join(moved))))
    assert refused <= 2

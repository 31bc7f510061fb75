"""The alignment table: figures as the car stands, tolerances that agree with each other."""

from __future__ import annotations

import math
import re

import pytest

from app.document.plans import Aim
from app.judge.align import aligned
from app.judge.alignment_words import aim_texts
from app.systems.answers import Study
from app.systems.front.shop.targets import targets
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from app.systems.targets import Target, stands_by
from tests.helpers.aligning import car_to_align
from tests.helpers.long_cases import typical_of
from tests.helpers.sheets import bare, sample, with_all_on


def rows(done: Study[FrontAnswers]) -> dict[str, Target]:
    return {target.title: target for target in targets(done)}


def number(text: str) -> float:
    found = re.search(r"[−\d.]+", text)
    assert found is not None
    return float(found.group().replace("−", "-"))


def test_camber_and_caster_are_those_of_the_car_on_its_wheels() -> None:
    done = FRONT.study(sample("small_saloon"))
    settled = done.proposed.rest
    for title, key in (("Camber, + leans out", "camber"), ("Caster", "caster")):
        wanted = math.degrees(settled.values[key][0, 0])
        assert number(rows(done)[title].wanted[0]) == pytest.approx(wanted, abs=0.006)


def test_the_arch_comes_down_by_what_the_car_settles() -> None:
    done = FRONT.study(sample("small_saloon"))
    row, by = rows(done)["Ride height, wheel centre to arch"], stands_by(done)
    assert by is not None
    assert number(row.found[0]) - number(row.wanted[0]) == pytest.approx(by, abs=1.0)
    assert row.within == "± 3 mm"


def test_toe_that_is_reset_is_what_was_measured() -> None:
    done = FRONT.study(sample("small_saloon"))
    for title in ("Toe-in, each wheel", "Toe-in, total"):
        assert rows(done)[title].found == rows(done)[title].wanted


def test_toe_as_a_length_is_the_chord_of_the_angles() -> None:
    done = FRONT.study(sample("torsion_coupe"))  # over 370 mm
    total, length = rows(done)["Toe-in, total"], rows(done)["the same over 370 mm"]
    chord = 2 * 370.0 * math.sin(math.radians(number(total.wanted[0])) / 2)
    assert number(length.wanted[0]) == pytest.approx(chord, abs=0.06)
    half = 370.0 * math.sin(math.radians(number(total.within)))
    assert number(length.within) == pytest.approx(half, abs=0.05)


def test_what_the_file_wants_of_an_alignment_is_what_is_set() -> None:
    """Camber, caster and toe by `[front.targets]`, not as the model's car happens to come."""
    row = rows(FRONT.study(car_to_align()))
    for title, wanted, within in (
        ("Camber, + leans out", "0.00°", "± 0.25°"),
        ("Caster", "3.00°", "± 0.3°"),
        ("Toe-in, each wheel", "0.10°", "± 0.04°"),
        ("Toe-in, total", "0.20°", "± 0.08°"),
    ):
        assert (row[title].wanted, row[title].within) == ((wanted,), within)
    length = row["the same over 360 mm"]
    assert number(length.wanted[0]) == pytest.approx(360.0 * math.radians(0.2), abs=0.051)
    nothing_on = car_to_align(changes=())
    assert rows(FRONT.study(nothing_on))["Camber, + leans out"].wanted == ("0.50°",)


@pytest.mark.parametrize(("name", "length"), [("toe_mm", 0.6), ("toe_total_mm", 1.2)])
def test_a_toe_wanted_as_a_length_is_set_as_it_is_said(name: str, length: float) -> None:
    aims = {f"front.{name}": Aim(length, 0.25, "plain")}
    row = rows(FRONT.study(car_to_align(aims=aims)))
    assert row["the same over 360 mm"].wanted == ("1.2 mm",)
    each = math.degrees(math.asin(0.6 / 360.0))
    assert number(row["Toe-in, each wheel"].wanted[0]) == pytest.approx(each, abs=0.006)


def test_lopsided_cars_have_a_figure_a_side() -> None:
    row = rows(FRONT.study(sample("hillclimb_special")))["Camber, + leans out"]
    assert row.found == ("0.40°", "0.90°")
    assert len(row.wanted) == 2


def test_inches_are_said_as_a_shop_does() -> None:
    found = rows(FRONT.study(sample("inch_sedan")))
    assert found["Ride height, wheel centre to arch"].found == ("15 1/2 in",)
    assert found["the same over 15 in"].within == "± 1/32 in"


def test_without_masses_the_height_is_left_to_measure() -> None:
    done = FRONT.study(bare())
    assert stands_by(done) is None
    assert "Ride height, wheel centre to arch" not in rows(done)


def test_with_every_change_on_there_is_a_figure_in_every_row() -> None:
    for name in ("small_saloon", "inch_sedan", "torsion_coupe"):
        for target in targets(FRONT.study(with_all_on(sample(name)))):
            assert all(re.search(r"\d", figure) for figure in (*target.found, *target.wanted))


SHARED = (
    (0.05, "± 0.025°", "± 0.05°"),
    (0.08, "± 0.04°", "± 0.08°"),
    (0.5, "± 0.25°", "± 0.5°"),
)


@pytest.mark.parametrize(
    ("within", "each", "total"),
    typical_of(SHARED, SHARED[:1]),
)
def test_what_a_total_leaves_each_wheel_is_never_more_than_half(
    within: float, each: str, total: str
) -> None:
    aims = {"front.toe_total": Aim(math.radians(0.25), math.radians(within), "angle")}
    setup = car_to_align(aims=aims)
    row = rows(FRONT.study(setup))
    assert (row["Toe-in, each wheel"].within, row["Toe-in, total"].within) == (each, total)
    assert row["Toe-in, each wheel"].wanted == ("0.125°",)
    told = aim_texts(aligned(setup), "toe")
    assert told == ("0.125", each.strip("± °"))

"""Pictures and tables hold a second car that is laid over, and say which car each line is."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from app.drawing.strokes import LineKind
from app.drawing.views import View
from app.export.curves_leaf import CurveChoice, curves_leaf
from app.export.drawing_leaf import drawing_leaf, drawings_of
from app.export.leaf import SecondCar
from app.export.tables import about, curves_table, points_table, results_table
from app.systems.answers import Study
from app.systems.front.system import FRONT
from tests.export.test_export import IMPRINT, columns, words_of
from tests.helpers.entering import sample

pytestmark = pytest.mark.gui
NAME = "Tolland Overlook Six, as built"


@cache
def first() -> Study:
    return FRONT.study(sample("small_saloon"))


@cache
def second(is_alone: bool = False) -> SecondCar:
    other = FRONT.study(sample("inch_sedan").having(units="mm"))
    return SecondCar(other, NAME, "six.toml", is_alone)


@pytest.mark.parametrize("make", [drawing_leaf, curves_leaf])
def test_a_picture_says_which_line_is_the_second_car(make: object, tmp_path: Path) -> None:
    what = View.FRONT if make is drawing_leaf else CurveChoice()
    words = words_of(make(first(), what, IMPRINT, second()), tmp_path)
    assert "Second car: Tolland Overlook Six. As built: on its springs, 5 mm lower" in words
    assert "Ferncote Linnet 1500" in words
    for legend in ("as built", "as found", "second car"):
        assert legend in words
    alone = words_of(make(first(), what, IMPRINT, second(is_alone=True)), tmp_path)
    assert f"Shown alone: {NAME}." in alone
    assert "six.toml" in alone
    assert "Ferncote" not in alone  # whose car it isn't
    assert "small_saloon.toml" not in alone
    assert "second car" not in alone


def kinds(car: SecondCar | None) -> list[LineKind]:
    strokes = drawings_of(first(), View.FRONT, ".", car)[View.FRONT].strokes
    return [stroke.kind for stroke in strokes if hasattr(stroke, "kind")]


def test_the_second_car_is_drawn_in_its_own_lines_and_alone_as_a_car_of_its_own() -> None:
    both, one = kinds(second()), kinds(None)
    assert both.count(LineKind.SECOND_CAR) > 10
    assert sorted(k.name for k in both if k is not LineKind.SECOND_CAR) == sorted(
        k.name for k in one
    )
    alone = kinds(second(is_alone=True))
    assert LineKind.PROPOSED in alone
    assert not {LineKind.MEASURED, LineKind.SECOND_CAR} & {*alone}


def test_tables_have_columns_of_the_second_car() -> None:
    its = second()
    (line,) = (row for row in about(first(), "points", IMPRINT, its) if "Second car" in row[0])
    assert line[0].startswith("Second car: Tolland Overlook Six.")
    own = {(row["Point"], row["Side"]): row for row in columns(points_table(its.study))}
    shared = 0
    for row in columns(points_table(first(), second=its)):
        alone = own.get((row["Point"], row["Side"]), {})
        shared += bool(alone)
        for axis in ("X (+ ahead)", "Y (+ left)", "Z (+ up)"):
            assert row[f"{axis} second car, mm"] == alone.get(f"{axis} as built, mm", "")
    assert shared > 8
    told = {(row["Result"], row["Wheel"]): row for row in columns(results_table(its.study))}
    rows = columns(results_table(first(), second=its))
    wheels = [row for row in rows if row["Wheel"] and row["Second car"]]
    assert len(wheels) > 40
    for row in wheels:
        assert row["Second car"] == told[row["Result"], row["Wheel"]]["As built"]
    rest = next(
        row
        for row in columns(curves_table(first(), "travel", second=its))
        if float(row["Wheel travel (+ bump), mm"]) == 0.0
    )
    camber = rest["Camber, left wheel, second car, °"]
    assert camber == told["Camber", "left"]["As built"]

"""Pictures and tables as files: looked at, and read back as numbers."""

from __future__ import annotations

import csv
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from app.systems.rear.system import REAR

pytest.importorskip("PySide6")

from pypdf import PdfReader
from PySide6.QtGui import QImage
from PySide6.QtSvg import QSvgRenderer

from app.document.edits import rename_change, set_title
from app.document.model import Setup
from app.document.plain_text import one_line
from app.drawing.views import View
from app.export.curves_leaf import CurveChoice, curves_leaf
from app.export.drawing_leaf import BARS, LONGEST, SCALES, drawing_leaf
from app.export.leaf import Imprint, Leaf, changes_words
from app.export.pictures import image_of, write_leaf
from app.export.tables import (
    Row,
    about,
    curves_table,
    points_table,
    results_table,
    tabbed,
    write_table,
)
from app.paper.sizes import A4, LETTER
from app.systems.answers import Study
from app.systems.front.system import FRONT
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

LENGTHS = {"mm": 1.0, "in": 25.4}
IMPRINT = Imprint(A4, date(2026, 11, 29), "small_saloon.toml")


def columns(rows: list[Row]) -> list[dict[str, str]]:
    head, *body = rows
    return [dict(zip(head, row, strict=True)) for row in body]


def words_of(leaf: Leaf, folder: Path) -> str:
    """The words of a picture, from its SVG."""
    write_leaf(leaf, folder / "words.svg")
    return " ".join(ElementTree.parse(folder / "words.svg").getroot().itertext())


def ink(path: Path) -> float:
    """The share of a picture that isn't its paper."""
    image = QImage(str(path)).convertToFormat(QImage.Format.Format_Grayscale8)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(-1, image.bytesPerLine())
    return float((pixels < 128).mean())


@pytest.mark.parametrize("view", [None, *View])
def test_a_drawing_is_a_picture_that_knows_its_size(view: View | None, tmp_path: Path) -> None:
    path = tmp_path / "front.png"
    write_leaf(drawing_leaf(FRONT.study(sample("small_saloon")), view, IMPRINT), path)
    assert 0.003 < ink(path) < 0.2
    image = QImage(str(path))
    assert 1000 * image.width() / image.dotsPerMeterX() == pytest.approx(297.0, abs=0.3)


@pytest.mark.parametrize("make", ["drawing", "curves"])
def test_a_picture_says_which_car_it_is_of(make: str, tmp_path: Path) -> None:
    study = FRONT.study(sample("small_saloon"))
    leaf = (
        drawing_leaf(study, None, IMPRINT)
        if make == "drawing"
        else curves_leaf(study, CurveChoice(), IMPRINT)
    )
    words = words_of(leaf, tmp_path)
    for text in (
        "Ferncote Linnet 1500",
        "The change that is on: Upper pivots 22 mm lower.",
        "As built: on its springs, 24 mm lower at the front",
        "29 Nov 2026",
        "as found",
        "as built",
        "small_saloon.toml",
    ):
        assert text in words
    assert QSvgRenderer(str(tmp_path / "words.svg")).isValid()


def test_a_car_as_measured_has_one_kind_of_line(tmp_path: Path) -> None:
    setup = sample("small_saloon").having(changes=())
    words = words_of(drawing_leaf(FRONT.study(setup), View.SIDE, IMPRINT), tmp_path)
    assert "As measured: no change is on." in words
    assert "as built" not in words.lower()


@pytest.mark.parametrize(("name", "paper"), [("small_saloon", A4), ("inch_sedan", LETTER)])
def test_a_pdf_is_one_page_of_the_paper_on_its_side(name: str, paper: Any, tmp_path: Path) -> None:
    path = tmp_path / "front.pdf"
    write_leaf(drawing_leaf(FRONT.study(sample(name)), None, Imprint(paper)), path)
    reader = PdfReader(str(path))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    sizes = float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4
    assert sizes == pytest.approx((paper.height, paper.width), abs=0.4)


@pytest.mark.parametrize(("name", "unit"), [("small_saloon", "mm"), ("inch_sedan", "in")])
def test_the_bar_is_as_long_as_the_scale_says(name: str, unit: str, tmp_path: Path) -> None:
    """Measured in the picture: the longest line on the bar's row."""
    leaf = drawing_leaf(FRONT.study(sample(name)), None, IMPRINT)
    words = words_of(leaf, tmp_path)
    stated = re.search(r"1 : ([\d.]+) at 100 %", words)
    bar = re.search(rf"\n\s*(\d+) {unit}\s*\n", words)
    assert stated is not None
    assert bar is not None
    length, scale = float(bar[1]), float(stated[1])
    image = image_of(leaf).convertToFormat(QImage.Format.Format_Grayscale8)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    dots = image.dotsPerMeterX() / 1000
    y = round((leaf.height - 10.0 - 12.0 + 2.0 + 4.4) * dots)
    row = pixels[y, : image.width()] < 128
    row[: image.width() // 2] = False
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(int), [0]])))
    longest = np.diff(edges.reshape(-1, 2)).max()
    assert longest / dots == pytest.approx(length * LENGTHS[unit] / scale, abs=0.4)


def test_a_view_alone_is_no_smaller_than_among_all(tmp_path: Path) -> None:
    study, scales = FRONT.study(sample("small_saloon")), []
    for view in (None, *View):
        found = re.search(r"1 : ([\d.]+)", words_of(drawing_leaf(study, view, IMPRINT), tmp_path))
        assert found is not None
        scales.append(float(found[1]))
    assert max(scales[1:]) <= scales[0]
    assert min(scales[1:]) < scales[0]


def test_there_is_a_bar_for_every_scale() -> None:
    for bars in BARS.values():
        for scale in SCALES:
            assert any(8.0 < length / scale <= LONGEST for length, _ in bars)


@pytest.mark.parametrize(
    ("over", "axis"), [("travel", "wheel travel, in"), ("roll", "body roll, °"), ("steer", "steer")]
)
def test_a_unit_stands_beside_every_axis(over: Any, axis: str, tmp_path: Path) -> None:
    study = FRONT.study(sample("inch_sedan"))
    words = words_of(curves_leaf(study, CurveChoice(over, side=1), IMPRINT), tmp_path)
    for text in (axis, "Camber, °", "Roll centre, in", "Wheel rate, lbf/in", "Right wheel."):
        assert text in words


def test_the_clipboards_picture_is_that_of_the_file(tmp_path: Path) -> None:
    leaf = curves_leaf(FRONT.study(sample("small_saloon")), CurveChoice(), IMPRINT)
    write_leaf(leaf, tmp_path / "curves.png")
    assert QImage(str(tmp_path / "curves.png")) == image_of(leaf)


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "hillclimb_special"])
def test_the_table_of_points_is_in_the_files_units(name: str) -> None:
    setup = sample(name)
    rows = columns(points_table(FRONT.study(setup)))
    assert len(rows) >= len(points(setup))
    measured = [
        tuple(
            float(row[f"{axis} as found, {setup.units}"]) * LENGTHS[setup.units]
            for axis in ("X (+ ahead)", "Y (+ left)", "Z (+ up)")
        )
        for row in rows
        if row[f"X (+ ahead) as found, {setup.units}"]
    ]
    for key in points(setup):
        there = setup.evidence[key]
        assert any(place == pytest.approx(there, abs=0.01) for place in measured), key


def points(setup: Setup) -> set[str]:
    tuples = {key for key, value in setup.evidence.items() if isinstance(value, tuple)}
    return {k for k in tuples if k.startswith("front.") and not k.endswith("_axis")}


def test_a_moved_point_is_proposed_where_the_change_puts_it() -> None:
    rows = columns(points_table(FRONT.study(sample("small_saloon"))))
    moved = [row for row in rows if row["Z (+ up) change, mm"] == "-22.00"]
    assert len(moved) == 2
    for row in moved:
        found, built = row["Z (+ up) as found, mm"], row["Z (+ up) as built, mm"]
        assert float(built) - float(found) == pytest.approx(-22.0)


def test_the_results_are_both_cars_values() -> None:
    rows = columns(results_table(FRONT.study(sample("small_saloon"))))
    by_title = {row["Result"]: row for row in rows if row["Wheel"] != "right"}
    assert float(by_title["Camber"]["As found"]) == 0.5  # as the file gives it
    assert by_title["Camber"]["Unit"] == "°"
    assert by_title["Camber"]["As built means"] == "top leans out"
    for row in rows:
        if row["As found"] and row["As built"]:
            change = float(row["As built"]) - float(row["As found"])
            places = len(row["Change"].partition(".")[2])
            assert float(row["Change"]) == pytest.approx(change, abs=1.01 * 10.0**-places)


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan"])
@pytest.mark.parametrize("solve", [FRONT.study, REAR.study])
def test_no_cell_is_a_programs(name: str, solve: Callable[[Setup], Study[Any]]) -> None:
    study = solve(sample(name))
    for rows in (points_table(study), results_table(study), curves_table(study, "roll")):
        assert len({len(row) for row in rows}) == 1
        for head in rows[0]:
            assert "_" not in head
            assert head[0].isupper() or head[0] in "+-"
        for row in rows[1:]:
            for cell in row:
                assert not re.fullmatch(r"-0?[.,]?0*|.*\de-?\d+", cell), cell
                assert "_" not in cell


@pytest.mark.parametrize(("over", "count"), [("travel", 61), ("roll", 41), ("steer", 41)])
def test_curves_are_a_table_with_a_row_a_step(over: Any, count: int) -> None:
    rows = columns(curves_table(FRONT.study(sample("inch_sedan")), over))
    assert len(rows) == count
    driver = next(iter(rows[0]))
    middle = min(rows, key=lambda row: abs(float(row[driver])))
    assert float(middle["Camber, left wheel, as found, °"]) == pytest.approx(0.25, abs=0.05)


@pytest.mark.parametrize(("decimal", "between"), [(".", ","), (",", ";")])
def test_a_file_is_as_spreadsheets_of_its_decimal_sign_expect(
    decimal: str, between: str, tmp_path: Path
) -> None:
    rows = results_table(FRONT.study(sample("small_saloon")), decimal)
    write_table(rows, tmp_path / "results.csv", decimal)
    with (tmp_path / "results.csv").open(newline="", encoding="utf-8-sig") as file:
        read = list(csv.reader(file, delimiter=between))
    assert read == [list(row) for row in rows]
    camber = next(row for row in read if row[1] == "Camber")
    assert camber[4].replace(decimal, ".") == "0.500"


def test_a_table_says_whose_it_is() -> None:
    study = FRONT.study(sample("small_saloon"))
    lines = tabbed(about(study, "results", IMPRINT)).splitlines()
    assert lines[0].startswith("Ferncote Linnet 1500")
    assert lines[1] == "Front: results"
    assert changes_words(study.setup) in lines
    assert lines[-1] == "29 Nov 2026 · small_saloon.toml"


def test_a_picture_that_cant_be_written_leaves_nothing(tmp_path: Path) -> None:
    leaf = drawing_leaf(FRONT.study(sample("small_saloon")), None, IMPRINT)
    names = ("there.csv", "there.pdf", "there.png", "there.svg")
    for name in names:
        place = tmp_path / name
        place.mkdir()
        with pytest.raises(OSError, match=name):
            write_table([["x"]], place) if name.endswith("csv") else write_leaf(leaf, place)
    assert sorted(path.name for path in tmp_path.iterdir()) == list(names)


NASTY = "Tern\x1b[2J\x00\x07 \u202elinnet\ufffe <b>&\n1600"


@pytest.mark.parametrize("solve", [FRONT.study, REAR.study])
def test_names_with_control_characters_give_well_formed_pictures(
    solve: Callable[[Setup], Study[Any]], tmp_path: Path
) -> None:
    setup = set_title(sample("small_saloon"), NASTY)
    for index in range(len(setup.changes)):
        setup = rename_change(setup, index, f"{index} {NASTY}")
    study = solve(setup)
    leaves = drawing_leaf(study, None, IMPRINT), curves_leaf(study, CurveChoice(), IMPRINT)
    for number, leaf in enumerate(leaves):
        path = tmp_path / f"{number}.svg"
        write_leaf(leaf, path)
        root = ElementTree.fromstring(path.read_bytes())
        words = "".join(root.itertext())
        assert "Tern\ufffd[2J\ufffd\ufffd \ufffdlinnet\ufffd <b>& 1600" in words
        assert one_line(words) == words.replace("\n", " ")

"""Pictures and tables as files: looked at, and read back as numbers."""

from __future__ import annotations

import csv
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from app.systems.rear.system import REAR

pytest.importorskip("PySide6")

from PySide6.QtGui import QImage
from PySide6.QtSvg import QSvgRenderer

from app.document.edits import rename_change, set_title
from app.document.model import Setup
from app.document.plain_text import one_line
from app.drawing.views import View
from app.export import (
    write_curve_table,
    write_curves,
    write_drawing,
    write_points,
    write_results,
)
from app.systems.answers import Study
from app.systems.front.system import FRONT
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

LENGTHS = {"mm": 1.0, "in": 25.4}


def table(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def ink(path: Path) -> float:
    """The share of a picture that isn't its paper."""
    image = QImage(str(path)).convertToFormat(QImage.Format.Format_Grayscale8)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(-1, image.bytesPerLine())
    return float((pixels < 128).mean())


@pytest.mark.parametrize("palette", ["print", "light"])
def test_a_drawing_is_a_picture_of_three_views(palette: str, tmp_path: Path) -> None:
    path = tmp_path / "front.png"
    write_drawing(FRONT.study(sample("small_saloon")), path, palette=palette)
    assert 0.003 < ink(path) < 0.2


def test_one_view_alone_is_smaller_than_all(tmp_path: Path) -> None:
    done = FRONT.study(sample("small_saloon"))
    sizes = {}
    for name, view in (("all", None), ("side", View.SIDE)):
        write_drawing(done, tmp_path / f"{name}.png", view=view)
        image = QImage(str(tmp_path / f"{name}.png"))
        sizes[name] = image.width() * image.height()
    assert sizes["side"] < 0.5 * sizes["all"]


def test_an_svg_keeps_its_words_as_words(tmp_path: Path) -> None:
    path = tmp_path / "front.svg"
    write_drawing(FRONT.study(sample("small_saloon")), path)
    words = " ".join(ElementTree.parse(path).getroot().itertext())
    for text in ("22 lower", "roll centre 93 mm", "Ferncote Linnet 1500"):
        assert text in words
    assert QSvgRenderer(str(path)).isValid()


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_curves_are_a_picture(ending: str, tmp_path: Path) -> None:
    path = tmp_path / f"curves.{ending}"
    write_curves(FRONT.study(sample("inch_sedan")), path, keys=("camber", "bump_steer"))
    assert path.stat().st_size > 2000


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "hillclimb_special"])
def test_the_table_of_points_is_in_the_files_units(name: str, tmp_path: Path) -> None:
    setup = sample(name)
    write_points(FRONT.study(setup), tmp_path / "points.csv")
    rows = table(tmp_path / "points.csv")
    assert {row["key"] for row in rows} == points(setup)
    for row in rows:
        numbers = [float(row[f"measured {axis} [{setup.units}]"]) for axis in "XYZ"]
        inside = [number * LENGTHS[setup.units] for number in numbers]
        assert inside == pytest.approx(setup.evidence[row["key"]])


def points(setup: Setup) -> set[str]:
    tuples = {key for key, value in setup.evidence.items() if isinstance(value, tuple)}
    return {k for k in tuples if k.startswith("front.") and not k.endswith("_axis")}


def test_a_moved_point_is_proposed_where_the_change_puts_it(tmp_path: Path) -> None:
    write_points(FRONT.study(sample("small_saloon")), tmp_path / "points.csv")
    row = next(r for r in table(tmp_path / "points.csv") if r["key"] == "front.upper_front")
    assert float(row["proposed Z [mm]"]) - float(row["measured Z [mm]"]) == pytest.approx(-22.0)


def test_the_results_are_both_cars_values(tmp_path: Path) -> None:
    write_results(FRONT.study(sample("small_saloon")), tmp_path / "results.csv")
    rows = {row["key"]: row for row in table(tmp_path / "results.csv")}
    assert rows["camber"]["measured left"] == "0.5"  # as the file gives it
    assert rows["camber"]["unit"] == "°"
    assert float(rows["toe"]["proposed left"]) == pytest.approx(0.1, abs=1e-6)
    assert rows["bump_steer_range"]["measured right"] == ""
    assert (rows["roll_steer"]["+ means"], rows["roll_steer"]["- means"]) == (
        "understeer",
        "oversteer",
    )


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan"])
def test_no_cell_is_minus_nought_or_what_rounding_leaves(tmp_path: Path, name: str) -> None:
    study = FRONT.study(sample(name))
    write_results(study, tmp_path / "results.csv")
    write_curve_table(study, tmp_path / "curves.csv", "roll")
    for table_name in ("results.csv", "curves.csv"):
        for row in table(tmp_path / table_name):
            for cell in row.values():
                assert cell != "-0"
                assert not re.fullmatch(r"-?[\d.]+e-1\d", cell), cell


@pytest.mark.parametrize(("over", "count"), [("travel", 61), ("roll", 41), ("steer", 41)])
def test_curves_are_a_table_with_a_row_a_step(over: str, count: int, tmp_path: Path) -> None:
    path = tmp_path / "curves.csv"
    write_curve_table(FRONT.study(sample("inch_sedan")), path, over)  # type: ignore[arg-type]
    rows = table(path)
    assert len(rows) == count
    driver = f"{over} [{'°' if over == 'roll' else 'in'}]"
    middle = min(rows, key=lambda row: abs(float(row[driver])))
    assert float(middle["measured camber left [°]"]) == pytest.approx(0.25, abs=0.05)


def test_a_picture_that_cant_be_written_leaves_nothing(tmp_path: Path) -> None:
    done = FRONT.study(sample("small_saloon"))
    for name in ("there.png", "there.svg", "there.csv"):
        place = tmp_path / name
        place.mkdir()
        write = write_points if name.endswith("csv") else write_drawing
        with pytest.raises(OSError, match=name):
            write(done, place)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "there.csv",
        "there.png",
        "there.svg",
    ]


NASTY = "Tern\x1b[2J\x00\x07 \u202elinnet\ufffe <b>&\n1600"


@pytest.mark.parametrize("solve", [FRONT.study, REAR.study])
def test_names_with_control_characters_give_well_formed_pictures(
    solve: Callable[[Setup], Study[Any]], tmp_path: Path
) -> None:
    setup = set_title(sample("small_saloon"), NASTY)
    for index in range(len(setup.changes)):
        setup = rename_change(setup, index, f"{index} {NASTY}")
    for number, write in enumerate((write_drawing, write_curves)):
        path = tmp_path / f"{number}.svg"
        write(solve(setup), path)
        root = ElementTree.fromstring(path.read_bytes())
        words = "".join(root.itertext())
        assert "Tern\ufffd[2J\ufffd\ufffd \ufffdlinnet\ufffd <b>& 1600" in words
        assert one_line(words) == words.replace("\n", " ")

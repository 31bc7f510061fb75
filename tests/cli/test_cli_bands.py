"""`wishboard bands`: how far results may be off, as a table, as JSON and as CSV."""

from __future__ import annotations

import csv
import io
import json
import re
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import pytest

from app.cli.commands import run
from app.document.samples import first_sample

FEW = ["--samples", "200"]


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["bands", *words], lambda path: 0) == 0
    return capsys.readouterr().out


def bands(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(answer(capsys, *words, "--json"))
    return whole


@pytest.fixture(scope="module")
def rear() -> dict[str, Any]:
    with redirect_stdout(io.StringIO()) as out:
        words = ["bands", str(first_sample()), "--axle", "rear", "--samples", "0", "--json"]
        assert run(words, lambda path: 0) == 0
    told: dict[str, Any] = json.loads(out.getvalue())
    return told


@pytest.fixture(scope="module")
def table() -> str:
    with redirect_stdout(io.StringIO()) as out:
        assert run(["bands", str(first_sample()), *FEW], lambda path: 0) == 0
    return out.getvalue()


def test_json_has_each_result_of_both_cars_and_of_the_move(
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = str(first_sample())
    told = bands(capsys, path, "--at", "-40", "0", "40", *FEW)
    assert told["travel_mm"] == [-40.0, 0.0, 40.0]
    for car in ("found", "built", "moves"):
        for numbers in (told[car]["camber_deg"], told[car]["right"]["camber_deg"]):
            assert {len(numbers[part]) for part in ("value", "within")} == {3}
        assert len(told[car]["bump_steer_range_deg"]["value"]) == 1
    height = "roll_centre_height_mm"
    for place in range(3):
        values = {car: told[car][height]["value"][place] for car in ("found", "built", "moves")}
        assert values["moves"] == pytest.approx(values["built"] - values["found"])
    assert told["moves"][height]["within"][1] < told["built"][height]["within"][1] / 2.0
    assert told["method"]["camber_deg"] == "linear"
    assert told["method"]["swing_arm_length_mm"] == "sampled"
    low, high = (told["built"]["swing_arm_length_mm"][part][1] for part in ("low", "high"))
    assert told["built"]["swing_arm_length_mm"]["within"][1] == pytest.approx((high - low) / 2.0)


def test_limits_readings_and_holes_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    told = bands(capsys, str(first_sample()), *FEW)
    assert told["travel_mm"] == [0.0]
    chances = {one["result"]: one["kept_probability"] for one in told["limits"]}
    assert chances["camber_deg"] == pytest.approx(1.0)
    assert 0.05 < chances["bump_steer_range_deg"] < 0.95
    assert told["drill_within_mm"] == 0.0
    assert sum(one["share"] for one in told["again"]) == pytest.approx(1.0)
    for name in told["again"][0]["shares"]:
        assert sum(one["shares"][name] for one in told["again"]) == pytest.approx(1.0)
    assert told["again"][0]["reading"].startswith("front.")


def test_the_value_is_the_one_that_curves_tell(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(first_sample())
    told = bands(capsys, path, "--over", "roll", "--at", "2", "--samples", "0")
    run(["curves", path, "--over", "roll", "--at", "2", "--json"], lambda path: 0)
    curves = json.loads(capsys.readouterr().out)
    for car in ("found", "built"):
        for name in ("camber_road_deg", "roll_centre_height_mm"):
            assert told[car][name]["value"] == pytest.approx(curves[car][name], rel=1e-6)


def test_the_rear_has_bands_too(rear: dict[str, Any]) -> None:
    assert rear["axle"] == "rear"
    assert rear["built"]["roll_steer"]["within"][0] > 0.0
    assert "side_centre_x_mm" not in rear["built"]


def test_csv_has_a_row_a_pose(capsys: pytest.CaptureFixture[str]) -> None:
    text = answer(capsys, str(first_sample()), "--at", "0", "20", "--samples", "0", "-o", "-")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [float(row["travel_mm"]) for row in rows] == [0.0, 20.0]
    assert float(rows[1]["built right camber_deg within"]) > 0.0


def test_the_table_says_each_band_and_what_stays_open(table: str) -> None:
    assert "Roll centre height" in table
    assert "Measure again first" in table
    assert "Drill within" in table
    assert "may or may not be kept" in table
    row = next(line for line in table.splitlines() if line.startswith("  Roll centre height"))
    assert row.split()[3:] == ["80", "6", "93", "6", "+13.1", "1.5", "mm"]


def test_a_car_that_says_nothing_of_its_readings_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = first_sample().read_text(encoding="utf-8").splitlines()
    path = tmp_path / "car.toml"
    path.write_text("\n".join(line for line in lines if "measured_within" not in line))
    assert run(["bands", str(path)], lambda path: 0) == 1
    assert "doesn't say how well anything was measured" in capsys.readouterr().err


def test_too_few_samples_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bands", str(first_sample()), "--samples", "7"], lambda path: 0) == 2
    assert "0, or 40 to" in capsys.readouterr().err


def test_what_reaches_through_infinity_has_a_note_and_no_figure(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Upper and lower arms that are parallel in the front view meet nowhere."""
    path = first_sample()
    text = path.read_text()
    for old, new in (
        ("upper_front  = [98.0, 372.0, 560.0]", "upper_front  = [98.0, 372.0, 561.6]"),
        ("upper_rear   = [-112.0, 378.0, 553.0]", "upper_rear   = [-112.0, 378.0, 561.6]"),
    ):
        assert old in text
        text = text.replace(old, new)
    level = tmp_path / "level.toml"
    level.write_text(text)
    told = bands(capsys, str(level), "--axle", "front", *FEW)
    arm = told["found"]["swing_arm_length_mm"]
    assert arm["within"] == [None]
    (note,) = (note for note in told["notes"] if note.startswith("As found, through infinity"))
    assert "Swing arm length" in note
    table = answer(capsys, str(level), "--axle", "front", *FEW)
    row = next(line for line in table.splitlines() if "Swing arm length" in line)
    assert row.split()[3] == "–"


def test_leaves_that_count_as_exact_are_said(rear: dict[str, Any], table: str) -> None:
    assert any("leaves count as exact" in note for note in rear["notes"])
    assert "leaves" not in table  # of the front


def test_a_car_without_changes_has_no_column_as_built(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], table: str
) -> None:
    text = first_sample().read_text()
    assert "as built" in table
    path = tmp_path / "car.toml"
    path.write_text(re.sub(r"^on = true", "on = false", text, flags=re.MULTILINE))
    table = answer(capsys, str(path), "--samples", "0")
    assert "Limits, and how probably they are kept" in table
    assert "as found" in table
    assert "as built" not in table


def test_a_car_that_was_measured_exactly_has_figures_with_no_band(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = first_sample().read_text(encoding="utf-8")
    exact = tmp_path / "exact.toml"
    exact.write_text(re.sub(r"measured_within = [\d.]+", "measured_within = 0", text), "utf-8")
    words = answer(capsys, str(exact), *FEW)
    assert "measured exactly, within 0: each ± is 0" in " ".join(words.split())
    assert re.search(r"Roll centre height +80\.2 +0 +93\.4 +0 +\+13\.1 +0 +mm", words)
    told = bands(capsys, str(exact), *FEW)
    for name in ("camber_deg", "bump_steer_range_deg", "swing_arm_length_mm"):
        assert told["built"][name]["within"] == [0.0]
    assert all(one["kept_probability"] in (0.0, 1.0) for one in told["limits"])
    assert told["again"] == []
    assert told["drill_within_mm"] > 0.0

"""`wishboard clearance`: a table with the nearest pose, and JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.files import text_of
from app.document.model import Setup
from tests.systems.clearance.test_clearances import saloon


def ran(setup: Setup, tmp_path: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    car = tmp_path / "car.toml"
    car.write_text(text_of(setup))
    assert run([words[0], str(car), *words[1:]], lambda _: 0) == 0
    return capsys.readouterr().out


def test_the_table_tells_figures_limit_and_pose(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = ran(saloon(), tmp_path, capsys, "clearance", "--axle", "front")
    assert "Tyre to inner wing" in out
    assert "at least 12.0 mm" in out
    assert "66 mm to" in " ".join(out.split())
    assert "Rear" not in out


def test_inches_are_told_in_inches(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = ran(saloon().having(units="in"), tmp_path, capsys, "clearance")
    assert " mm" not in out
    assert " in" in out


def test_a_file_without_clearances_says_how_they_are_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    setup = saloon().having(envelopes=(), clearances=())
    assert "[[front.clearance]]" in ran(setup, tmp_path, capsys, "clearance").replace("\n", " ")


def test_json_and_the_report_have_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = json.loads(ran(saloon(), tmp_path, capsys, "clearance", "--json"))
    assert [one["between"] for one in answer["clearances"]][:2] == [
        ["tyre", "inner wing"],
        ["tyre", "spring"],
    ]
    first = answer["clearances"][0]
    assert first["at_least_mm"] == 12.0
    assert set(first["built"]) == {"left", "right"}
    assert set(first["built"]["left"]) >= {"gap_mm", "travel_mm", "steer_mm", "on_first_mm"}
    report = json.loads(ran(saloon(), tmp_path, capsys, "report", "--json"))
    both = [*report["clearances"], *report["rear"]["clearances"]]
    assert both == answer["clearances"]


def test_the_report_tells_clearances_and_what_is_not_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = " ".join(ran(saloon(), tmp_path, capsys, "report", "--axle", "rear").split())
    assert "Rear: clearances" in out or "Clearances, the least over travel and lean" in out
    assert "Tube touches rail" in out

"""`wishboard survey`: tables, JSON and CSV of readings that agree or don't."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.files import text_of
from app.document.model import Setup
from tests.judge.test_survey import CAR, PAIRS, misread, taped


def ran(
    setup: Setup, tmp_path: Path, capsys: pytest.CaptureFixture[str], *more: str, of: str = "survey"
) -> str:
    car = tmp_path / "car.toml"
    car.write_text(text_of(setup))
    assert run([of, str(car), *more], lambda _: 0) == 0
    return capsys.readouterr().out


def test_table_names_the_doubtful_tape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = ran(misread(taped(), 4, 8.0), tmp_path, capsys)
    assert "Look again: tape 4 (Upper arm, rear pivot – upper ball joint)" in out
    assert out.count("misread by less than") == len(PAIRS)
    assert "Points that tapes end at" in out


def test_inches_are_told_in_inches(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = ran(misread(taped(), 4, 8.0).having(units="in"), tmp_path, capsys)
    assert "8 tapes · in" in out
    assert " mm" not in out


def test_json_has_every_reading(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    setup = misread(taped(), 4, 8.0).having(units="in")
    answer = json.loads(ran(setup, tmp_path, capsys, "--json"))
    assert set(answer) >= {"points", "tape", "doubtful", "chi_square", "degrees_of_freedom"}
    tape = answer["tape"][3]
    assert tape["length_mm"] == pytest.approx(setup.tapes[3].length)
    assert tape["adjusted_mm"] - tape["length_mm"] == pytest.approx(tape["residual_mm"], abs=1e-5)
    assert tape["doubtful"] is True
    assert "tape 4" in answer["doubtful"]
    point = answer["points"]["front.upper_ball"]
    assert len(point["standardised"]) == len(point["within_mm"]) == 3
    read, adjusted, residual = (
        point[name][2] for name in ("read_mm", "adjusted_mm", "residual_mm")
    )
    assert adjusted - read == pytest.approx(residual, abs=1e-5)
    assert answer["points"]["front.wheel_centre"]["standardised"] == [None, None, None]
    assert answer["degrees_of_freedom"] == 8
    assert answer["probability"] < 0.001


def test_csv_has_a_row_for_each_reading(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(ran(taped(), tmp_path, capsys, "-o", "-").splitlines()))
    assert [row["reading"] for row in rows[-8:]] == [f"tape {n}" for n in range(1, 9)]
    assert {row["residual_mm"] for row in rows} == {"0"}


def test_a_car_without_tapes_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "nothing checks them" in ran(CAR, tmp_path, capsys)


def test_the_report_says_that_points_are_adjusted_and_what_to_look_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = ran(misread(taped(), 4, 8.0), tmp_path, capsys, of="report")
    assert "adjusted with 8 tapes" in " ".join(out.split())
    assert "!  Look again: tape 4" in out
    answer = json.loads(ran(misread(taped(), 4, 8.0), tmp_path, capsys, "--json", of="report"))
    assert answer["adjusted_with_tapes"] == 8

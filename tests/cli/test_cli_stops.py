"""A proposal that can't be made or can't stand: no table has a figure of it without a mark."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from app.cli import run
from app.document.files import write_setup
from app.document.model import Change, FrozenMap
from app.document.units import NO_VALUE
from tests.helpers.sheets import sample

STOP = "that can't be bolted up"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The saloon with both rear dampers' body ends so high that the dampers come apart."""
    high = Change("Dampers up", moves=FrozenMap({"rear.damper_body": (0.0, 0.0, 200.0)}))
    write_setup(tmp_path / "car.toml", sample("small_saloon").having(changes=(high,)))
    return tmp_path / "car.toml"


def said(capsys: pytest.CaptureFixture[str], *call: str) -> str:
    assert run([*call], lambda _: 99) == 0
    return capsys.readouterr().out


def test_the_report_marks_what_is_of_no_car(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "report", str(path), "--axle", "rear")
    assert STOP in " ".join(text.split())
    assert "* As built it can't be made, or can't stand, as proposed" in " ".join(text.split())
    table = text.split("each car on its wheels")[1].split("Before you start")[0]
    rows = re.findall(r"^ +\S.*? {2,}(\S+) {2,}(\S+) {2,}(\S+) {2,}(?:mm|°|%|N/mm)", table, re.M)
    assert len(rows) > 20
    for found, built, change in rows:
        assert not found.endswith("*")
        assert built == NO_VALUE or built.endswith("*")
        assert change == NO_VALUE or change.endswith("*")
    assert "Hop: damping" not in text
    assert "Hop, tramp" not in text
    both = said(capsys, "report", str(path))
    balance = both.split("in a corner, per g")[1].split("Before you start")[0]
    roll = next(line for line in balance.splitlines() if "Body roll" in line)
    assert roll.split()[-2] == NO_VALUE


def test_other_programs_are_told_as_well(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(said(capsys, "report", str(path), "--axle", "rear", "--json"))
    assert "no value of it is of a car that can be built" in found["notes"][0]
    assert [each["severity"] for each in found["sentences"] if each.get("stops")] == ["wrong"]


def test_curves_and_columns_say_it_above_their_figures(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for call in (
        ["curves", str(path), "--axle", "rear"],
        ["bands", str(path), "--axle", "rear", "--samples", "0"],
        ["compare", str(path), "--with", "Dampers up"],
    ):
        words = " ".join(said(capsys, *call).split())
        assert STOP in words.split("As the wheel moves")[0]

"""`check` and `report` ask about what looks mistyped, with line and key, and say it is no fault."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.cli import run
from app.document.samples import first_sample, sample_paths

FIRST = first_sample()


def no_board(path: Path | None) -> int:
    raise AssertionError("a report opens no window")


def odd_file(folder: Path, *changes: tuple[str, str], path: Path = FIRST) -> Path:
    text = path.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    made = folder / "odd.toml"
    made.write_text(text)
    return made


def line_of(path: Path, text: str) -> int:
    return next(n for n, line in enumerate(path.read_text().splitlines(), 1) if text in line)


@pytest.mark.parametrize(
    ("old", "new", "at", "words"),
    [
        ("thickness = 4.5", "thickness = 60", "thickness = 60",
         "rear.pack.leaf, number 5.thickness: Leaf 5, thickness: 60.0 mm is far from the usual "
         "2.5 to 16 mm. Read it once more."),
        ("grip = 0.9 ", "grip = 90 ", "grip = 90",
         "rear.drive.grip: Tyre grip: 90? Usual is 0.5 to 1.6. Was 0.9 meant (90 %)?"),
        ("modulus = 206000.0", "modulus = 206", "modulus = 206",
         "rear.pack.modulus: Modulus of elasticity: 206 N/mm²? Usual is 20000 to 220000 N/mm². "
         "Was 206000 N/mm² meant (206 GPa)?"),
        ("closed_length = 270.0", "closed_length = 470.0", "closed_length = 470",
         "rear.damper.closed_length: Rear damper, closed length: The closed length is not less "
         "than the open length, 445.0 mm. Are the two swapped?"),
        ("rate = 63.0", "rate = 6300", "rate = 6300",
         "front.spring.rate: Spring rate: 6300.0 N/mm is far from the usual 15 to 250 N/mm. "
         "Read it once more."),
        ("-2375.0, 420.0", "-2375.0, -450.0", "-450.0",
         "rear.points.damper_axle: Rear damper, axle end: y puts it 450.0 mm right of the "
         "centreline, but this is the left-hand point. Left and right swapped?"),
        ("cg_height = 545.0", "cg_height = 1545.0", "cg_height",
         "car.cg_height: Height of the centre of gravity: 1545.0 mm is far from the usual "
         "300 to 800 mm. Read it once more."),
        ("wheelbase = 2490.0", "wheelbase = 1490.0", "wheelbase",
         "car.wheelbase: Wheelbase: 1490.0 mm is far from the usual 1800 to 3500 mm. "
         "Read it once more."),
    ],
)  # fmt: skip
def test_check_asks_with_line_and_key_and_ends_with_0(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    old: str,
    new: str,
    at: str,
    words: str,
) -> None:
    path = odd_file(tmp_path, (old, new))
    before = path.read_bytes()
    assert run(["check", str(path)], no_board) == 0
    first, *rest = capsys.readouterr().out.splitlines()
    assert first.startswith("odd.toml: no faults.")
    asked = [line for line in rest if line.startswith("odd.toml")]
    assert asked == [f"odd.toml, line {line_of(path, at)}: {words}"]
    assert path.read_bytes() == before


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_no_sample_is_asked_about(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(path)], no_board) == 0
    assert path.name not in capsys.readouterr().out.split("\n", 1)[1]
    assert run(["report", str(path), "--json"], no_board) == 0
    assert json.loads(capsys.readouterr().out)["questions"] == []


def test_a_report_asks_at_its_head_and_in_its_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = odd_file(tmp_path, ("rate = 63.0", "rate = 6300"), ("grip = 0.9 ", "grip = 90 "))
    assert run(["report", str(path)], no_board) == 0
    head = capsys.readouterr().out.split("Changes that are on")[0]
    assert "Read once more\n  ?  odd.toml, line 60: front.spring.rate: Spring rate:" in head
    assert run(["report", str(path), "--json"], no_board) == 0
    asked = json.loads(capsys.readouterr().out)["questions"]
    assert [(each["key"], each["line"]) for each in asked] == [
        ("front.spring.rate", 60),
        ("rear.drive.grip", 139),
    ]
    assert asked[1]["text"] == "Tyre grip: 90? Usual is 0.5 to 1.6. Was 0.9 meant (90 %)?"


def test_a_report_on_one_end_asks_about_that_end_and_the_car(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = odd_file(
        tmp_path,
        ("rate = 63.0", "rate = 6300"),
        ("grip = 0.9 ", "grip = 90 "),
        ("cg_height = 545.0", "cg_height = 1545.0"),
    )
    assert run(["report", str(path), "--json", "--axle", "rear"], no_board) == 0
    asked = json.loads(capsys.readouterr().out)["questions"]
    assert [each["key"] for each in asked] == ["car.cg_height", "rear.drive.grip"]


def test_what_cannot_be_built_names_the_likely_cause_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = odd_file(tmp_path, ("front_eye    = [-1890.0", "front_eye    = [-3209.0"))
    assert run(["report", str(path)], no_board) == 1
    out, err = capsys.readouterr()
    assert out == ""
    line = line_of(path, "-3209.0, 535.0, 229.0")
    assert (
        f"the rear as measured can't be built. Before that: line {line}: "
        "rear.points.front_eye: Spring, front eye: It is 719.0 mm behind the spring, centre bolt."
    ) in err


def test_a_modulus_in_another_unit_is_named_before_the_shackle_is_blamed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = odd_file(tmp_path, ("modulus = 206000.0", "modulus = 206"))
    last = path.read_text().rpartition("on = false")
    path.write_text(f"{last[0]}on = true{last[2]}")  # a leaf out: too soft to be built
    assert run(["report", str(path)], no_board) == 1
    out, err = capsys.readouterr()
    assert out == ""
    cause, _, consequence = err.partition(" If that is right: ")
    line = line_of(path, "modulus = 206")
    assert f"Before that: line {line}: rear.pack.modulus: " in cause
    assert cause.endswith("Was 206000 N/mm² meant (206 GPa)?")
    assert "the shackle has swung too far" in consequence

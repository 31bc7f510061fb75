"""A car in inches that can't be built is refused in inches, with the line of what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.samples import sample_paths

INCH_SEDAN = next(path for path in sample_paths() if path.stem == "inch_sedan")


def no_board(_path: Path | None) -> int:
    raise AssertionError("no window is asked for")


@pytest.mark.parametrize("command", ["check", "report"])
def test_a_leaf_longer_than_the_main_leaf(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    lines = INCH_SEDAN.read_text().split("\n")
    second = [n for n, line in enumerate(lines) if line.startswith("[[rear.pack.leaf]]")][1]
    place = next(n for n in range(second, len(lines)) if lines[n].startswith("front = "))
    lines[place] = "front = 30.0"
    path = tmp_path / "long.toml"
    path.write_text("\n".join(lines))
    assert run([command, str(path)], no_board) == 1
    err = capsys.readouterr().err
    assert err == (
        f"long.toml, line {place + 1}: rear.pack.leaf, number 2.front: the rear as measured can't "
        "be built. Leaf 2 is 30.000 in long at the front, longer than the main leaf's 25.000 in.\n"
    )


def test_a_leaf_that_a_change_makes_too_long_has_its_line_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = INCH_SEDAN.read_text().split("\n")
    place = next(n for n, line in enumerate(lines) if "contact = 2.0, note" in line)
    lines[place] = lines[place].replace("front = 12.0", "front = 30.0")
    start = max(n for n in range(place) if lines[n] == "[[change]]")
    lines[start + 1 : place] = [x for x in lines[start + 1 : place] if x != "on = false"]
    path = tmp_path / "long.toml"
    path.write_text("\n".join(lines))
    assert run(["check", str(path)], no_board) == 1
    err = capsys.readouterr().err
    place = next(n for n, line in enumerate(path.read_text().split("\n")) if "front = 30.0" in line)
    assert f"line {place + 1}, change " in err
    assert "Leaf 2 is 30.000 in long at the front" in err
    assert "mm" not in err

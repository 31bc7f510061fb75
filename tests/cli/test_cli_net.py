"""The command line's last net: whatever happens, a sentence, status 1, and nothing changed."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path

import pytest

from app.cli.commands import run
from app.cli.terminal import write_json
from app.document.samples import first_sample
from app.words.unforeseen import unforeseen_words

COMMANDS = (["report"], ["report", "--json"], ["curves"], ["check"], ["sheet", "-o", "out.pdf"])
FAULTS = (
    ZeroDivisionError("division by zero"),
    KeyError("spring_axle"),
    RecursionError("maximum recursion depth exceeded"),
    MemoryError(),
    ValueError("attempt to get argmin of an empty sequence"),
)


def no_board(_path: Path | None) -> int:
    raise AssertionError("no window is asked for")


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: type(fault).__name__)
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_what_nobody_foresaw_is_a_sentence_about_the_file(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: list[str],
    fault: Exception,
) -> None:
    def fails(*_arguments: object, **_options: object) -> None:
        raise fault

    monkeypatch.setattr("app.systems.system.System.study", fails)
    monkeypatch.chdir(tmp_path)
    path = Path(shutil.copy(first_sample(), tmp_path / "odd.toml"))
    before = path.read_bytes()
    command, *options = words
    assert run([command, str(path), *options], no_board) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err == f"{unforeseen_words('odd.toml', fault)}\n"
    assert err.startswith("odd.toml can't be studied: ")
    assert path.read_bytes() == before
    assert sorted(each.name for each in tmp_path.iterdir()) == ["odd.toml"]


def test_no_number_that_is_none_gets_into_json(capsys: pytest.CaptureFixture[str]) -> None:
    write_json({"a": [1.0, math.nan, (math.inf, {"b": -math.inf})], "c": "NaN", "d": True})
    out = capsys.readouterr().out
    assert json.loads(out) == {"a": [1.0, None, [None, {"b": None}]], "c": "NaN", "d": True}


@pytest.mark.parametrize("command", ["report", "check", "curves"])
def test_nothing_that_a_terminal_obeys_is_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    text = first_sample().read_text()
    title = 'title = "Gone\\u001b[2J\\u0007 \\u202eand back\\u009b2J"'
    text = text.replace('"Upper pivots 22', '"\\u001b]0;Upper pivots 22')
    lines = [title if line.startswith("title =") else line for line in text.split("\n")]
    path = tmp_path / "act\x1b[2J.toml"
    path.write_text("\n".join(lines))
    assert run([command, str(path)], no_board) == 0
    out, err = capsys.readouterr()
    acting = [letter for letter in out + err if not (letter.isprintable() or letter == "\n")]
    assert acting == []


def test_a_refusal_shows_what_it_quotes_as_signs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "car.toml"
    path.write_text('format = 1\nunits = "\\u001b[2Jmm"\n"\\u0007ti\\u001btle" = 1\n')
    assert run(["check", str(path)], no_board) == 1
    err = capsys.readouterr().err
    assert '"�[2Jmm"' in err
    assert "�ti�tle" in err
    assert "\x1b" not in err


def test_a_pack_that_cannot_be_names_the_line_of_its_leaf(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = first_sample().read_text()
    lines = text.split("\n")
    place = next(n for n, line in enumerate(lines) if line.startswith("    { thickness ="))
    lines[place] = lines[place].replace(" },", ", contact = 3.0 },")
    path = tmp_path / "helper.toml"
    path.write_text("\n".join(lines))
    assert run(["check", str(path)], no_board) == 1
    err = capsys.readouterr().err
    leaf = f"helper.toml, line {place + 1}: rear.pack.leaf, number 1.contact: "
    assert err.startswith(f"{leaf}the rear as measured")
    assert "Leaf 1 is the main leaf and can't be a helper" in err

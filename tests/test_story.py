"""The guide's job from the drag to the sheet: each command is run, each figure an answer's."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.edits import switch_change
from app.document.files import read_setup
from app.document.samples import first_sample
from app.judge.align import aligned
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.study_results import value_of
from app.words.results import result_text
from tests.helpers.project import DOCS

pytestmark = pytest.mark.gui  # the last command paints

TITLE = "## One job, from the drag to the sheet\n"
FILE, MENDED = "linnet.toml", "mended.toml"


def story() -> str:
    guide = (DOCS / "guide.md").read_text(encoding="utf-8")
    return re.split(r"^## ", guide.split(TITLE)[1], flags=re.M)[0]


def blocks() -> Iterator[tuple[str, str]]:
    """Yield the kind and the text of each block of the story."""
    yield from re.findall(r"^```(\w+)\n(.*?)^```", story(), flags=re.M | re.S)


def assert_in_order(lines: list[str], answer: str) -> None:
    """Make sure that lines follow each other in an answer; after "…" any may come between."""
    rest = [line.rstrip() for line in answer.splitlines()]
    at: int | None = None
    for line in lines:
        if line == "…":
            at = None
            continue
        place = rest.index(line) if at is None else at
        assert rest[place : place + 1] == [line]
        rest, at = rest[place + 1 :], 0


@pytest.mark.slow
def test_every_command_answers_as_the_guide_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("app.cli.sheet.with_bands", lambda study: study)  # shown elsewhere
    monkeypatch.setattr("app.cli.sheet._know_proposals", lambda setup: None)
    once = cache(aligned)  # the sheet's page asks for what `align` told
    monkeypatch.setattr("app.cli.align.aligned", once)
    monkeypatch.setattr("app.judge.align.aligned", once)
    shutil.copy(first_sample(), FILE)
    answer, names = "", []
    for kind, text in blocks():
        if kind == "sh":
            program, *words = shlex.split(text)
            assert program == "wishboard"
            assert run(words, lambda _: 99) == 0
            answer = capsys.readouterr().out
            names.append(words[0])
        elif kind == "text":
            assert_in_order(text.rstrip("\n").split("\n"), answer)
        else:
            assert kind == "toml"
            with Path(MENDED).open("a", encoding="utf-8") as file:
                file.write(f"\n{text}")
    assert names == ["find", "align", "compare", "sheet"]
    assert Path(FILE).read_bytes() == first_sample().read_bytes()
    assert Path("linnet.pdf").read_bytes().startswith(b"%PDF")


def test_what_lowering_gives_and_costs_is_what_the_guide_says() -> None:
    setup = read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup
    for index, change in enumerate(setup.changes):
        setup = switch_change(setup, index, change.name == "Upper pivots 22 mm lower")
    study = FRONT.study(setup)
    rows = re.findall(r"^\| (\w[^|]*) \| ([^|]*) \| ([^|]*) \|$", story(), flags=re.M)
    assert len(rows) == 3
    for title, before, after in rows:
        result = next(each for each in study.results if each.title == title)
        cars = study.measured, study.proposed
        texts = [result_text(value_of(car, result), result, "mm") for car in cars]
        assert [before, after] == texts

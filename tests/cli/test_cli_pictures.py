"""Drawings and curves from the command line: a picture of the right kind at the place asked for."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

pytest.importorskip("PySide6")

from app.cli.commands import run
from app.document.samples import first_sample
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

STARTS = {"pdf": b"%PDF", "png": b"\x89PNG", "svg": b"<?xml"}


CALLS = (
    "drawing --view side --paper letter",
    "drawing --axle rear",
    "curves --over roll",
)


@pytest.mark.parametrize(
    ("call", "ending"), typical_of(product(CALLS, STARTS), [*zip(CALLS, STARTS, strict=True)])
)
def test_a_picture_is_written(
    call: str, ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / f"car.{ending}"
    command, *options = call.split()
    words = [command, str(first_sample()), *options, "-o", str(path)]
    assert run(words, lambda _path: 0) == 0
    assert path.read_bytes().startswith(STARTS[ending])
    assert f"{path} written." in capsys.readouterr().err


def test_a_folder_that_isnt_there_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "nowhere" / "car.pdf"
    assert run(["drawing", str(first_sample()), "-o", str(target)], lambda _path: 0) == 1
    assert "the folder is not there" in capsys.readouterr().err

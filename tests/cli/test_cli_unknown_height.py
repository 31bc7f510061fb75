"""A report says why there is no stress at full bump where the height isn't known."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.cli import run
from app.document.files import write_setup
from tests.shop.setups import SETUPS


def no_board(path: Path | None) -> int:
    raise AssertionError("a report opens no window")


def test_what_depends_on_the_height_says_that_it_is_not_known(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "weighed.toml"
    write_setup(path, SETUPS["weighed later"])
    assert run(["report", str(path), "--axle", "rear"], no_board) == 0
    report = " ".join(capsys.readouterr().out.split())
    for title in ("Stands lower by", "Highest stress at full bump"):
        assert f"{title}: how far the car settles isn't known" in report
    assert "the axle doesn't reach full bump" not in report

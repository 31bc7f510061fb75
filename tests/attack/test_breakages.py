"""The list of breakages doesn't rot: each can still be made, once, and has tests to notice it."""

from __future__ import annotations

from pathlib import Path

from tests.attack.breakage import Breakage
from tests.attack.breakages import BREAKAGES, problems


def test_every_breakage_can_be_made_in_just_one_place() -> None:
    assert list(problems(BREAKAGES)) == []
    assert len({breakage.name for breakage in BREAKAGES}) == len(BREAKAGES)
    assert len(BREAKAGES) >= 40


def test_a_text_that_is_gone_or_stands_twice_is_told(tmp_path: Path) -> None:
    (tmp_path / "sums.py").write_text("a = b + c\nd = b + c\n", "utf-8")
    broken = [
        Breakage("twice", "sums.py", "b + c", "b - c", ("sums.py",)),
        Breakage("gone", "sums.py", "b * c", "b / c", ("sums.py",)),
        Breakage("no-file", "other.py", "x", "y", ("sums.py",)),
        Breakage("no-python", "sums.py", "a =", "a = (", ("sums.py",)),
        Breakage("no-test", "sums.py", "a =", "e =", ("test_sums.py",)),
    ]
    assert list(problems(broken, tmp_path)) == [
        "twice: its text stands 2 times in sums.py",
        "gone: its text stands 0 times in sums.py",
        "no-file: its text stands 0 times in other.py",
        "no-python: what is broken is no Python any more",
        "no-test: there is no test_sums.py",
    ]

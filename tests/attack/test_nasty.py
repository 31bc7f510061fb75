"""Files that once did harm: refused where they are wrong, or studied; never anything else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.document.faults import Fault, SetupFaults
from app.document.files import read_setup
from app.systems.every import LIMIT_KINDS
from tests.attack.files import judged, told_again
from tests.attack.nasty_files import NASTY, Nasty
from tests.helpers.long_cases import typical

MOST_LINES = 45  # of a refusal: a page that can be read
BY_NAME = {nasty.name: nasty for nasty in NASTY}
ALIKE = (  # as others that the suite has
    "title-of-control-characters",
    "title-of-rich-text",
    "title-turned-round",
    "name-of-rich-text",
    "note-of-control-characters",
    "dotted-key-5000-deep",
    "rear-bump-200",
    "shackle-far-in-roll",
    "single-leaf-and-little-else",
)
AGAIN = 3  # of so many refusals one is told a second time
WINDOWS = 19  # each is shown a part of the files


@pytest.mark.parametrize("name", typical(BY_NAME, lambda name: name not in ALIKE))
def test_a_nasty_file_meets_its_fate(name: str, tmp_path: Path) -> None:
    nasty = BY_NAME[name]
    path = tmp_path / f"{name}.toml"
    path.write_bytes(nasty.data)
    verdict = judged(path)
    assert verdict.failures == ()
    assert verdict.kind == nasty.fate, verdict.words[:500]
    assert verdict.has_line, verdict.words[:500]
    assert verdict.has_key, verdict.words[:500]
    if nasty.fate == "refused":
        assert any(names(fault, nasty) for fault in faults_of(path)), verdict.words[:500]
        assert verdict.words.count("\n") <= MOST_LINES


def faults_of(path: Path) -> tuple[Fault, ...]:
    try:
        read_setup(path, limit_kinds=LIMIT_KINDS)
    except SetupFaults as faults:
        return faults.faults
    return ()


def names(fault: Fault, nasty: Nasty) -> bool:
    """Tell whether a fault is of the line that was spoilt, and names its key."""
    is_there = nasty.line in (None, fault.line)
    return is_there and re.search(re.escape(nasty.key), fault.key) is not None


@pytest.mark.slow
def test_the_same_file_is_told_in_the_same_words(tmp_path: Path) -> None:
    refused = [nasty for nasty in NASTY if nasty.fate != "studied" and nasty.name not in ALIKE]
    refused = refused[::AGAIN]
    for nasty in refused:
        (tmp_path / f"{nasty.name}.toml").write_bytes(nasty.data)
    first, second = (told_again(tmp_path, seed) for seed in (1, 2))
    assert first == second
    assert len(first) == len(refused)


@pytest.mark.gui
@pytest.mark.slow
@pytest.mark.parametrize(
    "first", [0, *(pytest.param(first, marks=pytest.mark.long) for first in range(1, WINDOWS))]
)
def test_a_window_shows_a_part_of_the_nasty_files_or_refuses_them(
    first: int, tmp_path: Path
) -> None:
    from tests.attack.opening import opened  # with Qt, which the others do without

    chosen = NASTY[first::WINDOWS]
    paths = [tmp_path / f"{nasty.name}.toml" for nasty in chosen]
    for path, nasty in zip(paths, chosen, strict=True):
        path.write_bytes(nasty.data)
    results = list(opened(paths))
    assert [each for each in results if each.failures or each.outcome == "died"] == []
    assert [each.name for each in results] == [path.name for path in paths]

"""Damaged files: each is refused with line and key, or studied and written back as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.attack.damage import damaged_file
from tests.attack.files import Count, counted, damaged_files, told_again
from tests.attack.processes import COMMANDS, Runs
from tests.helpers.long_cases import LONG, typical_of

SEED = 1963
TOLD = 6  # files that are told a second time
FILES = 24
ALONE = (COMMANDS.index(("report", "--json")), COMMANDS.index(()))  # in processes of their own


@pytest.fixture(scope="module")
def count(tmp_path_factory: pytest.TempPathFactory) -> Count:
    return counted(damaged_files(tmp_path_factory.mktemp("damaged"), SEED, range(FILES)))


@pytest.mark.slow
def test_damaged_files_are_refused_or_studied_never_anything_else(count: Count) -> None:
    assert count.failures == []
    assert count.kinds["studied"] > FILES / 10
    assert count.refusals > FILES / 10


@pytest.mark.slow
def test_refusals_name_line_and_key(count: Count) -> None:
    assert count.with_line == count.refusals
    assert count.with_key >= 0.95 * count.refusals, f"{count.with_key} of {count.refusals}"


@LONG
@pytest.mark.slow
def test_a_damaged_file_is_told_in_the_same_words_again(tmp_path: Path) -> None:
    for number in range(TOLD):
        (tmp_path / f"{number}.toml").write_bytes(damaged_file(SEED + 1, number))
    first, second = (told_again(tmp_path, seed) for seed in (1, 2))
    assert len(first) == TOLD
    assert first == second


@pytest.mark.gui
@pytest.mark.slow
@pytest.mark.parametrize("number", typical_of(range(len(COMMANDS)), ALONE))
def test_each_command_as_a_process_ends_well(number: int) -> None:
    runs = Runs()
    runs.add(number, SEED)
    assert runs.failures == []
    assert runs.statuses.total() == 1

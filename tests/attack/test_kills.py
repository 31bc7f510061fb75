"""Processes killed at work: files and kept copies are whole; what is lost, the long run times."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from functools import partial

import pytest

from tests.attack.kills import KINDS, Kills, kill_one

pytestmark = [pytest.mark.gui, pytest.mark.slow]

SEED = 1967


def test_what_a_kill_leaves_is_whole() -> None:
    total = Kills()
    with ThreadPoolExecutor(2) as pool:
        kill = partial(kill_one, SEED, longest=0.6, until_kept=True)
        for kills in pool.map(kill, range(len(KINDS))):
            total.add(kills)
    assert total.failures == []
    assert (total.killed, total.whole) == (len(KINDS), len(KINDS))
    assert total.kept >= len([kind for kind in KINDS if kind != "save"])

"""Processes killed at work: files and kept copies are whole; what is lost, the long run times."""

from __future__ import annotations

import pytest

from tests.attack.kills import KINDS, kill_one
from tests.helpers.long_cases import typical_of

pytestmark = [pytest.mark.gui, pytest.mark.slow]

SEED = 1967


@pytest.mark.parametrize("kind", typical_of(KINDS, ("drag", "save")))
def test_what_a_kill_leaves_is_whole(kind: str) -> None:
    left = kill_one(SEED, KINDS.index(kind), longest=0.3, until_kept=True)
    assert left.failures == []
    assert (left.killed, left.whole) == (1, 1)
    assert left.kept >= (kind != "save")

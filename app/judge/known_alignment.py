"""Alignments that were worked out before, so that paper and pointer needn't wait for one again."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.model import Setup
from app.judge.aligning_work import adjusters_of, without_alignment
from app.judge.alignment import AlignError, Alignment

_MOST: Final = 4
_KNOWN: Final[dict[Setup, Alignment]] = {}  # the latest last


def known_alignment(setup: Setup) -> Alignment | None:
    """Return a setup's alignment; None where it has no adjusters or no targets for them.

    Raises
    ------
    GeometryError
        The car as proposed can't be built.
    """
    if not adjusters_of(setup):
        return None
    alignment = _KNOWN.get(_plain(setup))
    if alignment is None:
        from app.judge.align import aligned  # loads an optimiser: only where it is needed

        try:
            alignment = aligned(setup)
        except AlignError:
            return None
        remember(alignment)
    return replace(alignment, setup=without_alignment(setup))


def remember(alignment: Alignment) -> None:
    """Keep an alignment, and of those before only the latest."""
    key = _plain(alignment.setup)
    _KNOWN.pop(key, None)
    _KNOWN[key] = alignment
    while len(_KNOWN) > _MOST:
        del _KNOWN[next(iter(_KNOWN))]


def _plain(setup: Setup) -> Setup:
    """Return what an alignment depends on of a setup, or more, but never less."""
    return without_alignment(setup).having(title="", notes="", units="mm")

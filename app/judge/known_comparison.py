"""Comparisons whose bands were worked out before, so that paper needn't wait for them."""

from __future__ import annotations

from typing import Final

from app.document.model import Setup
from app.judge.compare import Comparison, comparison

_MOST: Final = 2
_KNOWN: Final[dict[Setup, Comparison]] = {}  # the latest last


def known_comparison(setup: Setup) -> Comparison:
    """Return a setup's proposals side by side, with bands where those are known already.

    Raises
    ------
    GeometryError
        The car as found can't be built.
    """
    return _KNOWN.get(setup) or comparison(setup, ())


def remember(compared: Comparison) -> None:
    """Keep a comparison with its bands, and of those before only the latest."""
    _KNOWN.pop(compared.setup, None)
    _KNOWN[compared.setup] = compared
    while len(_KNOWN) > _MOST:
        del _KNOWN[next(iter(_KNOWN))]

"""Distances in words, read back as lengths."""

from __future__ import annotations

import re
from fractions import Fraction


def taped_inches(words: str, units: str) -> float:
    """Return the first length in words [mm]: "4 3/4 in", "98.0 mm"."""
    found = re.search(r"(\d[\d./ ]*) (?:mm|in)\b", words)
    assert found is not None, words
    if units == "mm":
        return float(found[1])
    return float(sum(Fraction(part) for part in found[1].split())) * 25.4


def fore_and_aft(words: str, units: str) -> float:
    """Return how far ahead of something words say that a place is, negative behind it [mm]."""
    found = re.match(r"(.*?) (ahead of|behind) ", words)
    if found is None:
        return 0.0
    return taped_inches(found[1], units) * (1.0 if found[2] == "ahead of" else -1.0)


def height_of(words: str, units: str) -> float:
    """Return how far above the ground words say that a place is [mm]."""
    part = next(each for each in words.split("; ") if "ground" in each)
    return taped_inches(part, units)

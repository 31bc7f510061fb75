"""What results need of a car's measurements, as words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from app.document.model import Value
from app.document.plain_text import lower_first
from app.document.point_names import point_title
from app.entry.part import Row
from geometry.catalogue.result import Result, by_key

_SAID: Final = (  # what these are for stands in their own words
    "solid_length",
    "closed_length",
    "open_length",
    "tyre_rate",
)


def needed_keys(row: Row, catalogue: tuple[Result, ...]) -> tuple[str, ...]:
    """Return the keys that any of a row's results needs: values first, then points."""
    results = by_key(catalogue)
    needed = [key for name in row.results for key in results[name].needs]
    values = (key for key in needed if key not in row.points)
    return tuple(dict.fromkeys((*values, *row.points)))


def purposes_in(rows: Iterable[Row], catalogue: tuple[Result, ...], key: str) -> str:
    """Return which of the rows' results a key is for, in words."""
    if key.endswith(_SAID):
        return ""
    return ", ".join(said(row.title) for row in rows if key in needed_keys(row, catalogue))


def in_words(keys: tuple[str, ...], evidence: Mapping[str, Value], most: int = 3) -> str:
    """Return keys as words: "lower ball joint, wheel centre and 2 more"."""
    names = [said(point_title(key, evidence)) for key in keys]
    if len(names) > most:
        more = len(names) - most + 1
        return f"{', '.join(names[: most - 1])} and {more} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def said(title: str) -> str:
    """Return a title as it stands in a sentence: "upper arm front pivot"."""
    plain = title.replace(", ", " ")
    return plain if plain.startswith("Ackermann") else lower_first(plain)

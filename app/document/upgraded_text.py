"""The text of a file of an older format as one of the present format: remarks and order stay."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import TypeGuard

from app.document.text_edits import TextEdits
from app.document.toml_layout import Path
from app.document.toml_text import number_text
from app.document.upgrades import FORMAT, UPGRADES, Upgrades, upgrade


def upgraded_text(text: str, file_format: int, upgrades: Upgrades = UPGRADES) -> str | None:
    """Return the text with the numbers that its format's steps change; None if they change more."""
    if file_format == FORMAT:
        return text
    before = tomllib.loads(text)
    after = upgrade(before, file_format, upgrades)
    edits = TextEdits(text)
    for path, old, new in _differences((), before, after):
        if not _is_number(old) or not _is_number(new) or not edits.has(path):
            return None
        edits.replace(path, number_text(new, edits.at(path) if isinstance(new, int) else ""))
    return edits.text


def _differences(path: Path, old: object, new: object) -> Iterator[tuple[Path, object, object]]:
    """Yield each value that differs, with its path."""
    if isinstance(old, Mapping) and isinstance(new, Mapping) and old.keys() == new.keys():
        for name in old:
            yield from _differences((*path, name), old[name], new[name])
    elif old != new:
        yield path, old, new


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)

"""Reading the value of one key, whatever kind it is of."""

from __future__ import annotations

from typing import Any

from app.document.checks import Checker
from app.document.keys import kind_of
from app.document.model import Value
from app.document.schema import Key
from app.document.toml_layout import Path

Tables = dict[str, Any]


def read_value(check: Checker, key: Key, path: Path, raw: object, spring: str) -> Value | None:
    """Return the value inside, or nothing when a fault was noted; `spring` is the front's kind."""
    kind = kind_of(key.name, {"front.spring.kind": spring})
    if kind == "point":
        return check.vector(path, raw, "length")
    if kind == "direction":
        return check.direction(path, raw)
    if kind == "choice":
        return check.choice(path, raw, key.choices)
    if kind == "leaves":
        return check.leaves(path, raw)
    if kind in ("text", "date"):
        return check.text(path, raw) if kind == "text" else check.day(path, raw)
    return check.number(path, raw, kind, key.over, key.least, key.most)


def spring_kind(tables: Tables) -> str:
    """Return the kind of the front spring, which decides what its rate is measured in."""
    here: object = tables
    for name in ("front", "spring", "kind"):
        here = here.get(name) if isinstance(here, dict) else None
    return here if isinstance(here, str) else ""


def is_given(tables: Tables, key: Key) -> bool:
    """Tell whether the file has any value at the key's place, valid or not."""
    here: object = tables
    for part in key.place:
        if not isinstance(here, dict) or part not in here:
            return False
        here = here[part]
    return True

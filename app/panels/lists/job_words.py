"""A change as a job for the shop, in a few words: "2 points · drill"."""

from __future__ import annotations

from typing import Final

from app.document.keys import KEYS
from app.document.model import Change, Setup
from app.document.moves import bears_on_toe
from app.systems.shims import is_across, is_shim
from app.words.changes import BOLTED_ON, MADE, is_bolted_on

_MOST: Final = 2  # things that are told; more are counted
_TOGETHER: Final = {
    ".spring.": "spring",
    ".pack.": "leaf pack",
    ".traction_bar.": "traction bars",
    ".bar_": "traction bars",
    ".damper.": "damper",
}

_KINDS: Final = ("front.kind", "rear.kind")  # their short word heads a report


def job_words(setup: Setup, change: Change) -> str:
    """Return what the change moves or sets, and the work that it means."""
    parts = []
    if change.moves:
        parts += [_counted(len(change.moves), "point"), _work(setup, change)]
    parts += _set_words(change)
    return " · ".join(parts) or "nothing yet"


def made_words(change: Change) -> str:
    """Return how the change is made, as a sentence for a screen reader."""
    if is_bolted_on(change):
        return BOLTED_ON
    parts = MADE[change.parts]
    ways = [parts] * moves_points(change) + [f"toe {change.toe}"] * asks_toe(change)
    return "; ".join(ways)


def moves_points(change: Change) -> bool:
    """Tell whether parts may be kept or made to fit: a point is moved, or nothing is done yet."""
    sets_points = any(KEYS[key].kind == "point" for key in change.sets)
    if is_bolted_on(change):
        return False
    return bool(change.moves) or sets_points or not change.sets


def asks_toe(change: Change) -> bool:
    """Tell whether the toe may be reset after a change: of the front, or nothing is done yet."""
    return bears_on_toe(change) or not (change.moves or change.sets)


def _work(setup: Setup, change: Change) -> str:
    """Return the work of moved points; what shims are is told by the work order's own rule."""
    if change.aligns:
        return "shims and turns"
    on_body = [key for key in change.moves if not KEYS[key].on_part]
    if change.parts == "made to fit" or not on_body:
        return "new parts"
    if all(is_shim(setup, key, move) for key, move in change.moves.items()):
        return "shim"
    if all(is_across(setup, key, move) for key, move in change.moves.items()):
        return "spacer"
    return "drill" if len(on_body) == len(change.moves) else "drill, new parts"


def _set_words(change: Change) -> list[str]:
    names = dict.fromkeys(_set_word(key) for key in change.sets)
    return [*names] if len(names) <= _MOST else [_counted(len(names), "value")]


def _set_word(key: str) -> str:
    together = (word for part, word in _TOGETHER.items() if part in key)
    row = KEYS[key]
    words = (row.short or row.title).rstrip(":") if key not in _KINDS else row.title
    return next(together, words.lower())


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"

"""Marks of results that can be taken hold of on a drawing, and the results that they stand for."""

from __future__ import annotations

from typing import Final

from app.drawing.strokes import Handle, HandleShape, Place

_START: Final = "result:"


def result_handle(keys: tuple[str, ...], at: Place, name: str, value: str = "") -> Handle:
    """Return the handle of a mark."""
    return Handle(result_key(*keys), at, HandleShape.RESULT, name, value)


def result_key(*keys: str) -> str:
    """Return the key of the handle of a mark that stands for results."""
    return f"{_START}{','.join(keys)}"


def results_held(key: str) -> tuple[str, ...]:
    """Return the results that a handle's mark stands for, none for any other handle or grip."""
    return tuple(key.removeprefix(_START).split(",")) if key.startswith(_START) else ()

"""The border to Qt: no exception leaves a method that Qt calls.

Qt can't carry a Python exception. One that leaves a slot is printed; one that leaves the override
of a virtual method (a paint, a resize, a model's data) can end the process, with all work in it.
So each class that overrides methods of Qt is fenced: what goes wrong is handed to the hook for
uncaught exceptions, and Qt gets the answer of its own method.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import wraps
from types import FunctionType
from typing import Any, Final, TypeVar

OURS: Final = "app"  # classes from elsewhere are Qt's, or call us for Qt
Class = TypeVar("Class", bound=type)


def fenced(kind: Class) -> Class:
    """Guard the methods of a class that override a Qt method."""
    for name, method in list(vars(kind).items()):
        if isinstance(method, FunctionType) and is_override(kind, name):
            setattr(kind, name, _fence(kind, name, method))
    return kind


def is_override(kind: type, name: str) -> bool:
    """Tell whether a class's method stands in the place of one from outside the program."""
    outside = (base for base in kind.__mro__[1:] if not _is_ours(base) and base is not object)
    return not name.startswith("__") and any(name in vars(base) for base in outside)


def _is_ours(kind: type) -> bool:
    return kind.__module__.partition(".")[0] == OURS


def _fence(kind: type, name: str, method: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(method)
    def fence(self: Any, *args: Any, **more: Any) -> Any:
        try:
            return method(self, *args, **more)
        except Exception:
            sys.excepthook(*sys.exc_info())
        try:
            return getattr(super(kind, self), name)(*args, **more)
        except Exception:  # the same once more, or Qt has no answer of its own
            return None

    fence.is_fence = True  # type: ignore[attr-defined]
    return fence

"""Qt loaded, and Python's own import kept."""

from __future__ import annotations

import builtins


def load_qt() -> None:
    """Load Qt, and take PySide's `import` out of the way of every module that comes after.

    PySide puts an import of its own in the place of Python's, for its `from __feature__ import`: it
    opens each module that is imported later and searches its source for Qt's name. The program asks
    for no such feature, and would pay a tenth of its start for it. PySide keeps the import that was
    there before as `__orig_import__`; where it keeps none, all works as before, only slower.
    """
    import PySide6.QtCore  # noqa: F401

    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)

"""The sheet needs fonts, so a Qt application, but no window."""

from __future__ import annotations

import pytest

pytest.importorskip("PySide6")


@pytest.fixture(autouse=True)
def fonts(qapp: object) -> None:
    """Have an application before anything is measured or painted."""

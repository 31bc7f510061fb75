"""A text that is shown as rich text is shown to the letter."""

from __future__ import annotations

import html
import string

import pytest

pytest.importorskip("PySide6")

from app.qt.tips import escape

pytestmark = pytest.mark.gui


def test_signs_of_rich_text_are_escaped_as_pythons_own_library_does() -> None:
    assert escape(string.printable) == html.escape(string.printable)

"""Tool tips of what a user wrote: Qt takes what looks like rich text for it, and acts on it."""

from __future__ import annotations

from html import escape

from PySide6.QtGui import Qt

from app.document.plain_text import printable


def tip(text: str) -> str:
    """Return a text as a tool tip that shows it to the letter."""
    plain = printable(text)
    if not Qt.mightBeRichText(plain):
        return plain
    return f"<qt>{escape(plain).replace(chr(10), '<br>')}</qt>"

"""Tool tips of what a user wrote: Qt takes what looks like rich text for it, and acts on it."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import Qt

from app.document.plain_text import printable

_TABLE: Final = str.maketrans(
    {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;"}
)


def escape(text: str) -> str:
    """Return a text with no sign that rich text would act on.

    Python's own loads a table of all of HTML's names for it, at each start.
    """
    return text.translate(_TABLE)


def tip(text: str) -> str:
    """Return a text as a tool tip that shows it to the letter."""
    plain = printable(text)
    if not Qt.mightBeRichText(plain):
        return plain
    return f"<qt>{escape(plain).replace(chr(10), '<br>')}</qt>"

"""The user's notes, and what isn't known with the measurement that would tell."""

from __future__ import annotations

from typing import Any

from app.document.keys import KEYS
from app.document.model import Setup
from app.document.point_names import point_title
from app.paper.faces import SMALL, TEXT
from app.paper.flow import Block
from app.paper.parts import heading, paragraph
from app.paper.sizes import Paper
from app.shop.results import missing_rows
from app.systems.answers import Study


def note_blocks(setup: Setup, paper: Paper, end: str = "", text: bool = True) -> list[Block]:
    """Return the user's notes, line by line, and those of the points of an end, or of all."""
    notes = unbroken(setup.notes.strip()) if text else ""
    blocks = paragraph(notes, paper.margin, paper.inner, TEXT) if notes else []
    for key, note in setup.point_notes.items():
        if key.startswith(end):
            words = f"{point_title(key, setup.evidence) if key in KEYS else key}: {note}"
            blocks += paragraph(words, paper.margin, paper.inner, SMALL, 0.6)
    return [heading("Notes", paper.margin), *blocks] if blocks else []


def unbroken(text: str) -> str:
    """Join the lines of a paragraph; empty lines, lists and indented lines stay as they are."""
    lines: list[str] = []
    for line in text.split("\n"):
        is_own_line = not line.strip() or line[0] in "-*•·+ \t" or line[0].isdigit()
        if lines and lines[-1] and not is_own_line:
            lines[-1] = f"{lines[-1]} {line}"
        else:
            lines.append(line)
    return "\n".join(lines)


def missing_blocks(study: Study[Any], paper: Paper) -> list[Block]:
    """Return what isn't known, and which measurement would tell."""
    blocks: list[Block] = []
    for missing in missing_rows(study):
        titles = ", ".join(result.title for result in missing.results)
        names = " and ".join(_needed(key) for key in missing.needs)
        words = f"{titles}: needs {names}."
        blocks += paragraph(words, paper.margin, paper.inner, SMALL, 0.6, "·")
    return [heading("What is missing", paper.margin), *blocks] if blocks else []


def _needed(key: str) -> str:
    return KEYS[key].in_sentence if key in KEYS else key

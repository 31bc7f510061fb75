"""`wishboard check`: every fault of a file, or a line on what it holds."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from app.cli.files import load, solve
from app.cli.questions import doubts_of
from app.document.model import Setup
from app.document.plain_text import lower_first
from app.systems.every import given_systems
from app.systems.naming import title_of
from app.systems.report import Report


def check_words(path: Path) -> str:
    """Return what a whole file holds, and what looks mistyped.

    Refuse with what is wrong with it, its geometry included.
    """
    setup = load(path)
    notes: list[str] = []
    if given_systems(setup):
        ends = solve(setup, path)
        notes = [note for end in ends for note in _notes(end, len(ends) > 1)]
    questions = [doubt.said(path.name) for doubt in doubts_of(setup, path)]
    return "\n".join([f"{path.name}: no faults. {_holds(setup)}", *questions, *notes])


def _notes(end: Report, several: bool) -> Iterator[str]:
    which = f"{end.study.system.key.capitalize()}: " if several else ""
    for note in end.setup_notes(title_of):
        yield f"{which}{lower_first(note)}" if several else note


def _holds(setup: Setup) -> str:
    kinds = [
        f"{system.key} {setup.evidence[f'{system.key}.kind']}" for system in given_systems(setup)
    ]
    count, on = len(setup.changes), sum(change.on for change in setup.changes)
    changes = f"{count} change{'' if count == 1 else 's'}, {on} of them on"
    return (
        f"{', '.join(kinds).capitalize()}; {changes if count else 'no changes'}; in {setup.units}."
    )

"""`wishboard check`: every fault of a file, or a line on what it holds."""

from __future__ import annotations

from pathlib import Path

from app.cli.files import load, solve
from app.cli.notes import setup_notes, title_of
from app.document.model import Setup


def check_words(path: Path) -> str:
    """Return what a whole file holds; refuse with what is wrong with it, its geometry included."""
    setup = load(path)
    notes: list[str] = []
    if "front.kind" in setup.evidence:
        notes = [*setup_notes(solve(setup, path), title_of)]
    return "\n".join([f"{path.name}: no faults. {_holds(setup)}", *notes])


def _holds(setup: Setup) -> str:
    kinds = [
        f"{axle} {setup.evidence[f'{axle}.kind']}"
        for axle in ("front", "rear")
        if f"{axle}.kind" in setup.evidence
    ]
    count, on = len(setup.changes), sum(change.on for change in setup.changes)
    changes = f"{count} change{'' if count == 1 else 's'}, {on} of them on"
    return (
        f"{', '.join(kinds).capitalize()}; {changes if count else 'no changes'}; in {setup.units}."
    )

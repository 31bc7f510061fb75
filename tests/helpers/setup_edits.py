"""What tests change in a setup beside the verbs of editing that the program has."""

from __future__ import annotations

from app.document import edits
from app.document.keys import KEYS
from app.document.model import Setup, Units, Value, Vec, Within


def move_point(setup: Setup, index: int, key: str, delta: Vec) -> Setup:
    """Return the setup with a move added to what a change already moves the point by."""
    return edits.move_points(setup, index, (key,), delta)


def set_evidence(setup: Setup, key: str, value: Value) -> Setup:
    """Return the setup with a measured value entered or corrected, as the guide hands it over."""
    if key not in KEYS:
        raise edits.EditError(f"There is no value named {key}.")
    return edits.correct_reading(setup, key, value)


def set_within(setup: Setup, key: str, within: Within | None) -> Setup:
    """Return the setup with the uncertainty a point was measured with, ± mm."""
    return edits.set_within(setup, key, within)


def set_notes(setup: Setup, notes: str) -> Setup:
    """Return the setup with other notes."""
    return setup.having(notes=edits.clean_text(notes))


def set_units(setup: Setup, units: Units) -> Setup:
    """Return the setup shown and saved in other units; no value changes."""
    return setup.having(units=units)

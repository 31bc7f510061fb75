"""Reading a setup from a text."""

from __future__ import annotations

from collections.abc import Mapping

from app.document.model import Setup
from app.document.reading import read_text


def parse(text: str, name: str = "setup", *, limit_kinds: Mapping[str, str] | None = None) -> Setup:
    """Return the setup a text holds; raise SetupFaults with every fault found."""
    return read_text(text, name, limit_kinds=limit_kinds).setup

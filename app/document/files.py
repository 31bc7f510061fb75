"""Setup files on disk: read with all faults, written whole or not at all."""

from __future__ import annotations

from app.document.faults import Fault, SetupFaults
from app.document.reading import Reading, parse, read_text

__all__ = ["Fault", "Reading", "SetupFaults", "parse", "read_text"]

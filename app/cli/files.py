"""Reading the setup that a command is about, and writing what it asks for."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from app.cli.refused import Refused
from app.document.atomic import reason, write_whole
from app.document.files import SetupFaults, read_setup
from app.document.model import Setup
from app.geometry_words import geometry_words
from app.limit_kinds import LIMIT_KINDS
from app.study import Study, study
from geometry.errors import GeometryError


def load(path: Path) -> Setup:
    """Return the setup in a file, or refuse with every fault."""
    try:
        return read_setup(path, limit_kinds=LIMIT_KINDS).setup
    except SetupFaults as faults:
        raise Refused(fault_words(path, faults)) from None


def fault_words(path: Path, faults: SetupFaults) -> str:
    """Return the faults, a line each, under a count of them."""
    lines = [str(fault) for fault in faults.faults]
    if len(lines) == 1:
        return lines[0]
    return "\n".join([f"{path.name} has {len(lines)} faults:", *(f"  {line}" for line in lines)])


def solve(setup: Setup, path: Path) -> Study:
    """Return the study of a setup, or refuse with what can't be built."""
    if "front.kind" not in setup.evidence:
        raise Refused(f"{path.name} gives no front suspension.")
    try:
        study(_as_measured(setup))
    except GeometryError as error:
        words = geometry_words(error, setup.units)
        raise Refused(f"{path.name}: the measured points can't be built. {words}") from None
    try:
        return study(setup)
    except GeometryError as error:
        words = geometry_words(error, setup.units)
        raise Refused(
            f"{path.name}: the proposal can't be built. {words} Switch its changes off one by one."
        ) from None


def write_file(path: Path, data: bytes) -> None:
    """Write a file whole; pipes and devices as they are. Refuse what can't be written."""
    try:
        if path.exists() and not stat.S_ISREG(path.stat().st_mode) and not path.is_dir():
            path.write_bytes(data)
        else:
            write_whole(path, data)
    except OSError as error:
        raise Refused(f"{path} can't be written: {reason(error)}.") from None
    except ValueError:
        raise Refused(f"{os.fspath(path)!r} is no file's name.") from None


def _as_measured(setup: Setup) -> Setup:
    return setup.having(changes=())

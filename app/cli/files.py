"""Reading the setup that a command is about, and writing what it asks for."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any

from app.cli.questions import unbuilt_words
from app.cli.refused import Refused
from app.document.atomic import reason, write_whole
from app.document.faults import TOLD, rest_words
from app.document.files import SaveError, SetupFaults, read_setup, write_setup
from app.document.model import Setup
from app.systems.every import LIMIT_KINDS, given_systems
from app.systems.report import Report
from app.systems.system import System
from geometry.errors import GeometryError


def load(path: Path) -> Setup:
    """Return the setup in a file, or refuse with every fault."""
    try:
        return read_setup(path, limit_kinds=LIMIT_KINDS).setup
    except SetupFaults as faults:
        raise Refused(fault_words(path, faults)) from None


def fault_words(path: Path, faults: SetupFaults) -> str:
    """Return the faults, a line each, under a count of them."""
    count = len(faults.faults)
    lines = [str(fault) for fault in faults.faults[:TOLD]]
    if count == 1:
        return lines[0]
    lines += filter(None, [rest_words(count)])
    return "\n".join([f"{path.name} has {count} faults:", *(f"  {line}" for line in lines)])


def solve(setup: Setup, path: Path, axle: str | None = None) -> tuple[Report, ...]:
    """Return the ends of the car that the file gives, front first, or the one asked for.

    Refuse what isn't given or can't be built.
    """
    systems = given_systems(setup)
    if axle is not None and axle not in {system.key for system in systems}:
        raise Refused(f"{path.name} gives no {axle} suspension.")
    if not systems:
        raise Refused(f"{path.name} gives no suspension: neither [front] nor [rear].")
    return tuple(_end(setup, path, system) for system in systems if axle in (None, system.key))


def _end(setup: Setup, path: Path, system: System[Any]) -> Report:
    axle = system.key
    try:
        system.study(measured := setup.having(changes=()))
    except GeometryError as error:
        words = f"the {axle} as measured can't be built."
        raise Refused(unbuilt_words(words, error, measured, path, axle)) from None
    try:
        study = system.study(setup)
        _ = study.unsettled  # at the measured height, where it may not reach
        return system.report(study)
    except GeometryError as error:
        words = f"the {axle} as proposed can't be built."
        unbuilt = unbuilt_words(words, error, setup, path, axle)
        raise Refused(f"{unbuilt} Switch its changes off one by one.") from None


def write_car(output: Path, path: Path, setup: Setup) -> None:
    """Write a changed setup as a new file, in the text of the one that it was read from."""
    try:
        write_setup(output, setup, read_setup(path, limit_kinds=LIMIT_KINDS), overwrite=True)
    except SaveError as error:
        raise Refused(str(error)) from None


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

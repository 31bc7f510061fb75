"""The faults of a setup file, worded for the person who wrote it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: where it is, what was found, what was expected, and what may have been meant."""

    file: str
    line: int | None
    key: str
    found: str
    expected: str
    hint: str = ""
    column: int | None = None

    @property
    def where(self) -> str:
        """Return file and line in words."""
        line = "" if self.line is None else f", line {self.line}"
        column = "" if self.column is None else f", column {self.column}"
        return f"{self.file}{line}{column}"

    @property
    def words(self) -> str:
        """Return what is wrong, without the place in a file."""
        key = f"{self.key}: " if self.key else ""
        expected = f"; expected {self.expected}" if self.expected else ""
        hint = f" {self.hint}" if self.hint else ""
        return f"{key}{self.found}{expected}.{hint}"

    def __str__(self) -> str:
        return f"{self.where}: {self.words}"


TOLD: Final = 20  # faults of one file: nobody mends more before looking again


def rest_words(count: int) -> str:
    """Return how many of a file's faults aren't told; nothing when all are."""
    return f"And {count - TOLD} more: mend these first." if count > TOLD else ""


class SetupFaults(Exception):
    """A file that can't be read as a setup, with every fault that was found."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))

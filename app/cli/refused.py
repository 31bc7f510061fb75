"""The error that ends a command: one or more sentences and an exit status."""

from __future__ import annotations

from typing import Final

WRONG_CALL: Final = 2
WRONG_FILE: Final = 1


class Refused(Exception):
    """A command that can't be done, with what to tell the user."""

    def __init__(self, words: str, status: int = WRONG_FILE) -> None:
        super().__init__(words)
        self.words = words
        self.status = status

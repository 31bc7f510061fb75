"""Drafts of cars that aren't fully measured, kept on disk with every text that was typed.

Each is one file, written whole each time: the setup as far as it goes as a setup file's text, and
beside it what was typed. A lock tells whether its window still lives.
"""

from __future__ import annotations

import contextlib
import json
import secrets
from dataclasses import asdict
from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import QDate, QDateTime, QLocale, QLockFile

from app.document.atomic import write_whole
from app.document.files import read_text, text_of
from app.document.model import FrozenMap
from app.document.plain_text import one_line
from app.entry.typed import Draft
from app.entry.typed_text import Base, TypedText
from app.systems.every import LIMIT_KINDS
from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A car that an earlier window left unfinished."""

    path: Path
    draft: Draft
    step: str  # where it was left
    when: float  # s since 1970

    @property
    def title(self) -> str:
        """The car's name, or words for none."""
        return one_line(self.draft.before.title) or "A car without a name"

    @property
    def day(self) -> str:
        """The day on which it was left."""
        day = QDateTime.fromSecsSinceEpoch(int(self.when)).date()
        ago = day.daysTo(QDate.currentDate())
        return {0: "today", 1: "yesterday"}.get(ago, f"on {QLocale().toString(day)}")


class DraftStore:
    """The file of one draft."""

    def __init__(self, folder: Path, path: Path | None = None) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.path = path or folder / f"car-{secrets.token_hex(6)}.json"
        self._lock = _lock_of(self.path)
        self._lock.tryLock(0)

    def keep(self, draft: Draft, step: str) -> None:
        """Write the car as it is now; raise OSError when that can't be done."""
        write_whole(self.path, text_of_draft(draft, step).encode())

    def leave(self) -> None:
        """Release the draft's file; the draft can be continued later."""
        self._lock.unlock()

    def discard(self) -> None:
        """Delete the draft."""
        with contextlib.suppress(OSError):
            self.path.unlink()
        self._lock.unlock()


def unfinished(folder: Path) -> tuple[Unfinished, ...]:
    """Return the cars that no living window works on, the latest first."""
    cars = []
    for path in folder.glob("car-*.json"):
        lock = _lock_of(path)
        if lock.tryLock(0):
            lock.unlock()
            with contextlib.suppress(Exception):  # one that is damaged hides no other
                draft, step = draft_from(path.read_text("utf-8"))
                cars.append(Unfinished(path, draft, step, path.stat().st_mtime))
    return tuple(sorted(cars, key=lambda car: -car.when))


def text_of_draft(draft: Draft, step: str) -> str:
    """Return everything about a draft as text."""
    about = {
        "setup": text_of(draft.before),
        "readings": {name: asdict(reading) for name, reading in draft.readings.items()},
        "kept": sorted(draft.kept),
        "both_sides": draft.both_sides,
        "converts": draft.converts,
        "step": step,
    }
    return json.dumps(about, ensure_ascii=False, indent=1)


def draft_from(text: str) -> tuple[Draft, str]:
    """Return a draft from its text, and the step it was left at."""
    about = cast(dict[str, Any], json.loads(text))
    before = read_text(about["setup"], "it", limit_kinds=LIMIT_KINDS, partial=True).setup
    readings = {
        name: TypedText(entry["text"], entry["units"], Base(**entry["base"]))
        for name, entry in about["readings"].items()
    }
    answers = frozenset((key, kind, value) for key, kind, value in about["kept"])
    both_sides, converts = bool(about["both_sides"]), bool(about.get("converts", False))
    draft = Draft(before, FrozenMap(readings), answers, both_sides, converts)
    return draft, str(about["step"])


def _lock_of(path: Path) -> QLockFile:
    lock = QLockFile(str(path.with_suffix(".lock")))
    lock.setStaleLockTime(0)
    return lock

"""Unsaved work, kept where a crash or a power cut can't reach it.

Each open setup has a file of its own in the recovery folder, written whole each time, with a
small companion that says what it is of. A lock tells whether the program that wrote it still
lives; what dead programs left is offered again. No clock here: the time is passed in.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import IO

from app.document.atomic import reason, write_whole
from app.document.files import LoadedSetup, SaveError, read_setup, text_of
from app.document.model import Setup

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # a system without such locks; see _is_free
    fcntl = None


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Work that a program left unsaved when it died."""

    path: Path
    title: str
    original: Path | None  # the file it was opened from or saved to
    when: float  # s since 1970, as passed in when it was kept

    def setup(self, limit_kinds: Mapping[str, str] | None = None) -> Setup:
        """Return the setup that was kept; raise SetupFaults if the file was damaged since."""
        return read_setup(self.path, limit_kinds=limit_kinds, partial=True).setup

    def discard(self) -> None:
        """Remove it: it was taken up again, or isn't wanted."""
        _remove(self.path)
        _unlink(_lock_path(self.path))


class Recovery:
    """The place where one open setup keeps its unsaved work while its program lives."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.path = folder / f"rec-{os.getpid()}-{secrets.token_hex(4)}.toml"
        self._lock: IO[bytes] | None = None
        lock = _lock_path(self.path)
        while self._lock is None or not lock.exists():  # another program may be tidying up
            self._lock = lock.open("wb")
            _hold(self._lock)

    def keep(
        self,
        setup: Setup,
        when: float,
        original: Path | None = None,
        loaded: LoadedSetup | None = None,
    ) -> None:
        """Keep the setup as it is now; raise SaveError when that can't be done.

        Waiting for the disk takes tens of milliseconds: a window calls this from another thread,
        which is safe since nothing of what it is given can change.
        """
        about = {"title": setup.title, "original": str(original or ""), "when": when}
        data = text_of(setup, loaded).encode()
        try:
            write_whole(_about_path(self.path), json.dumps(about).encode(), lasting=False)
            write_whole(self.path, data)
        except OSError as error:
            raise SaveError(unkept_words(error)) from error

    def clear(self) -> None:
        """Forget what was kept: it is saved, or no longer wanted."""
        _remove(self.path)

    def close(self) -> None:
        """Forget what was kept and let go of the place."""
        self.clear()
        if self._lock is not None:
            self._lock.close()
            self._lock = None
        _unlink(_lock_path(self.path))


def unkept_words(error: OSError) -> str:
    """Return why unsaved work can't be kept, in plain words."""
    return f"Unsaved work can't be kept safe: {reason(error)}. Save it elsewhere."


def left_overs(folder: Path) -> tuple[LeftOver, ...]:
    """Return what programs that no longer live have left in the folder, the latest first."""
    found = [path for path in folder.glob("rec-*.toml") if not _lock_path(path).exists()]
    for lock in folder.glob("rec-*.lock"):
        with _claimed(lock) as is_free:
            path = lock.with_suffix(".toml")
            if is_free and path.exists():
                found.append(path)
            elif is_free:
                _remove(path)
                _unlink(lock)
    return tuple(sorted(map(_left_over, found), key=lambda left: -left.when))


def _left_over(path: Path) -> LeftOver:
    read: object = None
    with contextlib.suppress(OSError, ValueError):
        read = json.loads(_about_path(path).read_bytes())
    about = read if isinstance(read, dict) else {}
    title, original, when = (about.get(name) for name in ("title", "original", "when"))
    return LeftOver(
        path,
        title if isinstance(title, str) else "",
        Path(original) if isinstance(original, str) and original else None,
        float(when) if isinstance(when, int | float) else path.stat().st_mtime,
    )


def _hold(lock: IO[bytes]) -> None:
    with contextlib.suppress(OSError):  # a disk without locks: better unguarded than not kept
        if fcntl is not None:
            fcntl.flock(lock, fcntl.LOCK_EX)


@contextlib.contextmanager
def _claimed(lock: Path) -> Iterator[bool]:
    """Tell whether nobody alive holds a lock, and hold it meanwhile."""
    with contextlib.ExitStack() as stack:
        try:
            file = stack.enter_context(lock.open("rb"))
            if fcntl is not None:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            else:  # there, a file that a living program holds open can't be renamed
                stack.close()
                lock.rename(lock)
        except OSError:
            yield False
            return
        yield True


def _lock_path(path: Path) -> Path:
    return path.with_suffix(".lock")


def _about_path(path: Path) -> Path:
    return path.with_suffix(".json")


def _remove(path: Path) -> None:
    """Remove what was kept, its companion, and what a kill left of either."""
    unfinished = path.parent.glob(f".{path.stem}.*.unfinished")
    for each in (path, _about_path(path), *unfinished):
        _unlink(each)


def _unlink(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()

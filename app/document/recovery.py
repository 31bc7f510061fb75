"""Unsaved work, kept where a crash or a power cut can't reach it.

Each open setup has a file of its own in the recovery folder, written whole each time, with a
small companion that says what it is of. A lock tells whether the program that wrote it still
lives; what dead programs left is offered again. Work that is taken up again stays in its file,
which then belongs to who took it up: there is no moment at which it isn't on the disk. No clock
here: the time is passed in.

During a drag of points there is a third file, `.moving`, the quick form: a new text that isn't
read again to see whether it says the same. That takes a sixth of the time, which a drag would
feel, and the text that was proved stays beside it for the case that the quick one can't be read.
"""

from __future__ import annotations

import contextlib
import math
import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import IO, Any, Final

from app.document.atomic import reason, write_whole
from app.document.faults import SetupFaults
from app.document.files import LoadedSetup, SaveError, read_setup, text_of
from app.document.model import Setup
from geometry.dataclass import dataclass

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # a system without such locks; see _is_free
    fcntl = None


LATEST: Final = 32_503_680_000.0  # s since 1970: the year 3000, beyond which no clock is right


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Work that a program left unsaved when it died."""

    path: Path
    title: str
    original: Path | None  # the file it was opened from or saved to
    when: float  # s since 1970, as passed in when it was kept
    digest: str = ""  # of the file's bytes when the work began; empty when that isn't known
    has_mark: bool = False  # the file began with a byte-order mark

    def setup(self, limit_kinds: Mapping[str, str] | None = None) -> Setup:
        """Return the setup that was kept; raise SetupFaults if the file was damaged since."""
        moving = _moving_path(self.path)
        if _is_later(moving, self.path):
            with contextlib.suppress(SetupFaults):
                return read_setup(moving, limit_kinds=limit_kinds, partial=True).setup
        return read_setup(self.path, limit_kinds=limit_kinds, partial=True).setup

    def loaded(self, limit_kinds: Mapping[str, str] | None = None) -> LoadedSetup | None:
        """Return how the work stands to the file it began from; None if it never had one.

        The text is the kept one, which has the remarks of when the work began: whatever was done
        to the file since, nothing of it gets in between. The digest is that of then, so that
        saving asks before it overwrites what somebody else has saved.
        """
        if self.original is None:
            return None
        loaded = read_setup(self.path, limit_kinds=limit_kinds, partial=True)
        return replace(loaded, path=self.original, digest_then=self.digest, has_mark=self.has_mark)

    def discard(self) -> None:
        """Remove the unwanted work, unless another program has taken it up meanwhile."""
        lock = _lock_path(self.path)
        with _claimed(lock) as is_free:
            if is_free or not lock.exists():
                _remove(self.path)
                _unlink(lock)


class Recovery:
    """The place where one open setup keeps its unsaved work while its program lives."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / f"rec-{os.getpid()}-{os.urandom(4).hex()}.toml"
        self._lock: IO[bytes] | None = None
        self._settle_in()

    @classmethod
    def of(cls, leftover: LeftOver) -> Recovery:
        """Return the place of work that is taken up again; raise OSError if another has it."""
        lock = _lock_path(leftover.path)
        if fcntl is None and lock.exists():
            lock.rename(lock)  # as in _claimed
        place = cls.__new__(cls)
        place.path, place._lock = leftover.path, lock.open("ab")
        try:
            _hold(place._lock, waits=False)
        except OSError:
            place._lock.close()
            raise
        return place

    def keep(
        self,
        setup: Setup,
        when: float,
        original: Path | None = None,
        loaded: LoadedSetup | None = None,
        *,
        is_moving: bool = False,
    ) -> None:
        """Keep the setup as it is now; raise SaveError when that can't be done.

        Waiting for the disk takes tens of milliseconds: a window calls this from another thread,
        which is safe since nothing of what it is given can change. During a drag of points, the
        quick form is kept, where a proved one is there to fall back on.
        """
        import json  # these as late as the first work to keep: each start loads this file

        from app.document.writer import new_text

        about = {
            "title": setup.title,
            "original": str(original.absolute()) if original else "",
            "when": when,
            "digest": loaded.digest if loaded else "",
            "has_mark": loaded is not None and loaded.has_mark,
        }
        is_quick = is_moving and self.path.exists()
        data = (new_text(setup) if is_quick else text_of(setup, loaded)).encode()
        try:
            self._settle_in()
            write_whole(_about_path(self.path), json.dumps(about).encode(), lasting=False)
            write_whole(_moving_path(self.path) if is_quick else self.path, data)
        except OSError as error:
            raise SaveError(unkept_words(error)) from error
        if not is_quick:
            _unlink(_moving_path(self.path))

    def _settle_in(self) -> None:
        """Make folder and lock, again if they were deleted meanwhile."""
        lock = _lock_path(self.path)
        if self._lock is not None and lock.exists():
            return
        self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        while self._lock is None or not lock.exists():  # another program may be tidying up
            if self._lock is not None:
                self._lock.close()
            self._lock = lock.open("wb")
            _hold(self._lock)

    def clear(self) -> None:
        """Delete the recovery copy: the work is saved, or no longer wanted."""
        _remove(self.path)

    def close(self) -> None:
        """Delete the recovery copy and release its lock."""
        self.clear()
        if self._lock is not None:
            self._lock.close()
            self._lock = None
        _unlink(_lock_path(self.path))


def unkept_words(error: OSError) -> str:
    """Return why unsaved work can't be kept, in plain words."""
    return f"Unsaved work can't be kept safe: {reason(error)}. Save it elsewhere."


def left_overs(folder: Path) -> tuple[LeftOver, ...]:
    """Return unsaved work of programs that have ended, the latest first."""
    paths = [path for path in folder.glob("rec-*.toml") if not _lock_path(path).exists()]
    for lock in folder.glob("rec-*.lock"):
        with _claimed(lock) as is_free:
            path = lock.with_suffix(".toml")
            if is_free and path.exists():
                paths.append(path)
            elif is_free:
                _remove(path)
                _unlink(lock)
    return tuple(sorted(map(_left_over, paths), key=lambda leftover: -leftover.when))


def _left_over(path: Path) -> LeftOver:
    """Return what is known of kept work; its companion may be damaged in any way."""
    about = _about(path)
    title, digest = about.get("title"), about.get("digest")
    return LeftOver(
        path,
        title if isinstance(title, str) else "",
        _original(about.get("original")),
        _when(about.get("when"), path),
        digest if isinstance(digest, str) else "",
        about.get("has_mark") is True,
    )


def _is_later(path: Path, other: Path) -> bool:
    """Tell whether a file is there and was written after another: a kill may leave both."""
    try:
        return path.stat().st_mtime_ns >= other.stat().st_mtime_ns
    except OSError:
        return False


def _about(path: Path) -> dict[str, Any]:
    import json

    # RecursionError: brackets in brackets without end
    with contextlib.suppress(OSError, ValueError, RecursionError):
        about = json.loads(_about_path(path).read_bytes())
        return about if isinstance(about, dict) else {}
    return {}


def _original(name: object) -> Path | None:
    if not isinstance(name, str) or "\0" in name:
        return None
    path = Path(name)
    return path if path.is_absolute() else None


def _when(when: object, path: Path) -> float:
    """Return the time a companion gives, or that of the file where it gives none that can be."""
    if isinstance(when, int | float) and not isinstance(when, bool):
        with contextlib.suppress(OverflowError):
            if math.isfinite(when) and 0.0 <= when <= LATEST:
                return float(when)
    with contextlib.suppress(OSError):
        return path.stat().st_mtime
    return 0.0


def _hold(lock: IO[bytes], waits: bool = True) -> None:
    """Hold a lock; without `waits`, raise BlockingIOError if another program holds it."""
    if fcntl is None:
        return
    try:
        fcntl.flock(lock, fcntl.LOCK_EX if waits else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError:  # a disk without locks: better unguarded than not kept
        return


@contextlib.contextmanager
def _claimed(lock: Path) -> Iterator[bool]:
    """Tell whether no running program holds a lock; hold it during the block."""
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


def _moving_path(path: Path) -> Path:
    return path.with_suffix(".moving")


def _remove(path: Path) -> None:
    """Remove what was kept, its companion, and what a kill left of either."""
    unfinished = path.parent.glob(f".{path.stem}.*.unfinished")
    for leftover in (path, _moving_path(path), _about_path(path), *unfinished):
        _unlink(leftover)


def _unlink(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()

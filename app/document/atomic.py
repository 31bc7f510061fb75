"""Writing a file whole or not at all, whatever happens on the way."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import time
from pathlib import Path
from typing import Final

_LEFT_OVER: Final = 60.0  # s; an unfinished file older than this was left by a power cut or a kill
_REASONS: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk space allowed to you is used up",
    errno.EFBIG: "the disk takes no file of this size",
    errno.EACCES: "you are not allowed to write there",
    errno.EPERM: "you are not allowed to write there",
    errno.EROFS: "the disk can only be read",
    errno.ENOENT: "the folder is not there",
    errno.ENOTDIR: "the folder is not there",
    errno.EEXIST: "there is a file of this name",
    errno.EISDIR: "there is a folder of this name",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "the link leads nowhere",
}


def write_whole(path: Path, data: bytes, *, lasting: bool = True) -> None:
    """Replace a file: write beside it, wait until that is on the disk, then rename it over it.

    A symbolic link stays one: its target is written. Permissions stay. When anything fails, the
    file is as it was and nothing is left beside it. What needn't last through a power cut isn't
    waited for: a disk takes some 10 ms to confirm.
    """
    target = Path(os.path.realpath(path))
    if target.is_symlink():  # links in a circle: there is no file to write, and they aren't ours
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path))
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(target))
    _remove_left_over(target)
    beside = target.with_name(f".{target.name[:80]}.{os.urandom(6).hex()}.unfinished")
    try:
        _write_new(beside, data, target, lasting)
        os.replace(beside, target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    if lasting:
        _sync_folder(target.parent)


def reason(error: OSError) -> str:
    """Return why a file can't be read or written, in plain words."""
    return _REASONS.get(error.errno or 0, error.strerror or str(error))


def _write_new(beside: Path, data: bytes, target: Path, lasting: bool) -> None:
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666)
    try:
        _keep_permissions(descriptor, target)
        view = memoryview(data)
        while view:
            view = view[os.write(descriptor, view) :]
        if lasting:
            os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _keep_permissions(descriptor: int, target: Path) -> None:
    with contextlib.suppress(FileNotFoundError, AttributeError):
        status = target.stat()
        with contextlib.suppress(PermissionError):
            os.fchown(descriptor, status.st_uid, status.st_gid)
        os.fchmod(descriptor, stat.S_IMODE(status.st_mode))


def _sync_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system can."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _remove_left_over(target: Path) -> None:
    for old in target.parent.glob(f".{_plain(target.name[:80])}.*.unfinished"):
        with contextlib.suppress(OSError):
            if time.time() - old.stat().st_mtime > _LEFT_OVER:
                old.unlink()


def _plain(name: str) -> str:
    """Return a name in which no character means anything to a search."""
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)


_BINARY: Final = getattr(os, "O_BINARY", 0)  # where text files have line ends of their own

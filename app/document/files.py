"""Setup files on disk: read with every fault, written whole or not at all."""

from __future__ import annotations

import codecs
import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from app.document.atomic import reason, write_whole
from app.document.faults import Fault, SetupFaults
from app.document.model import Setup
from app.document.reading import ParsedSetup, read_text
from app.document.same import same_setup
from app.document.upgrades import FORMAT
from geometry.dataclass import dataclass

__all__ = [
    "ChangedOnDisk",
    "Fault",
    "LoadedSetup",
    "ParsedSetup",
    "SaveError",
    "SetupFaults",
    "is_same_place",
    "read_setup",
    "read_text",
    "text_of",
    "write_setup",
]

_LARGEST: Final = 4_000_000  # bytes; the largest setup imaginable is a hundredth of it


class SaveError(Exception):
    """A setup that couldn't be saved, with the reason in the user's words."""


class ChangedOnDisk(SaveError):
    """The file is no longer what was read: saving would overwrite someone's work."""


@dataclass(frozen=True, slots=True)
class LoadedSetup:
    """A setup with the file it came from, and the text that was there."""

    path: Path
    setup: Setup
    text: str
    format: int = FORMAT
    has_mark: bool = False  # begins with a byte-order mark
    digest_then: str | None = None  # where it isn't the text's: of the file when work began

    @property
    def digest(self) -> str:
        """What tells the bytes on the disk from others; empty where they aren't known."""
        return _digest(self._data) if self.digest_then is None else self.digest_then

    @property
    def _data(self) -> bytes:
        return (codecs.BOM_UTF8 if self.has_mark else b"") + self.text.encode()


def read_setup(
    path: str | os.PathLike[str],
    *,
    limit_kinds: Mapping[str, str] | None = None,
    partial: bool = False,
) -> LoadedSetup:
    """Return the setup in a file; raise SetupFaults with every fault, whatever the file is.

    With `partial`, a car that isn't measured to the end can be read: keys.missing_keys says what
    it lacks.
    """
    place = Path(path)
    data = _bytes(place)
    text = _decoded(place.name, data.removeprefix(codecs.BOM_UTF8))
    reading = read_text(text, place.name, limit_kinds=limit_kinds, partial=partial)
    marked = data.startswith(codecs.BOM_UTF8)
    return LoadedSetup(place, reading.setup, text, reading.format, marked)


def write_setup(
    path: str | os.PathLike[str],
    setup: Setup,
    loaded: LoadedSetup | None = None,
    *,
    overwrite: bool = False,
) -> LoadedSetup:
    """Save a setup and return it as loaded; what was read before keeps its text's style.

    A file that isn't what was read is only overwritten when `overwrite` says so.
    """
    place = Path(path)
    text = text_of(setup, loaded)
    marked = loaded is not None and loaded.has_mark
    data = (codecs.BOM_UTF8 if marked else b"") + text.encode()
    expected = loaded.digest if loaded and is_same_place(loaded.path, place) else None
    try:
        digest_on_disk = _digest(place.read_bytes()) if place.exists() else None
        if digest_on_disk is not None and digest_on_disk != expected and not overwrite:
            raise ChangedOnDisk(_changed_words(place, expected is not None))
        if digest_on_disk != _digest(data):
            write_whole(place, data)
    except OSError as error:
        words = f"{place.name} could not be saved: {reason(error)}."
        raise SaveError(f"{words} Nothing was changed on the disk.") from error
    return LoadedSetup(place, setup, text, has_mark=marked)


def text_of(setup: Setup, loaded: LoadedSetup | None = None) -> str:
    """Return the text of a setup: that it was read from with the differences, or a new one."""
    from app.document.rewriting import rewritten  # these as late as there is something to save
    from app.document.upgraded_text import upgraded_text
    from app.document.writer import new_text

    texts = [new_text(setup)]
    if loaded is not None:
        in_format = upgraded_text(loaded.text, loaded.format)
        if in_format is not None:
            texts.insert(0, rewritten(in_format, loaded.setup, setup))
    for text in texts:
        fault = _unreadable(text, setup)
        if not fault:
            return text
    raise SaveError(f"This setup can't be saved: {fault}")


def _unreadable(text: str, setup: Setup) -> str:
    """Return what keeps a text from reading as the setup: nothing is saved that can't be read."""
    try:
        kinds = {name: limit.kind for name, limit in setup.limits.items()}
        kinds |= {name: aim.kind for name, aim in setup.aims.items()}
        kinds |= {want.result: want.kind for want in setup.wants}
        reading = read_text(text, "it", limit_kinds=kinds, partial=True)
    except SetupFaults as faults:
        return faults.faults[0].words  # the text is on no disk: its lines say nothing
    return "" if same_setup(reading.setup, setup) else "its text would not read as it is."


def _bytes(place: Path) -> bytes:
    try:
        status = place.stat()
        if stat.S_ISDIR(status.st_mode):
            raise SetupFaults(
                [Fault(place.name or str(place), None, "", "this is a folder", "a setup file")]
            )
        if not stat.S_ISREG(status.st_mode):
            raise SetupFaults([Fault(place.name, None, "", "this is no file", "a setup file")])
        if status.st_size > _LARGEST:
            size = f"this file is {status.st_size / 1e6:.0f} MB large"
            raise SetupFaults([Fault(place.name, None, "", size, "a setup file, of a few kB")])
        return place.read_bytes()
    except FileNotFoundError:
        problem = "there is no such file"
        raise SetupFaults([Fault(str(place), None, "", problem, "a setup file")]) from None
    except OSError as error:
        words = f"this can't be read: {reason(error).replace('write', 'read')}"
        raise SetupFaults([Fault(place.name, None, "", words, "a setup file")]) from None
    except ValueError:  # a name with a zero in it
        words = "this is no file's name"
        raise SetupFaults([Fault(repr(str(place)), None, "", words, "a setup file")]) from None


def _decoded(name: str, data: bytes) -> str:
    if not data.strip():
        raise SetupFaults([Fault(name, 1, "", "the file is empty", "a setup")])
    wide = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
    if data.startswith(wide):
        words = f"the text is saved as UTF-{32 if data.startswith(wide[:2]) else 16}"
        raise SetupFaults([Fault(name, 1, "", words, "UTF-8: save it so in your editor")])
    try:
        return data.decode()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        words = f"a character that is no UTF-8 (byte {data[error.start]:#04x})"
        hint = "Save the file as UTF-8 in your editor."
        from app.document.syntax import key_on_line  # only for a mistake

        key = key_on_line(data.decode(errors="replace"), line)
        raise SetupFaults([Fault(name, line, key, words, "UTF-8 text", hint)]) from None


def _digest(data: bytes) -> str:
    import hashlib  # a start has no time for it

    return hashlib.sha256(data).hexdigest()


def is_same_place(a: Path, b: Path) -> bool:
    """Tell whether two names are of one file."""
    return os.path.realpath(a) == os.path.realpath(b)


def _changed_words(place: Path, was_read: bool) -> str:
    if was_read:
        return f"{place.name} was changed by something else since it was opened."
    return f"There is already a file {place.name}."

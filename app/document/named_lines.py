"""Where in a file the points stand that a sentence names: measured, and moved by changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from app.document.address import left_of
from app.document.checks import spelt
from app.document.files import LoadedSetup
from app.document.keys import KEYS
from app.document.model import Setup
from app.document.toml_layout import Layout, Path

Address = tuple[str, *tuple[str | int, ...]]  # a key, and the way down to a part of its value
Place = tuple[int, str]  # the line, and the key as it stands there


def places_of(
    addresses: Iterable[Address], setup: Setup, loaded: LoadedSetup | None
) -> tuple[Place, ...]:
    """Return the places of values in the file they were read from; none where they aren't in it.

    With a setup that has changes, what moves or sets the points by those that are on is there too.
    """
    if loaded is None or setup.evidence != loaded.setup.evidence:
        return ()
    layout = Layout(loaded.text)
    paths = (
        (layout.line_of(path), spelt(path))
        for key, *inside in addresses
        for path in _paths(str(key), tuple(inside), setup, layout)
    )
    return tuple(dict.fromkeys(paths))


def place_words(places: Iterable[Place]) -> str:
    """Return places in words: "line 85, rear.points.rear_eye; line 86, …"."""
    return "; ".join(f"line {line}, {key}" for line, key in places)


def _paths(key: str, inside: Path, setup: Setup, layout: Layout) -> Iterator[Path]:
    names = (key, left_of(key))  # a right-hand point may be the left one's mirror
    for name in dict.fromkeys(names):
        if KEYS[name].place in layout.spans:
            yield _deepest(KEYS[name].place, inside, layout)
            break
    for index, change in enumerate(setup.changes):
        if change.on:
            for table, values in (("move", change.moves), ("set", change.sets)):
                start: Path = ("change", index, table)
                yield from (
                    _deepest(path, inside, layout)
                    for path in layout.spans
                    if path[:3] == start and ".".join(map(str, path[3:])) in names and values
                )


def _deepest(place: Path, inside: Path, layout: Layout) -> Path:
    """Return the way from a value's place down to a part of it, as far as the file gives it."""
    whole = (*place, *inside)
    while len(whole) > len(place) and whole not in layout.spans:
        whole = whole[:-1]
    return whole

"""Reading the changes of a setup file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from app.document.address import left_of
from app.document.checks import Checker, strange
from app.document.ends import split_key
from app.document.keys import KEYS
from app.document.model import Change, FrozenMap, Value, Vec
from app.document.read_values import Tables, is_given, read_value
from app.document.toml_layout import Path

_CHANGE: Final = ("name", "on", "parts", "toe", "aligns", "note", "move", "set")
_DEEPEST: Final = 10  # parts of a path: a key has five, its place in the file three more
_A_NAME: Final = 'a name for the change, as "Upper pivots lower"'


class ChangeReader:
    """Reads the changes, noting the faults in a checker."""

    def __init__(self, check: Checker, tables: Tables, spring: str) -> None:
        self.check = check
        self.tables = tables
        self.spring = spring
        self.added = {name for table in set_tables(tables) for name in table}

    def changes(self) -> tuple[Change, ...]:
        """Return the changes, in file order."""
        tables = self.check.tables(("change",), self.tables["change"])
        changes = tuple(self._change(path, table) for path, table in tables)
        taken: dict[str, int] = {}
        for (path, _), change in zip(tables, changes, strict=True):
            number = taken.setdefault(change.name, len(taken))
            if change.name and tables[number][0] != path:
                words = f'"{change.name}" is also the name of change {number + 1}'
                self.check.fault((*path, "name"), words, "a name of its own for each change")
        return changes

    def _change(self, path: Path, table: Mapping[str, object]) -> Change:
        check = self.check
        for key in strange(table, _CHANGE):
            check.unknown((*path, key), _CHANGE)
        name = check.text((*path, "name"), table.get("name", ""))
        if name is not None and not name.strip():
            check.fault((*path, "name"), "missing", _A_NAME)
        on = check.switch((*path, "on"), table.get("on", True))
        parts = check.choice((*path, "parts"), table.get("parts", "kept"), ("kept", "made to fit"))
        toe = check.choice((*path, "toe"), table.get("toe", "reset"), ("reset", "left"))
        aligns = check.switch((*path, "aligns"), table.get("aligns", False))
        note = check.text((*path, "note"), table.get("note", ""))
        moves = self._moves((*path, "move"), table["move"]) if "move" in table else {}
        sets = self._sets((*path, "set"), table["set"]) if "set" in table else {}
        return Change(
            name or "",
            on is not False,
            "made to fit" if parts == "made to fit" else "kept",
            "left" if toe == "left" else "reset",
            note or "",
            FrozenMap(moves),
            FrozenMap(sets),
            aligns is True,
        )

    def _moves(self, path: Path, raw: object) -> dict[str, Vec]:
        moves: dict[str, Vec] = {}
        for at, name, item in self._named(path, raw):
            if KEYS[name].kind != "point":
                self.check.fault(at, "this is no point", "a point to move; values go under set")
            elif not self._can_move(name):
                self.check.fault(at, "this file gives no such point", "a point it gives")
            else:
                move = self.check.vector(at, item, "length")
                moves |= {} if move is None else {name: move}
        return moves

    def _can_move(self, name: str) -> bool:
        names = (name, left_of(name))
        return any(n in self.added or is_given(self.tables, KEYS[n]) for n in names)

    def _sets(self, path: Path, raw: object) -> dict[str, Value]:
        sets: dict[str, Value] = {}
        for at, name, item in self._named(path, raw):
            if KEYS[name].settable:
                value = read_value(self.check, KEYS[name], at, item, self.spring)
                sets |= {} if value is None else {name: value}
            else:
                end, last = split_key(name)
                hint = f"Choose the height as {end}_height under [proposal]."
                hint = hint if last == "arch_height" else ""
                self.check.fault(at, "this says what is there; a change can't set it", "", hint)
        return sets

    def _named(self, path: Path, raw: object) -> Iterator[tuple[Path, str, object]]:
        """Return path, key and raw value of the keys of a change's table that are known."""
        names: set[str] = set()
        for at, name, item in _flat(path, self.check.table(path, raw)):
            if name in names:
                self.check.fault(at, f"{name} is given twice", "each key once")
            elif name in KEYS:
                yield at, name, item
            else:
                plain = name.replace(".points_right.", ".right.").replace(".points.", ".")
                hint = f"Did you mean {plain}?" if plain in KEYS else ""
                self.check.unknown((*path, name), KEYS, hint, at=at)
            names.add(name)


def set_tables(tables: Tables) -> list[dict[str, object]]:
    """Return what each change sets, as it stands in the file, by dotted key."""
    changes = tables.get("change")
    raw = [c.get("set") if isinstance(c, dict) else None for c in _list(changes)]
    return [{n: v for _, n, v in _flat((), r)} if isinstance(r, dict) else {} for r in raw]


def _list(raw: object) -> list[Any]:
    return raw if isinstance(raw, list) else []


def _flat(
    path: Path, table: Mapping[str, object], above: str = ""
) -> Iterator[tuple[Path, str, object]]:
    """Return the entries of a change's table, whose keys may be quoted or dotted."""
    for name, raw in table.items():
        full = f"{above}{name}"
        if isinstance(raw, dict) and full not in KEYS and len(path) < _DEEPEST:
            yield from _flat((*path, name), raw, f"{full}.")
        else:
            yield (*path, name), full, raw

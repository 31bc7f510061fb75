"""The required keys that a setup file lacks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import cast

from app.document.checks import Checker, spelt, unit_words
from app.document.ends import END, ENDS, key_in
from app.document.faults import Fault
from app.document.keys import KEYS, is_needed, kind_of, missing_keys
from app.document.model import Value
from app.document.read_changes import set_tables
from app.document.read_values import Tables, is_given, spring_kind
from app.document.schema import Key
from app.document.toml_layout import Path


def missing_faults(check: Checker, tables: Tables, values: Mapping[str, Value]) -> Iterator[Fault]:
    """Return a fault for each key that must be given and isn't."""
    for name, expected in (("title", 'title = "…"'), ("units", '"mm" or "in"')):
        if name not in tables:
            yield _lacks(check, (name,), "missing", expected)
    if not (tables.keys() & set(ENDS) or check.meant & {(end,) for end in ENDS}):
        yield _lacks(check, ENDS[:1], "missing", "a suspension, under [front] or [rear]")
    read_values = dict(values)
    for end in END.values():
        if end.key in tables and end.kind:  # the only one: what it needs is known
            read_values.setdefault(key_in(end.key, "kind"), end.kind)
    needed_keys = [key for key in KEYS.values() if is_needed(key, read_values)]
    for key in needed_keys:
        if not is_given(tables, key) and key.place not in check.meant:
            yield _lacks_key(check, key, spring_kind(tables))
    yield from _missing_after_switch(check, tables, read_values)


def _missing_after_switch(
    check: Checker, tables: Tables, read_values: Mapping[str, Value]
) -> Iterator[Fault]:
    """Return what a change needs that switches to the other kind of rear suspension."""
    for i, sets in enumerate(set_tables(tables)):
        kind = sets.get("rear.kind")
        if not isinstance(kind, str) or kind == read_values.get("rear.kind"):
            continue
        switched = cast(Mapping[str, Value], {**read_values, **sets})
        for key in missing_keys(switched):
            if key.needs[:1] == ("rear.kind",) and not is_given(tables, key):
                fault = _lacks_key(check, key, "")
                line = check.layout.line_of(("change", i, "set"))
                hint = f'Change {i + 1} switches to "{kind}", which needs it.'
                yield replace(fault, line=line, hint=hint)


def _lacks_key(check: Checker, key: Key, spring: str) -> Fault:
    shape = {"point": f"[x, y, z]{unit_words('length', check.units)}", "direction": "[x, y, z]"}
    shape["leaves"] = f"a table under [[{spelt(key.place)}]] for each leaf"
    if key.choices:
        shape[key.kind] = " or ".join(f'"{choice}"' for choice in key.choices)
    if key.is_number:
        kind = kind_of(key.name, {"front.spring.kind": spring})
        shape[key.kind] = f"a number{unit_words(kind, check.units)}"
    return _lacks(check, key.place, f"missing ({key.title})", shape.get(key.kind, "text"))


def _lacks(check: Checker, path: Path, found: str, expected: str) -> Fault:
    return Fault(check.file, check.layout.line_of(path), spelt(path), found, expected)

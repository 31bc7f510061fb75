"""The leaves of a pack as rows of typed texts: one leaf a row, the main leaf first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from app.document.bounds import LEAF_ENDS, bound_words
from app.document.entries import EntryError, parse_value
from app.document.leaf_parts import LEAVES
from app.document.model import Leaf, Units
from app.document.schema import HALVES, LEAF_KINDS
from app.document.units import exact_number
from app.entry.typed_text import TypedText

LEAF_FIELDS: Final = ("thickness", *HALVES, "clipped", "taper", "contact", "nip", "note")
TICKED: Final = ("clipped", "taper")
NEEDED: Final = ("thickness", *HALVES)
MOST_LEAVES: Final = 16
YES: Final = "yes"
WHOLE: Final = "whole"  # in the place of a part: the row itself
_LACKING: Final = "it needs its thickness and both halves."
_EMPTY: Final = ""


def field_name(key: str, row: int, part: str) -> str:
    """Return the name of a leaf's field: "rear.pack.leaf.0.thickness"."""
    return f"{key}.{row}.{part}"


def row_and_part(name: str) -> tuple[int, str]:
    """Return the row of a field's name, counted from 0, and its part."""
    row, _, part = name.removeprefix(f"{LEAVES}.").partition(".")
    return int(row), part


def leaf_name(row: int) -> str:
    """Return what a row's leaf is called."""
    return "Main leaf" if row == 0 else f"Leaf {row + 1}"


def leaf_text(leaf: Leaf, part: str, units: Units, decimal: str) -> str:
    """Return a leaf's part for its field."""
    value = getattr(leaf, part)
    if part in TICKED:
        return YES if value not in (False, "none") else _EMPTY
    if part == "note":
        return str(value)
    return (
        _EMPTY if value is None else exact_number(value, LEAF_KINDS[part], units, decimal=decimal)
    )


def leaves_of(
    before: Sequence[Leaf], typed: Mapping[str, TypedText], decimal: str
) -> tuple[dict[int, Leaf], dict[str, str]]:
    """Return the leaves before with what was typed over them, by row, and what can't be read.

    A row in which nothing stands is no leaf; one that lacks a needed number isn't taken.
    """
    rows = {row_and_part(name)[0] for name in typed} | set(range(len(before)))
    texts = {row_and_part(name): (name, text) for name, text in typed.items()}
    leaves: dict[int, Leaf] = {}
    errors: dict[str, str] = {}
    for row in sorted(rows):
        own = before[row] if row < len(before) else None
        fields: dict[str, Any] = {}
        wrong: dict[str, str] = {}
        for part in LEAF_FIELDS:
            if (row, part) in texts:
                name, text = texts[row, part]
                _read(fields, wrong, name, part, text, decimal)
            elif own is not None:
                fields[part] = getattr(own, part)
        told = {k: v for k, v in fields.items() if v not in (None, False, "none", _EMPTY)}
        errors |= wrong
        if not told and not wrong:
            continue
        if not wrong and any(fields.get(part) is None for part in NEEDED):
            first = next(name for (at, _), (name, _text) in texts.items() if at == row)
            key = first.rpartition(".")[0].rpartition(".")[0]
            errors[field_name(key, row, WHOLE)] = f"{leaf_name(row)}: {_LACKING}"
        if all(fields.get(part) is not None for part in NEEDED):
            kept = {k: v for k, v in fields.items() if v is not None}
            leaves[row] = _with_own(own, kept)
    return leaves, errors


def _with_own(own: Leaf | None, fields: Mapping[str, Any]) -> Leaf:
    """Return a leaf; what the guide doesn't ask stays as it was."""
    others = (
        {} if own is None else {name: getattr(own, name) for name in ("modulus", "limit_stress")}
    )
    return Leaf(**{**others, **fields})


def _read(
    fields: dict[str, Any],
    wrong: dict[str, str],
    name: str,
    part: str,
    typed: TypedText,
    decimal: str,
) -> None:
    text = typed.text.strip()
    if part == "clipped":
        fields[part] = bool(text)
    elif part == "taper":
        fields[part] = "parabolic" if text else "none"
    elif part == "note":
        fields[part] = text
    elif not text:
        fields[part] = None
    else:
        try:
            value = parse_value(text, LEAF_KINDS[part], typed.units, decimal=decimal)
            ends = LEAF_ENDS[part]
            bound = bound_words(
                value,
                ends.get("over"),
                ends.get("least"),
                ends.get("most"),
                LEAF_KINDS[part],
                typed.units,
            )
            if bound:
                raise EntryError(f"It must be {bound.replace('-', '−')}.")
            fields[part] = value
        except EntryError as error:
            wrong[name] = str(error)

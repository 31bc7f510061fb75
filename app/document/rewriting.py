"""Writes a changed setup into the text it was read from; unchanged parts keep their text.

Only values that differ are touched, at their own place in the text, so that remarks, order and
the style of numbers stay as the user wrote them. Whole changes are moved as blocks of text.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final, TypeGuard

from app.document.cells import LEAF_FIELDS, change_cells, plane_cells, setup_cells, tape_cells
from app.document.ends import ENDS, end_of
from app.document.heights import HEIGHT_KEYS
from app.document.keys import ALL_KEYS, BY_PLACE, KEYS
from app.document.model import Change, Setup, Vec
from app.document.plan_cells import (
    Cell,
    Cells,
    clearance_cells,
    envelope_cells,
    together_cells,
    want_cells,
)
from app.document.plan_pieces import (
    ADJUSTER_FIELDS,
    AIM_FIELDS,
    CLEARANCE_FIELDS,
    ENVELOPE_FIELDS,
    GAUGE_FIELDS,
    PLAN_ARRAYS,
    PLAN_TABLES,
    ROOM_FIELDS,
    TOGETHER_FIELDS,
    WANT_FIELDS,
)
from app.document.read_planes import PLANE_FIELDS
from app.document.read_tapes import TAPE_FIELDS
from app.document.text_edits import TextEdits
from app.document.toml_layout import Path
from app.document.toml_text import close, number_text
from app.document.writer import (
    cell_text,
    change_text,
    clearance_text,
    envelope_text,
    group_text,
    is_usual,
    leaf_block,
    one_number,
    plane_text,
    tape_text,
    together_text,
    want_text,
)
from geometry.dataclass import dataclass

_TOP: Final = ("format", "title", "units", "notes")
_CHANGE: Final = ("name", "on", "parts", "toe", "aligns", "note")
_PARTS: Final = ("at", "is", "within", "note", "min", "max", "by")
_TO_A_WANT: Final = 3  # names of a path down to one want; to one leaf it is more
_PLAN_FIELDS: Final = (*ROOM_FIELDS, *ADJUSTER_FIELDS, *AIM_FIELDS, *GAUGE_FIELDS)
_FIELDS: Final = {
    "want": WANT_FIELDS,
    "envelope": ENVELOPE_FIELDS,
    "clearance": CLEARANCE_FIELDS,
}
Likeness = Callable[[int, Any, int, Any], bool]


def rewritten(text: str, before: Setup, after: Setup) -> str:
    """Return the text of `before` changed so that it reads as `after`."""
    edits = TextEdits(text, keeps_style=before.units == after.units)
    _put_cells(edits, setup_cells(before), setup_cells(after))
    if before.heights and not after.heights:
        edits.remove_if_empty(("proposal",))
    _put_blocks(edits, ("plane",), _planes(before), _planes(after))
    _put_blocks(edits, ("tape",), _tapes(before), _tapes(after))
    for end in ENDS:
        _put_blocks(edits, (end, "want"), _wants(before, end), _wants(after, end))
        _put_blocks(edits, (end, "envelope"), _envelopes(before, end), _envelopes(after, end))
        _put_blocks(edits, (end, "clearance"), _clearances(before, end), _clearances(after, end))
    _put_blocks(edits, ("together",), _together(before), _together(after))
    sources = _sources(before.changes, after.changes, _same_name, _same_content, _same_place)
    for source, change in zip(sources, after.changes, strict=True):
        if source is not None:
            _put_change(edits, source, before, before.changes[source], after, change)
    if sources != list(range(len(before.changes))):
        fresh = [change_text(after, change) for change in after.changes]
        edits.rearrange(("change",), sources, fresh)
    return edits.text


@dataclass(frozen=True)
class _Block:
    """One block of an array of tables: what it is recognised by, its values, its text if new."""

    identity: object
    cells: Cells
    text: str


def _planes(setup: Setup) -> list[_Block]:
    return [
        _Block((plane.axis, plane.name), plane_cells(setup, plane), plane_text(setup, plane))
        for plane in setup.planes
    ]


def _tapes(setup: Setup) -> list[_Block]:
    return [
        _Block(frozenset(tape.between), tape_cells(setup, tape), tape_text(setup, tape))
        for tape in setup.tapes
    ]


def _wants(setup: Setup, end: str) -> list[_Block]:
    return [
        _Block(want.result, want_cells(setup, want), want_text(setup, want))
        for want in setup.wants
        if end_of(want.result) == end
    ]


def _envelopes(setup: Setup, end: str) -> list[_Block]:
    return [
        _Block(each.name, envelope_cells(each, setup.units), envelope_text(setup, each))
        for each in setup.envelopes
        if each.end == end
    ]


def _clearances(setup: Setup, end: str) -> list[_Block]:
    return [
        _Block(
            frozenset(each.between),
            clearance_cells(each, setup.units),
            clearance_text(setup, each),
        )
        for each in setup.clearances
        if each.end == end
    ]


def _together(setup: Setup) -> list[_Block]:
    return [
        _Block(each.name, together_cells(each), together_text(setup, each))
        for each in setup.together
    ]


def _put_blocks(
    edits: TextEdits, array: Path, before: Sequence[_Block], after: Sequence[_Block]
) -> None:
    sources = _sources(before, after, _same_block, _same_identity, _same_place)
    for source, block in zip(sources, after, strict=True):
        if source is not None:
            base: Path = (*array, source)
            _put_cells(
                edits,
                {base + path: cell for path, cell in before[source].cells.items()},
                {base + path: cell for path, cell in block.cells.items()},
            )
    if sources != list(range(len(before))):
        edits.rearrange(array, sources, [block.text for block in after])


def _put_change(
    edits: TextEdits, index: int, before: Setup, was: Change, after: Setup, now: Change
) -> None:
    old, new = change_cells(before, was), change_cells(after, now)
    base: Path = ("change", index)
    _put_cells(
        edits,
        {base + path: cell for path, cell in old.items()},
        {base + path: cell for path, cell in new.items()},
    )
    if was.moves and not now.moves:
        edits.remove_if_empty((*base, "move"))
    if was.sets and not now.sets:
        edits.remove_if_empty((*base, "set"))


def _same_block(i: int, block: _Block, j: int, before: _Block) -> bool:
    return _same(before.cells, block.cells)


def _same_identity(i: int, block: _Block, j: int, before: _Block) -> bool:
    return block.identity == before.identity


def _same_name(i: int, change: Change, j: int, before: Change) -> bool:
    return change.name == before.name


def _same_content(i: int, change: Any, j: int, before: Any) -> bool:
    if isinstance(change, Change):
        return (change.moves, change.sets) == (before.moves, before.sets)
    return _same(before, change)


def _same_place(i: int, change: Any, j: int, before: Any) -> bool:
    return i == j


def _sources(before: Sequence[Any], after: Sequence[Any], *alike: Likeness) -> list[int | None]:
    """Return for each item after the place of the one before that it is, by the first likeness."""
    free = dict(enumerate(before))
    sources: list[int | None] = [None] * len(after)
    for test in alike:
        for i, item in enumerate(after):
            source = next((j for j, b in free.items() if test(i, item, j, b)), None)
            if sources[i] is None and source is not None:
                sources[i] = source
                del free[source]
    return sources


def _put_cells(edits: TextEdits, was: Cells, now: Cells) -> None:
    """Put what differs between two sets of values into the text, one owner at a time."""
    old, new = _by_owner(was), _by_owner(now)
    for owner in {**new, **old}:
        if not _same(old.get(owner, {}), new.get(owner, {})):
            _put(edits, owner, old.get(owner, {}), new.get(owner, {}))


def _by_owner(cells: Cells) -> dict[Path, Cells]:
    """Return the values by the path of what a file gives as one: a point, a limit, a pack."""
    owners: dict[Path, Cells] = {}
    for path, cell in cells.items():
        length = _owner_length(path)
        owners.setdefault(path[:length], {})[path[length:]] = cell
    return owners


def _owner_length(path: Path) -> int:
    if path[0] == "change":
        return 4 if path[2] in ("move", "set") else 3
    if path[0] in ("plane", "tape", "together") or path[1:2] == ("limits",):
        return 3
    if path[1:2] and path[1] in PLAN_TABLES:
        return 4 if path[1] in PLAN_ARRAYS else 3
    if path[0] == "marks":
        return 2
    names = tuple(map(str, path))
    return next((n for n in range(2, len(path) + 1) if names[:n] in BY_PLACE), len(path))


def _same(old: Cells, new: Cells) -> bool:
    return old.keys() == new.keys() and all(_same_cell(old[path], new[path]) for path in new)


def _same_cell(old: Cell, new: Cell) -> bool:
    if _is_vector(old) and _is_vector(new):
        return len(old) == len(new) and all(map(close, old, new))
    if isinstance(old, str | bool | tuple) or isinstance(new, str | bool | tuple):
        return old == new
    return close(old, new)


def _is_vector(cell: Cell | None) -> TypeGuard[Vec]:
    return isinstance(cell, tuple) and not any(isinstance(part, str) for part in cell)


def _put(edits: TextEdits, owner: Path, old: Cells, new: Cells) -> None:
    """Put one value into the text, in the shape it has there."""
    if not new:
        edits.remove(owner)
    elif not edits.has(owner):
        if any(not is_usual(owner + path, cell) for path, cell in new.items()):
            edits.insert(owner[:-1], str(owner[-1]), group_text(new), _order(owner[:-1]))
    elif _is_pack(new):
        _put_leaves(edits, owner, _leaf_list(old), _leaf_list(new))
    elif any(len(part) > 1 for part in old.keys() ^ new.keys()) and owner[1] in PLAN_TABLES:
        edits.remove(owner)  # a part that is a table itself came or went
        edits.insert(owner[:-1], str(owner[-1]), group_text(new), _order(owner[:-1]))
    elif _has_parts(edits, owner, old):
        _put_parts(edits, owner, old, new)
    elif () in new and len(new) == 1:
        _put_single(edits, owner, old.get(()), new[()])
    elif (high := one_number(new)) is not None:
        _put_single(edits, owner, None, high)
    else:
        edits.replace(owner, group_text(new))


def _has_parts(edits: TextEdits, owner: Path, old: Cells) -> bool:
    """Tell whether the text gives a value as a table with parts that can be put one by one."""
    if owner[1:2] and owner[1] in PLAN_TABLES:
        return any(edits.has((*owner, *part)) for part in old if part)
    return any(edits.has((*owner, part)) for part in ("at", "is", "min", "max"))


def _put_single(edits: TextEdits, path: Path, old: Cell | None, new: Cell) -> None:
    """Put a single value in its place; of a point, only the coordinates that differ."""
    if _is_vector(new) and edits.has((*path, 0)):
        for i, number in enumerate(new):
            if not _is_vector(old) or not close(old[i], number):
                edits.replace((*path, i), number_text(number, edits.style_at((*path, i))))
    else:
        is_list = edits.has((*path, 0))
        style = edits.at(path) if isinstance(new, str) else "" if is_list else edits.style_at(path)
        edits.replace(path, cell_text(new, style))


def _put_parts(edits: TextEdits, owner: Path, old: Cells, new: Cells) -> None:
    """Put the parts of a table of one value: a point's at, within and note; a limit's ends."""
    value_name = "at" if isinstance(new.get((), ()), tuple) else "is"
    for part in {**new, **old}:
        path = (*owner, *(part or (value_name,)))
        if part not in new:
            edits.remove(path)
        elif part in old and _same_cell(old[part], new[part]):
            continue
        elif edits.has(path):
            _put_single(edits, path, old.get(part), new[part])
        elif not is_usual(path, new[part]):
            edits.insert(path[:-1], str(path[-1]), cell_text(new[part]), _PARTS)


def _is_pack(cells: Cells) -> bool:
    return all(path and isinstance(path[0], int) for path in cells)


def _leaf_list(cells: Cells) -> list[Cells]:
    leaves: dict[Path, Cells] = {}
    for path, cell in cells.items():
        leaves.setdefault(path[:1], {})[path[1:]] = cell
    return list(leaves.values())


def _by_field(cells: Cells) -> dict[str, Cells]:
    """Return the cells of a leaf by its fields, which may say how well they are known."""
    fields: dict[str, Cells] = {}
    for path, cell in cells.items():
        fields.setdefault(str(path[0]), {})[path[1:]] = cell
    return fields


def _put_leaves(edits: TextEdits, owner: Path, old: list[Cells], new: list[Cells]) -> None:
    """Put a pack's leaves: each in its place, or as blocks put in order."""
    if len(old) != len(new) and not edits.is_block(owner):
        cells = {(i, *path): cell for i, leaf in enumerate(new) for path, cell in leaf.items()}
        edits.replace(owner, group_text(cells))
        return
    tests = [_same_place] if len(old) == len(new) else [_same_content, _same_place]
    sources = _sources(old, new, *tests)
    for source, leaf in zip(sources, new, strict=True):
        if source is not None:
            was, now = _by_field(old[source]), _by_field(leaf)
            for name in {**now, **was}:
                if not _same(was.get(name, {}), now.get(name, {})):
                    _put(edits, (*owner, source, name), was.get(name, {}), now.get(name, {}))
    if sources != list(range(len(old))):
        edits.rearrange(owner, sources, [leaf_block(owner, leaf) for leaf in new])


def _order(table: Path) -> Sequence[str]:
    """Return the names of a table in the order in which a new file would give them."""
    if not table:
        return _TOP
    if table == ("proposal",):
        return tuple(HEIGHT_KEYS.values())
    if table[0] == "plane":
        return PLANE_FIELDS
    if table[0] == "tape":
        return TAPE_FIELDS
    if table[0] == "together":
        return TOGETHER_FIELDS
    if table[1:2] and table[1] in _FIELDS:
        return _FIELDS[str(table[1])]
    if table[1:2] and table[1] in PLAN_TABLES:
        return _PLAN_FIELDS
    if isinstance(table[-1], int) and len(table) > _TO_A_WANT:
        return LEAF_FIELDS
    if table[0] == "change":
        return tuple(KEYS) if len(table) > 2 else _CHANGE
    names = tuple(map(str, table))
    return [key.place[len(names)] for key in ALL_KEYS if key.place[: len(names)] == names]

"""A setup as the text of a new file, pleasant to read and to edit by hand."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from app.document.cells import DEFAULTS, change_cells, plane_cells, setup_cells, tape_cells
from app.document.clearances import Clearance, Envelope
from app.document.ends import end_of
from app.document.heights import HEIGHT_KEYS
from app.document.keys import BY_PLACE
from app.document.model import Change, Plane, Setup, Tape
from app.document.plan_cells import (
    Cell,
    Cells,
    clearance_cells,
    envelope_cells,
    together_cells,
    want_cells,
)
from app.document.plan_pieces import PLAN_TABLES
from app.document.plans import Together, Want
from app.document.schema import Key
from app.document.toml_layout import Path
from app.document.toml_text import close, key_text, number_text, string_text

_REMARK_COLUMN: Final = 34
_HEIGHT: Final = 'or "settles", "as measured", or a number: wheel centre to arch lip'
_REMARKS: Final[dict[tuple[str, ...], str]] = {
    ("units",): "of the whole file: lengths, forces, rates, masses",
    ("car",): "all optional: a result that needs one says so",
    ("front", "points"): "[x, y, z]: forward, left, up from the ground below the front axle",
    ("front", "points_right"): "as measured on the right side: y is negative",
    ("marks",): "scratches on the floor that tapes end at",
    ("front", "limits"): "what results may reach",
    ("rear", "points"): "[x, y, z] from the same origin, so x is negative",
    ("rear", "points_right"): "what differs from the left side's mirror: y is negative",
    ("rear", "pack", "leaf"): "main leaf first; halves from the centre bolt to each tip",
    **{("proposal", name): _HEIGHT for name in HEIGHT_KEYS.values()},
    ("change", "parts"): '"kept": same parts on moved body points; or "made to fit"',
    ("change", "toe"): '"reset" to the static toe as measured; or "left" as it comes',
    ("change", "move"): "added to the measured point",
}


def new_text(setup: Setup) -> str:
    """Return the whole text of a new file."""
    blocks = [_table_text(path, cells) for path, cells in _tables(setup_cells(setup))]
    blocks += [want_text(setup, want) for want in setup.wants]
    blocks += [envelope_text(setup, envelope) for envelope in setup.envelopes]
    blocks += [clearance_text(setup, clearance) for clearance in setup.clearances]
    blocks += [plane_text(setup, plane) for plane in setup.planes]
    blocks += [tape_text(setup, tape) for tape in setup.tapes]
    blocks += [together_text(setup, together) for together in setup.together]
    blocks += [change_text(setup, change, remarks=i == 0) for i, change in enumerate(setup.changes)]
    return "\n".join(blocks)


def plane_text(setup: Setup, plane: Plane) -> str:
    """Return the text of one plane, with what it is for."""
    header = _with_remark("[[plane]]", "the points follow where the guide measures it again")
    return "\n".join([header, *_rows(plane_cells(setup, plane), align=False)]) + "\n"


def tape_text(setup: Setup, tape: Tape) -> str:
    """Return the text of one tape."""
    return "\n".join(["[[tape]]", *_rows(tape_cells(setup, tape), align=False)]) + "\n"


def want_text(setup: Setup, want: Want) -> str:
    """Return the text of one want."""
    rows = _rows(want_cells(setup, want), align=False)
    return "\n".join([f"[[{end_of(want.result)}.want]]", *rows]) + "\n"


def envelope_text(setup: Setup, envelope: Envelope) -> str:
    """Return the text of one envelope."""
    rows = _rows(envelope_cells(envelope, setup.units), align=False)
    return "\n".join([f"[[{envelope.end}.envelope]]", *rows]) + "\n"


def clearance_text(setup: Setup, clearance: Clearance) -> str:
    """Return the text of one clearance."""
    rows = _rows(clearance_cells(clearance, setup.units), align=False)
    return "\n".join([f"[[{clearance.end}.clearance]]", *rows]) + "\n"


def together_text(setup: Setup, together: Together) -> str:
    """Return the text of changes that make one proposal."""
    return "\n".join(["[[together]]", *_rows(together_cells(together), align=False)]) + "\n"


def change_text(setup: Setup, change: Change, remarks: bool = False) -> str:
    """Return the text of one change."""
    cells = change_cells(setup, change)
    for name in ("on", "parts", "toe"):  # written even where they say the usual: a hand edits them
        cells.setdefault((name,), DEFAULTS[name])
    lines = ["[[change]]"]
    for path, cell in cells.items():
        if len(path) == 1 and (path not in (("note",), ("aligns",)) or cell):
            lines.append(_line(key_text(str(path[0])), cell, _remark(path, remarks)))
    for table in ("move", "set"):
        rows = {path[1:]: cell for path, cell in cells.items() if path[0] == table}
        if rows:
            lines += [_with_remark(f"[change.{table}]", _remark((table,), remarks)), *_rows(rows)]
    return "\n".join(lines) + "\n"


def leaf_texts(cells: Cells) -> list[str]:
    """Return each leaf of a pack as an inline table."""
    rows = [list(group) for _, group in groupby(cells.items(), key=lambda item: item[0][0])]
    return [inline_table({path[1:]: cell for path, cell in row}) for row in rows]


def leaf_block(path: Path, cells: Cells) -> str:
    """Return a leaf as a table of its own, for files that give leaves so."""
    header = f"[[{'.'.join(map(str, path))}]]"
    rows = {part: cell for part, cell in cells.items() if not is_usual(part, cell)}
    return "\n".join([header, *_rows(rows, align=False)]) + "\n"


def leaves_text(cells: Cells) -> str:
    """Return a pack's leaves as an array, one leaf a line."""
    return "[\n" + "".join(f"    {text},\n" for text in leaf_texts(cells)) + "]"


def inline_table(cells: Cells) -> str:
    """Return values as a table in one line; what says only the usual is left out."""
    entries = []
    for name, group in groupby(cells.items(), key=lambda item: item[0][0]):
        inner = {path[1:]: cell for path, cell in group}
        if () not in inner or not is_usual((name,), inner[()]):
            text = group_text(inner) if () in inner else inline_table(inner)
            entries.append(f"{key_text(str(name))} = {text}")
    return "{ " + ", ".join(entries) + " }"


def cell_text(cell: Cell, like: str = "") -> str:
    """Return a single value as text."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, str):
        return string_text(cell, like)
    if isinstance(cell, tuple):
        texts = (string_text(n) if isinstance(n, str) else number_text(n) for n in cell)
        return f"[{', '.join(texts)}]"
    return number_text(cell, "1" if isinstance(cell, int) else like)


def is_usual(path: Path, cell: Cell) -> bool:
    """Tell whether a value needn't be written because it says what is so anyway."""
    return str(path[-1]) in DEFAULTS and DEFAULTS[str(path[-1])] == cell


def group_text(cells: Cells) -> str:
    """Return the text of a value that is made of several: a point's table, a limit, leaves."""
    if () in cells and len(cells) == 1:
        return cell_text(cells[()])
    if () in cells:
        extras = {path: cell for path, cell in cells.items() if path}
        value_name = "at" if isinstance(cells[()], tuple) else "is"
        return inline_table({(value_name,): cells[()], **extras})
    if isinstance(next(iter(cells))[0], int):
        return leaves_text(cells)
    high = one_number(cells)
    return inline_table(cells) if high is None else cell_text(high)


def one_number(cells: Cells) -> float | None:
    """Return the number that stands for both ends of a limit, if one does."""
    low, high = cells.get(("min",)), cells.get(("max",))
    if cells.get(("by",)) or not isinstance(low, float) or not isinstance(high, float):
        return None
    return high if high > 0.0 and close(-low, high) else None


def _tables(cells: Cells) -> Iterator[tuple[Path, Cells]]:
    """Return the tables of a file in order, each with its values by their paths inside it."""
    tables: dict[Path, Cells] = {(): {}}
    for path, cell in cells.items():
        table = table_of(path)
        tables.setdefault(table[:1], {})
        tables.setdefault(table, {})[path[len(table) :]] = cell
    order = sorted(tables, key=lambda table: list(tables).index(table[:1]))
    return ((table, tables[table]) for table in order if tables[table])


def table_of(path: Path) -> Path:
    """Return the table a value is written under."""
    for length in range(len(path), 0, -1):
        if _names(path[:length]) in BY_PLACE:
            return path[: length - 1]
    if path[:1] == ("marks",):
        return path[:1]
    return path[:2] if path[1:2] and path[1] in ("limits", *PLAN_TABLES) else path[:-1]


def _names(path: Path) -> tuple[str, ...]:
    return tuple(map(str, path))


def _table_text(table: Path, cells: Cells) -> str:
    header = f"[{'.'.join(map(str, table))}]"
    lines = [_with_remark(header, _REMARKS.get(_names(table), ""))] if table else []
    points = table[-1:] in (("points",), ("points_right",))
    return "\n".join([*lines, *_rows(cells, table, align=points)]) + "\n"


def _rows(cells: Cells, table: Path = (), align: bool = True) -> Iterator[str]:
    """Return a line for each value of a table."""
    grouped = [(n, dict(g)) for n, g in groupby(cells.items(), key=lambda item: item[0][0])]
    width = max(len(key_text(str(name))) for name, _ in grouped) if align else 0
    for name, group in grouped:
        if any(is_usual(path, cell) for path, cell in group.items()) and len(group) == 1:
            continue
        key = BY_PLACE.get(_names((*table, name)))
        text = group_text({path[1:]: cell for path, cell in group.items()})
        remark = _purpose(key, group) if key else ""
        line = f"{key_text(str(name)).ljust(width)} = {text}"
        yield _with_remark(line, remark or _REMARKS.get(_names((*table, name)), ""))


def _purpose(key: Key, group: Cells) -> str:
    """Return what a key is for and what else it could be; points and leaves say it above."""
    if key.kind in ("point", "leaves"):
        return ""
    others = " or ".join(f'"{choice}"' for choice in key.choices if choice not in group.values())
    return ": ".join(filter(None, (others and f"or {others}", key.purpose)))


def _line(name: str, cell: Cell, remark: str) -> str:
    return _with_remark(f"{name} = {cell_text(cell)}", remark)


def _with_remark(line: str, remark: str) -> str:
    return f"{line.ljust(_REMARK_COLUMN)}# {remark}" if remark and "\n" not in line else line


def _remark(path: Path, with_remark: bool) -> str:
    return _REMARKS.get(_names(("change", *path)), "") if with_remark else ""

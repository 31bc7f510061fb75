"""The tests themselves: each file passes alone, and none measures time."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from tests.helpers.project import ROOT

QT = {"PySide6", "pytestqt", "pyqtgraph"}
CLOCKS = {"perf_counter", "monotonic", "process_time", "timeit", "QElapsedTimer", "elapsed"}
WHOLE = re.compile(r"^pytestmark = (?:pytest\.mark\.gui|\[pytest\.mark\.gui\b)", re.MULTILINE)
FILES = sorted((ROOT / "tests").rglob("test_*.py"))


def names_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(body: list[ast.stmt]) -> set[str]:
    """Return the modules that these statements import, and what may be modules in them."""
    names: set[str] = set()
    for each in body:
        if isinstance(each, ast.Import):
            names |= {alias.name for alias in each.names}
        elif isinstance(each, ast.ImportFrom) and each.module:
            names |= {each.module, *(f"{each.module}.{alias.name}" for alias in each.names)}
    return names


@cache
def needs_qt(module: str) -> bool:
    """Tell whether importing a module of ours, or a library, brings Qt."""
    if module.partition(".")[0] in QT:
        return True
    path = ROOT.joinpath(*module.split(".")).with_suffix(".py")
    return path.is_file() and any(map(needs_qt, imported(tree_of(path).body)))


def is_marked(decorators: list[ast.expr]) -> bool:
    return any("mark.gui" in ast.unparse(each) for each in decorators)


def without_an_application(path: Path) -> list[str]:
    """Return what in a file imports Qt and isn't marked `gui`: the file, or tests in it."""
    if WHOLE.search(path.read_text(encoding="utf-8")):
        return []
    body = tree_of(path).body
    marks = [each.value for each in body if isinstance(each, ast.Assign)]
    if is_marked(marks):
        return []
    bare = [names_of(path)] if any(map(needs_qt, imported(body))) else []
    return bare + [
        f"{names_of(path)}::{each.name}"
        for each in body
        if isinstance(each, ast.FunctionDef)
        if each.name.startswith("test_") and not is_marked(each.decorator_list)
        if any(map(needs_qt, imported(each.body)))
    ]


@pytest.mark.parametrize("path", FILES, ids=names_of)
def test_what_imports_qt_is_marked_and_so_has_an_application(path: Path) -> None:
    assert without_an_application(path) == []


def test_a_file_without_the_mark_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(f"{__name__}.ROOT", tmp_path)
    needs_qt.cache_clear()
    (tmp_path / "room.py").write_text("from PySide6.QtWidgets import QLabel\n")
    (tmp_path / "hall.py").write_text("from room import QLabel\n")
    bare, marked = tmp_path / "bare.py", tmp_path / "marked.py"
    bare.write_text("import hall\ndef test_a():\n    pass\n")
    marked.write_text("import pytest, hall\npytestmark = pytest.mark.gui\n")
    later = tmp_path / "later.py"
    later.write_text("def test_a():\n    from hall import QLabel\n")
    assert without_an_application(bare) == ["bare.py"]
    assert without_an_application(later) == ["later.py::test_a"]
    assert without_an_application(marked) == []
    needs_qt.cache_clear()


@pytest.mark.parametrize("path", FILES, ids=names_of)
def test_no_test_reads_a_clock_to_judge_by(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    if not any(word in text for word in CLOCKS):
        return  # what isn't in the text is no name in it
    nodes = list(ast.walk(tree_of(path)))
    named = {node.id for node in nodes if isinstance(node, ast.Name)}
    named |= {node.attr for node in nodes if isinstance(node, ast.Attribute)}
    named |= {
        alias.name for node in nodes if isinstance(node, ast.ImportFrom) for alias in node.names
    }
    assert named & CLOCKS == set()

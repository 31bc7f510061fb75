"""Which parameters the docstrings of a package don't document, read from its source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

_SECTION = re.compile(r"^Parameters\n-+\n(.*?)(?=^\w[^\n]*\n-{3,}|\Z)", re.DOTALL | re.MULTILINE)
Function = ast.FunctionDef | ast.AsyncFunctionDef


def undocumented(folder: Path) -> Iterator[str]:
    """Yield "module.function: parameter" of public functions and methods of two and more."""
    for path in sorted(folder.rglob("*.py")):
        for name, function in _public(ast.parse(path.read_text()).body, path.stem):
            wanted = [each for each in _parameters(function) if each not in ("self", "cls")]
            told = _documented(ast.get_docstring(function) or "")
            if len(wanted) > 1:
                yield from (
                    f"{path.parent.name}/{name}: {each}" for each in wanted if each not in told
                )


def _public(body: list[ast.stmt], owner: str) -> Iterator[tuple[str, Function]]:
    for node in body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            yield f"{owner}.{node.name}", node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from _public(node.body, f"{owner}.{node.name}")


def _parameters(function: Function) -> list[str]:
    given = function.args
    return [each.arg for each in (*given.posonlyargs, *given.args, *given.kwonlyargs)]


def _documented(text: str) -> set[str]:
    """Return the names that stand at the margin of the section of parameters."""
    found = re.search(
        r"^Parameters\n-+\n(.*?)(?=^\w[^\n]*\n-{3,}|\Z)", text, re.DOTALL | re.MULTILINE
    )
    lines = found.group(1).splitlines() if found else []
    heads = (line for line in lines if line and not line[0].isspace())
    return {name.strip() for line in heads for name in line.split(",")}

"""Where a module's text knows which ends a car has: comparisons, lists of both, prefixes, kinds."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

ENDS = {"front", "rear"}
SYSTEMS = {"FRONT", "REAR"}
PREFIXES = {f"{end}." for end in ENDS}
OF_A_PREFIX = {"startswith", "removeprefix"}
IN_TEXT = re.compile(  # a text without any of it needs no closer look
    r'"(front|rear)\.?"|f"(front|rear)\.\{|\b(FRONT|REAR)\b|(with|prefix)\("(front|rear)'
    r"|systems\.(front|rear)(.|\n)*isinstance\("
)
ROOMS = ("app.systems.front", "app.systems.rear")


def lines_that_tell_ends_apart(text: str) -> list[int]:
    """Return the numbers of the lines that do."""
    if not IN_TEXT.search(text):
        return []
    tree = ast.parse(text)
    own = set(_names_of_one_system(tree))
    return sorted({node.lineno for node in ast.walk(tree) if _tells_apart(node, own)})


def _names_of_one_system(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(ROOMS):
            yield from (each.asname or each.name for each in node.names)


def _tells_apart(node: ast.AST, own: set[str]) -> bool:
    match node:
        case ast.Compare(left, _, others):
            return any(map(_is_end, (left, *others)))
        case ast.Tuple(items) | ast.List(items) | ast.Set(items) | ast.Dict(items):
            return set(map(_text, items)) >= ENDS
        case ast.Call(ast.Name("isinstance"), [_, kinds]):
            return any(isinstance(each, ast.Name) and each.id in own for each in ast.walk(kinds))
        case ast.Call(ast.Attribute(_, name), [start, *_]) if name in OF_A_PREFIX:
            return (_text(start) or "").startswith(tuple(PREFIXES))
        case ast.JoinedStr([start, *_]):
            return _text(start) in PREFIXES
        case ast.MatchValue(value):
            return _is_end(value)
    return False


def _is_end(node: ast.expr) -> bool:
    match node:
        case ast.Tuple(items) | ast.List(items) | ast.Set(items):
            return any(map(_is_end, items))
        case ast.Attribute(ast.Name(name), "key") | ast.Name(name):
            return name in SYSTEMS
    return _text(node) in ENDS


def _text(node: ast.expr | None) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None

"""Result keys written out in the program: a misspelt one would be a dash that nobody explains."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from difflib import get_close_matches

import pytest

from geometry.catalogue.every import KEYS
from tests.helpers.project import ROOT

WORD = re.compile(r"[a-z]+(_[a-z]+)*")
LOOKUPS = {"find_result", "result_named", "result_of"}
HOLDERS = {"values", "single", "BY_KEY", "REAR_RESULTS"}


def _name(node: ast.AST) -> str:
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def _texts(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        for each in node.elts:
            yield from _texts(each)


def _used(node: ast.AST) -> Iterator[str]:
    """Yield the texts that a node uses as keys of results."""
    if isinstance(node, ast.Call):
        function = node.func
        is_get = isinstance(function, ast.Attribute) and function.attr in ("get", "pop")
        if _name(function) in LOOKUPS:
            for each in node.args:
                yield from _texts(each)
        elif is_get and isinstance(function, ast.Attribute) and _name(function.value) in HOLDERS:
            yield from _texts(node.args[0])
    elif isinstance(node, ast.Subscript) and _name(node.value) in HOLDERS:
        yield from _texts(node.slice)
    elif isinstance(node, ast.Compare):
        left = node.left
        if isinstance(left, ast.Attribute) and left.attr == "key" and _is_result(left.value):
            for each in node.comparators:
                yield from _texts(each)
        elif any(_name(each) in HOLDERS for each in node.comparators):
            yield from _texts(left)


def _is_result(node: ast.AST) -> bool:
    return _name(node) == "result" or (isinstance(node, ast.Attribute) and node.attr == "result")


def keys_used(nodes: Iterable[ast.AST]) -> Iterator[str]:
    """Yield the keys of results that a module spells out."""
    for node in nodes:
        yield from _used(node)


def words_of(nodes: Iterable[ast.AST]) -> set[str]:
    """Return the texts of a module that could be names."""
    texts = (each.value for each in nodes if isinstance(each, ast.Constant))
    return {text for text in texts if isinstance(text, str) and WORD.fullmatch(text)}


MARKS = {"instant_centre", "side_centre"}  # what the drawing calls places of its own


@pytest.fixture(scope="module")
def program() -> dict[str, list[ast.AST]]:
    """Return the nodes of each module."""
    return {
        str(path.relative_to(ROOT)): [*ast.walk(ast.parse(path.read_text(encoding="utf-8")))]
        for path in sorted((ROOT / "app").rglob("*.py"))
        if path.name != "arguments.py"  # the values there are the command line's
    }


def test_every_key_that_is_looked_up_is_a_results(program: dict[str, list[ast.AST]]) -> None:
    used = [(place, key) for place, nodes in program.items() for key in keys_used(nodes)]
    keys = [(place, key) for place, key in used if "." not in key]  # those are the setup's
    assert not [pair for pair in keys if pair[1] not in KEYS]
    assert len(keys) > 30  # else this test looks at nothing


def test_no_word_of_the_program_is_nearly_a_key(program: dict[str, list[ast.AST]]) -> None:
    places = {word: place for place, nodes in program.items() for word in words_of(nodes)}
    for word in places.keys() - KEYS - MARKS:
        near = get_close_matches(word, KEYS, 1, 0.86)
        assert not near, f"{places[word]}: {word}, should it be {near[0]}?"


def test_a_misspelt_key_would_be_seen() -> None:
    source = "car.single.get('full_trust'); sweep.values['cambr']; find_result(session, 'toee')"
    assert set(keys_used(ast.walk(ast.parse(source)))) == {"full_trust", "cambr", "toee"}
    assert get_close_matches("full_trust", KEYS, 1, 0.86) == ["full_thrust"]

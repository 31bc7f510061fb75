"""Where values stand in a text: each span, read alone by the standard reader, is its value."""

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.document.toml_layout import Layout, Path
from tests.document.examples import EXAMPLES
from tests.helpers.long_cases import examples

HARD = [
    'a = 1\nb.c = 2\n"b".d = [1, 2]\n\'e f\' = "x#y"\n"g\\u0041" = 3\n',
    'a = """x\n"" \\""" y"""\nb = \'\'\'z\n\'\'\'\'\nc = """"q""""\n',
    "a = [\n  1, # one\n  [2, 3],\n  { b = 1, c.d = [4] },\n]\n",
    "[[a]]\nb = 1\n[[a.c]]\nd = 2\n[[a.c]]\nd = 3\n[[a]]\n[[a.c]]\nd = 4\n[a.e]\nf = 5\n",
    "a = {}\nb = { c = {} , d = [ ] }\n[ e . f ]  # x\ng=1979-05-27 07:32:00\nh = 07:32:00\n",
    "[a.b]\nc = 1\n[a]\nd = 2\n",
    'a = "x"\r\n[b]\r\nc = """1\r\n2"""\r\n# end',
    "a = +1_000.5e-3\nb = 0xff\nc = -inf\nd = true#x\n",
]


def at(tables: Any, path: Path) -> Any:
    for part in path:
        tables = tables[part]
    return tables


def leaves(value: Any, path: Path = ()) -> list[Path]:
    """Return the path of every value that is in a text, tables left out."""
    if isinstance(value, dict):
        return [p for name, item in value.items() for p in leaves(item, (*path, name))]
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return [p for i, item in enumerate(value) for p in leaves(item, (*path, i))]
    return [path]


@pytest.mark.parametrize("text", HARD + EXAMPLES)
def test_every_value_has_its_span(text: str) -> None:
    tables, layout = tomllib.loads(text), Layout(text)
    for path in leaves(tables):
        span = layout.spans[path]
        assert tomllib.loads(f"v = {text[span.start : span.end]}")["v"] == at(tables, path)


@pytest.mark.parametrize("text", HARD + EXAMPLES)
def test_nothing_has_a_span_that_is_not_there(text: str) -> None:
    tables = tomllib.loads(text)
    for path in Layout(text).spans:
        at(tables, path)


def test_lines_are_those_an_editor_shows() -> None:
    layout = Layout("a = 1\r\n\r\nb = [\n 2,\n 3]\n[c]\nd = 4")
    assert [layout.line_of(p) for p in [("a",), ("b",), ("b", 1), ("c",), ("c", "d")]] == [
        1,
        3,
        5,
        6,
        7,
    ]
    assert layout.line_of(("c", "none", "here")) == 6
    assert layout.line_of(("none",)) == 1


SCALARS = st.one_of(
    st.integers(-(10**6), 10**6),
    st.booleans(),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=6),
)
KEYS = st.text(min_size=1, max_size=4)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=examples(50, 150))
@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_what_another_library_writes_is_walked_right(tables: dict[str, Any]) -> None:
    tomlkit = pytest.importorskip("tomlkit")
    text = tomlkit.dumps(tables)
    read, layout = tomllib.loads(text), Layout(text)
    for path in leaves(read):
        span = layout.spans[path]
        assert tomllib.loads(f"v = {text[span.start : span.end]}")["v"] == at(read, path)

"""Tables in text: any cell may be empty, any width be asked for."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from app.cli.tables import Column, Over, Page
from app.cli.terminal import Terminal

WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=30)
COLUMNS = st.lists(st.builds(Column, WORDS, st.booleans()), min_size=1, max_size=5)


def test_a_column_without_head_and_words_takes_no_room() -> None:
    page = Page(Terminal(80))
    page.table([Column("leaf"), Column("", words=True)], [["1", ""], ["2", ""]])
    assert page.text() == "leaf\n   1\n   2"


def test_a_table_of_nothing_is_nothing() -> None:
    page = Page(Terminal(80))
    page.table([Column("", words=True), Column("")], [["", ""]], [Over("", 2)])
    assert page.text().strip() == ""


@given(COLUMNS, st.data(), st.integers(60, 120))
def test_every_table_can_be_laid_out(columns: list[Column], data: st.DataObject, wide: int) -> None:
    """Whatever the cells: every figure stands there whole, and no line ends in a space."""
    rows = data.draw(st.lists(st.lists(WORDS, min_size=len(columns), max_size=len(columns))))
    page = Page(Terminal(wide))
    page.table(columns, rows, [Over(data.draw(WORDS), len(columns))])
    text = page.text()
    for row in rows:
        for column, cell in zip(columns, row, strict=True):
            shown = page.terminal.said(cell)
            assert column.words or shown.strip() in text
    assert all(line == line.rstrip() for line in text.split("\n"))

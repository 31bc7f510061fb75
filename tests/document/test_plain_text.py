"""The user's text where it is shown: what acts or hides in it is seen as a sign."""

import sys
import unicodedata
from xml.etree import ElementTree

import pytest

from app.document.plain_text import UNKNOWN, one_line, printable

# All that has characters; of the planes without any and of those for private use, both ends.
_WITH_CHARACTERS = [*range(0x24000), *range(0x31000, 0x34000), *range(0xE0000, 0xE0200)]
_ENDS = [
    plane + at for plane in range(0x20000, sys.maxunicode, 0x10000) for at in (0, 0xFFFE, 0xFFFF)
]
EVERY = [chr(code) for code in sorted({*_WITH_CHARACTERS, *_ENDS})]


@pytest.mark.parametrize(
    "text",
    ["", "Ottersbrook Tern 1600", "±1/16 in − 5 °", "Ærøskøbing 東京 🚗", "a\u00a0b <b>"],
)
def test_ordinary_text_stays(text: str) -> None:
    assert printable(text) == one_line(text) == text


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("\x1b[2Jgone", f"{UNKNOWN}[2Jgone"),
        ("\x1b]0;title\x07", f"{UNKNOWN}]0;title{UNKNOWN}"),
        ("a\x00b\x7fc", f"a{UNKNOWN}b{UNKNOWN}c"),
        ("\x9b2J", f"{UNKNOWN}2J"),  # the eight-bit form of the same command
        ("car\u202elmot.", f"car{UNKNOWN}lmot."),
        ("\u2066\u2069\u200b\u200f\ufeff\u00ad\u061c", 7 * UNKNOWN),
        ("\udce9t\udce9", f"{UNKNOWN}t{UNKNOWN}"),  # a file name that is no UTF-8
        ("\ufffe\uffff\ufdd0", 3 * UNKNOWN),
    ],
)
def test_what_acts_or_hides_is_a_sign(text: str, seen: str) -> None:
    assert printable(text) == one_line(text) == seen


def test_lines_stay_lines_or_become_one() -> None:
    text = "one\ntwo\r\nthree\rfour\u2028five\x85six\tseven"
    assert printable(text) == "one\ntwo\nthree\nfour\nfive\nsix\tseven"
    assert one_line(text) == "one two three four five six seven"


def test_nothing_unseen_is_left_of_any_character_of_unicode() -> None:
    left = {unicodedata.category(c) for each in EVERY for c in one_line(each)}
    assert not left & {"Cc", "Cf", "Cs", "Zl", "Zp"}


def test_every_character_can_stand_in_xml_and_be_written_as_utf_8() -> None:
    text = printable("".join(EVERY))
    escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    read = ElementTree.fromstring(f"<t>{escaped}</t>".encode())
    assert read.text == text


def test_what_was_shown_once_is_shown_the_same_again() -> None:
    text = "".join(EVERY)
    assert printable(printable(text)) == printable(text)
    assert one_line(one_line(text)) == one_line(text)

"""The page on the command line says what the program does."""

import re
from pathlib import Path

from app.cli.arguments import parse_call
from geometry.catalogue import RESULTS, machine_name

PAGE = (Path(__file__).parent.parent / "docs" / "command-line.md").read_text(encoding="utf-8")


def test_every_result_has_its_row():
    rows = re.findall(r"^\| `(\w+)` \| (.+?) \| (wheel|axle|car) \| (.*?) ?\|$", PAGE, re.M)
    assert rows == [(machine_name(r), r.title, r.scope, r.plus) for r in RESULTS]


def test_the_examples_are_calls():
    examples = re.findall(r"^(?:\$ )?wishboard (.+?)(?: \|)?$", PAGE, re.M)
    assert len(examples) >= 3
    for words in examples:
        assert parse_call(words.split()).command in ("report", "curves")

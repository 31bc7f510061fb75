"""The page on the command line says what the program does."""

import re
import shlex

from app.cli.arguments import parse_call
from geometry.catalogue.front import RESULTS, machine_name
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS, REAR_RESULTS
from tests.helpers.project import DOCS

PAGE = (DOCS / "command-line.md").read_text(encoding="utf-8")
FRONT, REAR = PAGE.split("### Names of the rear")


def test_every_result_of_the_front_has_its_row():
    rows = re.findall(r"^\| `(\w+)` \| (.+?) \| (wheel|axle|car) \| (.*?) ?\|$", FRONT, re.M)
    assert rows == [(machine_name(r), r.title, r.scope, r.plus) for r in RESULTS]


def test_every_result_of_the_rear_has_its_row():
    rows = re.findall(
        r"^\| `(\w+)` \| (.+?) \| (wheel|axle|car) \| (leaves|links|both) \| ?(.*?) ?\|$",
        REAR,
        re.M,
    )
    assert {name: row for name, *row in rows} == {
        machine_name(r): [r.title, r.scope, _on(r), r.plus] for r in REAR_RESULTS.values()
    }


def _on(result):
    kinds = [
        result.key in {each.key for each in results} for results in (LEAF_RESULTS, LINK_RESULTS)
    ]
    return "both" if all(kinds) else "leaves" if kinds[0] else "links"


def test_the_examples_are_calls():
    page = PAGE.replace("\\\n", " ")
    examples = re.findall(r"^(?:\$ )?wishboard (.+?)(?: \|)?$", page, re.M)
    assert len(examples) >= 3
    for words in examples:
        assert parse_call(shlex.split(words)).command in ("report", "curves", "check", "find")

"""The rooms' directions, checked on the real imports, and the numbers run where Qt can't be had."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.helpers.ends_told_apart import lines_that_tell_ends_apart
from tests.helpers.project import ROOT

QT_FREE = [
    "geometry",
    "app.document",
    "app.words",
    "app.systems",
    "app.judge",
    "app.shop",
    "app.drawing",
    "app.qt.system_check",
]

# A few quick ones of each room; that all its modules import without Qt is checked for every one.
WITHOUT_QT = [
    "tests/geometry/front/test_front_published.py",
    "tests/geometry/leaf/test_leaf_textbook.py",
    "tests/document/test_faults.py",
]

IMPORT_ALL = """
import importlib, json, pkgutil, sys
QT = {"PySide6", "shiboken6", "pyqtgraph"}
brought, before = {}, set()
for name in sys.argv[1:]:
    room = importlib.import_module(name)
    for module in pkgutil.walk_packages(getattr(room, "__path__", []), name + "."):
        importlib.import_module(module.name)
    loaded = {each.split(".")[0] for each in sys.modules} & QT
    brought[name] = sorted(loaded - before)
    before |= loaded
print(json.dumps(brought))
"""

PYTEST_WITHOUT_QT = """
import sys
class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6", "pyqtgraph"}:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
sys.meta_path.insert(0, NoQt())
import pytest
sys.exit(pytest.main(sys.argv[1:]))
"""

PYTEST_SETTINGS = """
[pytest]
filterwarnings = error
markers =
    gui: needs Qt
    slow: takes more than two seconds
    long: more of a kind that the suite has some of
"""

# Where else than in its own room something may be known of one end of the car, and why.
MAY_TELL_ENDS_APART = {
    "app/document/ends.py": "the one table of ends",
    "app/document/front_keys.py": "the table of the front's keys",
    "app/document/rear_keys.py": "the table of the rear's keys",
    "app/document/schema.py": "the two halves of a leaf, which files call front and rear",
    "app/document/bounds.py": "the two halves of a leaf",
    "app/document/leaf_parts.py": "the two halves of a leaf",
    "app/entry/leaves_page.py": "the two halves of a leaf",
    "app/sheet/pages.py": "the table of pages that one system has, by its key",
}
ROOMS_OF_ONE_SYSTEM = ("app/systems/front", "app/systems/rear", "app/entry/front", "app/entry/rear")


def test_imports_point_down_only():
    linter = shutil.which("lint-imports", path=Path(sys.executable).parent)
    assert linter, "import-linter is part of the test extra: pip install -e '.[test]'"
    run = subprocess.run([linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr


def qt_brought_by(*rooms):
    """Import all modules of rooms, one room after the other, and return what of Qt each brings."""
    call = [sys.executable, "-c", IMPORT_ALL, *rooms]
    run = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr
    return json.loads(run.stdout)


def test_rooms_without_qt_import_none():
    assert qt_brought_by(*QT_FREE) == {room: [] for room in QT_FREE}


def test_what_a_room_brings_of_qt_is_seen():
    assert "PySide6" in qt_brought_by("app.words", "app.paint")["app.paint"]


def test_frozen_dataclasses_are_the_house_s_which_a_start_makes_faster():
    for room in ("app", "geometry"):
        for path in (ROOT / room).rglob("*.py"):
            text = path.read_text("utf-8")
            standard = re.search(r"^from dataclasses import .*\bdataclass\b", text, re.MULTILINE)
            assert not (standard and re.search(r"^@dataclass\(.*frozen", text, re.MULTILINE)), path


def test_which_end_of_the_car_something_is_of_is_asked_of_its_system_or_of_the_table_of_ends():
    told = {}
    for path in sorted((ROOT / "app").rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if not name.startswith(ROOMS_OF_ONE_SYSTEM):
            told[name] = lines_that_tell_ends_apart(path.read_text("utf-8"))
    with_lines = {name: lines for name, lines in told.items() if lines}
    assert with_lines.keys() == MAY_TELL_ENDS_APART.keys(), with_lines


def test_a_line_that_tells_the_ends_of_the_car_apart_is_found():
    lines = [
        'if study.system.key == "front": ...',
        'if "rear" != end: ...',
        'if end in ("front", "car"): ...',
        "if system is FRONT: ...",
        "if key != REAR.key: ...",
        'for end in ("front", "rear"): ...',
        'share = {"rear": 1.0 - front, "front": front}',
        'own = key.startswith("front.")',
        'name = key.removeprefix("rear.spring")',
        'key = f"rear.{name}"',
        "isinstance(car, int | RearAnswers)",
        'match end:\n    case "rear": ...',
    ]
    imported = "from app.systems.rear.answers import RearAnswers"
    for line in lines:
        assert len(lines_that_tell_ends_apart(f"{imported}\n{line}\n")) == 1, line


def test_an_end_that_is_only_named_is_not_told_apart():
    text = 'key, mass = "front.spring.rate", {"front": front.mass}\nisinstance(front, Study)\n'
    assert lines_that_tell_ends_apart(text) == []


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "docs/decisions.md"])
def test_the_pages_for_newcomers_name_files_that_exist(page):
    named = re.findall(
        r"\b(?:app|geometry|tests|sample_setups|docs)/[\w/.-]*\w", (ROOT / page).read_text()
    )
    assert [path for path in named if not (ROOT / path).exists()] == []


@pytest.mark.slow
def test_the_numbers_and_the_document_work_where_qt_cannot_be_imported(tmp_path):
    settings = tmp_path / "pytest.ini"
    settings.write_text(PYTEST_SETTINGS)
    options = ["-c", settings, "--rootdir", ROOT, "-p", "no:pytest-qt", "-p", "no:cacheprovider"]
    run = subprocess.run(
        [sys.executable, "-c", PYTEST_WITHOUT_QT, "-q", "-m", "not gui", *options, *WITHOUT_QT],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert " passed" in run.stdout

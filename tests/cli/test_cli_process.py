"""The command as a process: statuses, streams, no Qt where none is needed, no display."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from app.cli import opening, run
from app.document.files import read_setup, write_setup
from app.document.samples import first_sample
from tests.helpers.known_setups import exact
from tests.helpers.long_cases import LONG, typical_of
from tests.helpers.one_end import only
from tests.helpers.printed_cells import texts_of
from tests.helpers.project import ROOT

FIRST = first_sample()
BAD = 'format = 1\ntitel = "x"\nunits = "mm"\n[front]\nkind = "double wishbone"\ncamber = "much"\n'
WITHOUT_QT = """
import sys
class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6", "pyqtgraph"}:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
sys.meta_path.insert(0, NoQt())
from app.__main__ import main
calls, words = [[]], sys.argv[1:]
for word in words:
    calls.append([]) if word == "then" else calls[-1].append(word)
for call in calls:
    sys.argv[1:] = call
    assert main() == 0
    print("that was", call[0])
"""


def exact_sample(folder):
    """Write the first sample as one that is known exactly: most of a sheet's time goes to bands."""
    path = folder / FIRST.name
    write_setup(path, exact(read_setup(FIRST).setup))
    return path


def command(*words, code=None, environment=None, **more):
    start = ["-m", "app"] if code is None else ["-c", code]
    return subprocess.run(
        [sys.executable, *start, *map(str, words)],
        cwd=more.pop("cwd", ROOT),
        env={**os.environ, "PYTHONPATH": str(ROOT), **(environment or {})},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        **more,
    )


def test_no_qt_is_needed():
    """Each command that draws nothing, in one process: starting it is what takes long."""
    calls = ("report", FIRST), ("report", FIRST, "--json"), ("curves", FIRST), ("check", FIRST)
    words = [word for call in calls for word in (*call, "then")]
    done = command(*words[:-1], code=WITHOUT_QT)
    assert (done.returncode, done.stderr) == (0, "")
    told = re.split("^that was .*\n", done.stdout, flags=re.M)
    assert len(told) == len(calls) + 1
    assert all(told[:-1])


@pytest.mark.skipif(os.name == "nt", reason="needs a POSIX shell")
@pytest.mark.parametrize(
    "words", typical_of(("report", "report --json", "curves", "check"), ("check",))
)
def test_standard_output_may_be_closed(words):
    name, *options = words.split()
    line = [sys.executable, "-m", "app", name, str(FIRST), *options]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" >&-', "sh", *line],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (done.returncode, done.stderr) == (0, "")


def status_of(*words):
    """Run a command in this process, which opens no window."""
    return run([*map(str, words)], lambda _: 99)


def test_a_folder_without_a_name_is_named_as_it_was_asked_for(tmp_path):
    done = command("check", ".", cwd=tmp_path)
    assert done.returncode == 1
    assert done.stderr.startswith(".: this is a folder")


def test_json_is_one_object_and_nothing_else(capsys):
    assert status_of("curves", FIRST, "--at", "-40", "0", "40", "--json") == 0
    assert json.loads(capsys.readouterr().out)["proposed"]["travel_mm"] == [-40.0, 0.0, 40.0]


def test_a_file_with_faults_ends_with_1_and_names_them_all(tmp_path, capsys):
    (tmp_path / "bad.toml").write_text(BAD)
    done = command("check", "bad.toml", cwd=tmp_path)
    told = [(done.returncode, done.stdout, done.stderr)]
    for name in ("report", "curves"):
        status = status_of(name, tmp_path / "bad.toml")
        told.append((status, *capsys.readouterr()))
    for status, out, err in told:
        assert (status, out) == (1, "")
        assert "line 2: titel: this name is not known here. Did you mean title?" in err
        assert "front.camber" in err
        assert "Traceback" not in err


def test_a_whole_file_checks_with_0(capsys):
    assert status_of("check", FIRST) == 0
    assert capsys.readouterr().out.startswith(
        "small_saloon.toml: no faults. Front double wishbone, rear leaf axle; 7 changes"
    )


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (["report", "nowhere.toml"], "there is no such file"),
        (["report", "."], "this is a folder"),
        (["report", "a\nb"], "no such file"),
        (["report", "front.toml", "--axle", "rear"], "gives no rear suspension"),
        (["curves", "front.toml", "--axle", "rear"], "gives no rear suspension"),
        (["curves", FIRST, "-o", "nowhere/x.csv"], "the folder is not there"),
        (["curves", FIRST, "-o", "."], "folder"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(map(str, value[-2:])),
)
def test_what_cannot_be_read_or_written_is_said(words, answer, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    write_setup(tmp_path / "front.toml", only(read_setup(FIRST).setup, "front"))
    assert run(list(map(str, words)), lambda _: 99) == 1
    assert answer in capsys.readouterr().err


def test_a_wrong_command_line_ends_with_2(capsys):
    done = command("reprot", FIRST)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr
    for words in (
        ["report"],
        ["curves", FIRST, "--at", "x"],
        ["curves", FIRST, "--axle", "rear", "--over", "steer"],
        ["--what"],
    ):
        assert ended_with(words) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err


def ended_with(words):
    """Return the status of a command, also where reading its words ends it."""
    try:
        return status_of(*words)
    except SystemExit as end:
        return end.code


def test_help_and_version_end_with_0(capsys):
    told = []
    for words in (["--help"], ["--version"], ["curves", "--help"]):
        assert ended_with(words) == 0
        told.append(capsys.readouterr().out)
    assert "wishboard report FILE" in told[0]
    assert told[1].startswith("Wishboard ")
    assert "--at" in told[2]


@pytest.mark.skipif(sys.platform == "win32", reason="a shell's pipe")
def test_a_reader_that_has_seen_enough_is_no_fault():
    line = f"{sys.executable} -m app curves {FIRST} | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(
        ["bash", "-c", line], cwd=ROOT, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.stdout.splitlines()[-1] == "0"
    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a full device")
def test_an_output_that_takes_nothing_is_said():
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "app", "report", FIRST],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 1
    assert done.stderr == "The output can't be written: No space left on device.\n"


@pytest.mark.parametrize("encoding", typical_of(("ascii", "cp1252"), ("ascii",)))
def test_streams_of_other_encodings_are_written(encoding):
    done = subprocess.run(
        [sys.executable, "-m", "app", "report", FIRST],
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        capture_output=True,
    )
    assert done.returncode == 0
    assert b"-0.068" in done.stdout


def test_geometry_that_cannot_be_built_is_a_fault_of_the_file(tmp_path, capsys):
    path = tmp_path / "far.toml"
    text = FIRST.read_text()
    path.write_text(text.replace("[0.0, 0.0, -22.0]", "[0.0, -400.0, -22.0]"))
    assert status_of("check", path) == 1
    told = capsys.readouterr().err
    assert "far.toml, line 44: front.points.upper_ball: the front as proposed" in told
    path.write_text(
        text.replace("upper_rear   = [-112.0, 378.0", "upper_rear   = [98.0, 372.0").replace(
            "553.0]", "560.0]"
        )
    )
    assert status_of("report", path) == 1
    told = capsys.readouterr().err
    assert "far.toml, line 42: front.points.upper_front: the front as measured" in told
    assert "See also line 43, front.points.upper_rear" in told


# --- opening ---------------------------------------------------------------------------------


def test_without_its_invented_cars_the_program_says_what_is_missing(monkeypatch, capsys):
    monkeypatch.setattr("app.document.samples.sample_paths", list)
    assert run([], lambda path: pytest.fail("no board can open")) == 1
    words = capsys.readouterr().err
    assert "sample_setups" in words
    assert "Install the program anew." in " ".join(words.split())


def test_with_a_display_the_board_is_opened(monkeypatch):
    opened = []
    monkeypatch.setattr(opening, "display_available", lambda: True)
    monkeypatch.setattr(opening, "missing_libraries", lambda window: ())
    assert run(["car.toml"], lambda path: opened.append(path) or 7) == 7
    assert run([], lambda path: opened.append(path) or 0) == 0
    assert opened == [Path("car.toml"), None]


def test_libraries_that_a_window_lacks_are_named(monkeypatch, capsys):
    from app.qt.system_check import Library

    lacking = (Library("libxcb-cursor.so.0", "libxcb-cursor0"),)
    monkeypatch.setattr(opening, "display_available", lambda: True)
    monkeypatch.setattr(opening, "missing_libraries", lambda window: lacking)
    assert run([], lambda path: 0) == 1
    assert "libxcb-cursor0" in capsys.readouterr().err


@pytest.mark.gui
@pytest.mark.parametrize(
    "words",
    [pytest.param((), marks=LONG, id="no file"), pytest.param(("small_saloon.toml",), id="a file")],
)
def test_without_a_display_sheet_and_report_are_written_instead(words, tmp_path):
    """Of the first sample where no file is given; its bands are on the sheet."""
    pytest.importorskip("app.sheet.pdf")
    bare = {"DISPLAY": "", "WAYLAND_DISPLAY": "", "QT_QPA_PLATFORM": ""}
    exact_sample(tmp_path)
    done = command(*words, cwd=tmp_path, environment=bare)
    assert (done.returncode, done.stderr) == (0, "")
    assert "No display was found" in done.stdout
    assert (tmp_path / "small_saloon-sheet.pdf").read_bytes().startswith(b"%PDF-")
    report = (tmp_path / "small_saloon-report.txt").read_text(encoding="utf-8")
    assert "Front: results, each car on its wheels" in report
    assert "Rear: results, each car on its wheels" in report


@pytest.mark.gui
def test_without_a_display_and_a_file_it_is_an_invented_cars_sheet(tmp_path, monkeypatch, capsys):
    pytest.importorskip("app.sheet.pdf")
    invented = exact_sample(tmp_path)
    monkeypatch.setattr("app.document.samples.first_sample", lambda: invented)
    monkeypatch.setattr(opening, "display_available", lambda: False)
    monkeypatch.chdir(tmp_path)
    assert status_of() == 0
    assert "Writing an invented car's sheet and report instead" in capsys.readouterr().out
    assert (tmp_path / "small_saloon-sheet.pdf").read_bytes().startswith(b"%PDF-")
    assert "Front: results" in (tmp_path / "small_saloon-report.txt").read_text(encoding="utf-8")


@pytest.mark.gui
@pytest.mark.parametrize("paper", typical_of(("a4", "letter"), ("letter",)))
def test_the_sheet_is_written_without_a_display(paper, tmp_path):
    pytest.importorskip("app.sheet.pdf")
    bare = {"DISPLAY": "", "WAYLAND_DISPLAY": "", "QT_QPA_PLATFORM": ""}
    file = exact_sample(tmp_path)
    done = command("sheet", file, "-o", "s.pdf", "--paper", paper, cwd=tmp_path, environment=bare)
    assert (done.returncode, done.stderr) == (0, "s.pdf written.\n")
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF-")


def test_a_sheet_that_cannot_be_written_is_said(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert status_of("sheet", exact_sample(tmp_path), "-o", "nowhere/s.pdf") == 1
    told = capsys.readouterr().err
    assert "nowhere/s.pdf can't be written: the folder is not there." in told


@pytest.mark.gui
def test_a_car_with_only_a_rear_has_its_sheet(tmp_path, monkeypatch, capsys):
    pytest.importorskip("app.sheet.pdf")
    write_setup(tmp_path / "rear.toml", exact(only(read_setup(FIRST).setup, "rear")))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(opening, "display_available", lambda: False)
    assert status_of("sheet", "rear.toml", "-o", "s.pdf") == 0
    assert capsys.readouterr().err == "s.pdf written.\n"
    assert status_of("rear.toml") == 0
    report = (tmp_path / "rear-report.txt").read_text(encoding="utf-8")
    assert "Results, each car on its wheels" in report


@pytest.mark.gui
@pytest.mark.parametrize(
    ("axle", "has", "has_not"),
    [
        ("rear", "Rear suspension", "Front suspension"),
        ("front", "Front suspension", "Rear suspension"),
        ("both", "Rear suspension", "nothing of that"),
    ],
)
def test_the_sheet_covers_the_end_that_is_asked_for(
    axle, has, has_not, tmp_path, monkeypatch, capsys
):
    monkeypatch.chdir(tmp_path)
    words = ["sheet", str(exact_sample(tmp_path)), "-o", "s.pdf", "--axle", axle]
    assert run(words, lambda _: 99) == 0
    assert capsys.readouterr().err == "s.pdf written.\n"
    text = " ".join(texts_of(tmp_path / "s.pdf"))
    assert has in text
    assert has_not not in text


def test_a_sheet_of_an_end_that_is_not_given_is_refused(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    write_setup(tmp_path / "rear.toml", exact(only(read_setup(FIRST).setup, "rear")))
    assert status_of("sheet", "rear.toml", "-o", "s.pdf", "--axle", "front") == 1
    assert "rear.toml gives no front suspension." in capsys.readouterr().err

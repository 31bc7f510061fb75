"""What a user gets from pip: the command, the sample cars, the icon and the desktop entry."""

import re
import shutil
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ElementTree
import zipfile
from importlib.metadata import entry_points
from importlib.resources import files
from pathlib import Path

import pytest

from tests.helpers.project import ROOT

DESKTOP = ROOT / "app" / "desktop" / "wishboard.desktop"
MIME = ROOT / "app" / "desktop" / "wishboard.xml"
ICON = ROOT / "app" / "icons" / "wishboard.svg"
SAMPLES = {path.name for path in (ROOT / "sample_setups").glob("*.toml")}
MIME_NAMESPACE = "{http://www.freedesktop.org/standards/shared-mime-info}"

IMPORT = re.compile(r"^[ \t]*(?:import ([\w.]+)|from ([\w.]+) import )", re.MULTILINE)

LIST_SAMPLES = """
from importlib.resources import files
print(*sorted(p.name for p in files("sample_setups").iterdir() if p.name.endswith(".toml")))
print(files("app").joinpath("icons/wishboard.svg").is_file())
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Build the wheel as pip does, but with the build backend that is already installed."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    """Unpack the wheel where only PYTHONPATH finds it."""
    folder = tmp_path_factory.mktemp("installed")
    zipfile.ZipFile(wheel).extractall(folder)
    return folder


def run_installed(installed: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=installed.parent,
        env={"PYTHONPATH": str(installed), "PATH": "/usr/bin:/bin", "HOME": str(installed)},
        capture_output=True,
        text=True,
    )


def test_what_is_imported_is_what_is_declared():
    """An undeclared package fails on a new machine; one that isn't used is 100 MB for nothing."""
    sources = [path for room in ("app", "geometry") for path in (ROOT / room).rglob("*.py")]
    names: set[str] = set()
    for path in sources:
        names |= {one or other for one, other in IMPORT.findall(path.read_text())}
    imported = {name.partition(".")[0] for name in names} - sys.stdlib_module_names
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    declared = {re.split("[<>=]", wanted)[0] for wanted in project["dependencies"]}
    ours, with_pyside = {"app", "geometry", "sample_setups"}, {"shiboken6"}
    assert imported - ours - with_pyside == {name.removesuffix("-Essentials") for name in declared}


def test_there_are_sample_cars():
    assert len(SAMPLES) >= 4


def test_samples_and_icon_are_found_in_an_installed_wheel(installed):
    run = run_installed(installed, "-c", LIST_SAMPLES)
    assert run.stderr == ""
    assert run.stdout.splitlines() == [" ".join(sorted(SAMPLES)), "True"]


def test_samples_are_found_in_this_installation():
    assert {path.name for path in files("sample_setups").iterdir()} >= SAMPLES


CHECK_SAMPLES = """
import sys
from app.cli import run
print(*(run(["check", path], lambda _: 99) for path in sys.argv[1:]))
"""


def test_an_installed_wheel_checks_every_sample(installed):
    paths = [str(installed / "sample_setups" / sample) for sample in sorted(SAMPLES)]
    run = run_installed(installed, "-m", "app", "check", paths[0])
    assert run.returncode == 0, run.stdout + run.stderr
    run = run_installed(installed, "-c", CHECK_SAMPLES, *paths[1:])
    assert run.stdout.splitlines()[-1] == " ".join("0" for _ in paths[1:]), run.stderr


def test_a_wheel_brings_the_desktop_entry_its_type_and_its_icon(wheel):
    shared = {name.partition(".data/data/")[2] for name in zipfile.ZipFile(wheel).namelist()}
    assert shared >= {
        "share/applications/wishboard.desktop",
        "share/mime/packages/wishboard.xml",
        "share/icons/hicolor/scalable/apps/wishboard.svg",
    }


def test_a_wheel_has_no_tests_in_it(wheel):
    tops = {name.partition("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.startswith("wishboard-")} == {
        "app",
        "geometry",
        "sample_setups",
    }


@pytest.mark.parametrize(
    ("group", "name"), [("console_scripts", "wishboard"), ("gui_scripts", "wishboard-gui")]
)
def test_the_commands_lead_to_the_program(group, name):
    (command,) = entry_points(group=group, name=name)
    assert callable(command.load())


def test_the_desktop_entry_starts_an_installed_command():
    text = DESKTOP.read_text()
    started = {line.split("=")[1].split()[0] for line in text.splitlines() if "Exec=" in line}
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["gui-scripts"]
    assert started == set(scripts)
    assert f"Icon={ICON.stem}" in text


@pytest.mark.skipif(shutil.which("desktop-file-validate") is None, reason="needs the validator")
def test_the_desktop_entry_is_valid():
    run = subprocess.run(["desktop-file-validate", DESKTOP], capture_output=True, text=True)
    assert (run.returncode, run.stdout) == (0, "")


def test_the_desktop_entry_opens_the_type_that_is_declared():
    declared = ElementTree.parse(MIME).getroot()[0].get("type")
    assert f"MimeType={declared};" in DESKTOP.read_text()


def test_the_magic_of_the_type_is_in_every_sample():
    (match,) = ElementTree.parse(MIME).getroot().iter(f"{MIME_NAMESPACE}match")
    reach = int(match.get("offset").partition(":")[2])
    for sample in SAMPLES:
        start = (ROOT / "sample_setups" / sample).read_bytes()[:reach]
        assert match.get("value").encode() in start, sample


@pytest.mark.skipif(shutil.which("update-mime-database") is None, reason="needs shared-mime-info")
def test_the_type_is_accepted_by_the_mime_database(tmp_path):
    (tmp_path / "packages").mkdir()
    shutil.copy(MIME, tmp_path / "packages")
    run = subprocess.run(["update-mime-database", tmp_path], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert "*.wishboard.toml" in (tmp_path / "globs2").read_text()


@pytest.mark.gui
@pytest.mark.parametrize("size", [16, 48, 256])
def test_the_icon_is_drawn_at_every_size(qapp, size):
    from PySide6.QtGui import QIcon

    image = QIcon(str(ICON)).pixmap(size, size).toImage()
    assert image.width() == size
    colours = {image.pixel(x, y) for x in range(0, size, 2) for y in range(0, size, 2)}
    assert len(colours) > 8


def test_readme_sets_up_and_runs_in_one_line_each():
    commands = re.findall(r"^python3 -m venv .*$", (ROOT / "README.md").read_text(), re.M)
    assert [command.split("&&")[-1].split("/")[-1] for command in commands] == [
        "wishboard",
        "python -m pytest",
    ]


def test_the_pages_of_the_guide_come_with_the_wheel(installed):
    done = run_installed(
        installed,
        "-c",
        "from app.desk.guide_window import PAGES, pages_folder as at\n"
        "print(at(), all((at() / page).is_file() for page in PAGES), (at() / 'images').is_dir())",
    )
    folder, *there = done.stdout.split()
    assert folder.endswith("app/docs")
    assert there == ["True", "True"], done.stderr

"""What the machine must have before Qt is imported."""

import ctypes
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from app.qt.system_check import (
    ALWAYS,
    FOR_WINDOW,
    answering_platforms,
    display_available,
    explain,
    missing_libraries,
)

linux_only = pytest.mark.skipif(sys.platform != "linux", reason="only Linux is asked")


def machine_without(*absent: str):
    """A loader for a machine that has every library but these."""

    def load(soname: str) -> None:
        if soname in absent:
            raise OSError(f"{soname}: cannot open shared object file: No such file or directory")

    return load


@linux_only
def test_a_bare_machine_is_told_every_package_at_once():
    def nothing(soname: str) -> None:
        raise OSError(soname)

    advice = explain(missing_libraries(window=False, load=nothing))
    install = next(line for line in advice.splitlines() if "apt-get install" in line)
    assert install.split()[:3] == ["sudo", "apt-get", "install"]
    assert install.split()[3:] == [library.package for library in ALWAYS]


@linux_only
def test_one_missing_library_is_named_with_its_package_and_no_other():
    missing = missing_libraries(window=False, load=machine_without("libEGL.so.1"))
    advice = explain(missing)
    assert "libEGL.so.1  (Debian package libegl1)" in advice
    assert advice.count("Debian package") == 1


def test_nothing_is_said_when_nothing_is_missing():
    assert explain(missing_libraries(window=True, load=machine_without())) == ""


@linux_only
def test_an_x_window_needs_more_than_the_sheet(monkeypatch):
    monkeypatch.setattr("app.qt.system_check._x_answers", bool)
    load = machine_without("libxcb-cursor.so.0")
    assert missing_libraries(window=False, environment={"DISPLAY": ":5"}, load=load) == ()
    missing = missing_libraries(window=True, environment={"DISPLAY": ":5"}, load=load)
    assert [library.package for library in missing] == ["libxcb-cursor0"]


@linux_only
def test_one_complete_platform_is_enough_where_two_answer(monkeypatch):
    monkeypatch.setattr("app.qt.system_check._x_answers", bool)
    monkeypatch.setattr("app.qt.system_check._wayland_answers", bool)
    load = machine_without("libwayland-cursor.so.0")
    assert missing_libraries(window=True, environment={"DISPLAY": ":5"}, load=load) == ()


def test_other_systems_are_not_asked(monkeypatch):
    monkeypatch.setattr(sys, "platform", "darwin")
    assert display_available({})
    assert missing_libraries(window=True, load=machine_without("libGL.so.1")) == ()


@linux_only
def test_no_address_means_no_display():
    assert not display_available({})


@linux_only
@pytest.mark.parametrize("display", [":2961", "localhost:2961.0", "not a display"])
def test_an_address_that_nobody_answers_is_no_display(display):
    assert not display_available({"DISPLAY": display})
    assert not display_available({"QT_QPA_PLATFORM": "xcb", "DISPLAY": display})


@linux_only
@pytest.mark.parametrize("platform", ["offscreen", "minimal", "offscreen:size=800x600"])
def test_a_platform_without_a_screen_may_be_chosen(platform):
    assert display_available({"QT_QPA_PLATFORM": platform})


@linux_only
def test_a_list_of_platforms_falls_back_to_the_next():
    environment = {"QT_QPA_PLATFORM": "wayland;xcb;offscreen", "DISPLAY": ":2961"}
    assert answering_platforms(environment) == ("offscreen",)


@linux_only
def test_a_wayland_socket_must_have_somebody_behind_it():
    with tempfile.TemporaryDirectory() as folder, socket.socket(socket.AF_UNIX) as compositor:
        environment = {"WAYLAND_DISPLAY": "wayland-7", "XDG_RUNTIME_DIR": folder}
        assert not display_available(environment)
        compositor.bind(str(Path(folder) / "wayland-7"))
        assert not display_available(environment)
        compositor.listen()
        assert answering_platforms(environment) == ("wayland",)


@linux_only
@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="needs Xvfb")
def test_a_real_x_server_is_found_until_it_stops():
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "320x240x24"]
    server = subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL)
    try:
        os.close(writing)
        with os.fdopen(reading) as pipe:
            display = f":{pipe.readline().strip()}"
        assert answering_platforms({"DISPLAY": display}) == ("x",)
    finally:
        server.terminate()
        server.wait()
    assert not display_available({"DISPLAY": display})


@linux_only
def test_the_lists_are_what_qt_is_linked_with():
    """Every library named is one that the installed Qt's own files ask the loader for."""
    pyside = pytest.importorskip("PySide6")
    qt = Path(pyside.__file__).parent / "Qt"
    files = [*(qt / "lib").glob("libQt6*.so.6"), *(qt / "plugins" / "platforms").glob("*.so")]
    linked = b"".join(path.read_bytes() for path in files)
    named = ALWAYS + FOR_WINDOW["x"] + FOR_WINDOW["wayland"]
    assert [lib.soname for lib in named if lib.soname.encode() + b"\0" not in linked] == []


@linux_only
def test_this_machine_passes_the_check_and_each_library_is_loaded_once():
    loaded: list[str] = []

    def load(soname: str) -> None:
        loaded.append(soname)
        ctypes.CDLL(soname)

    assert missing_libraries(window=False, load=load) == ()
    assert loaded == [library.soname for library in ALWAYS]
    assert len(set(loaded)) == len(loaded)

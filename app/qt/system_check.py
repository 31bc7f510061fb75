"""Look for a display and for the libraries Qt needs, before Qt is imported.

Without this Qt ends the process with a message of its own, about plugins, that names no package.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Literal, NamedTuple

Platform = Literal["x", "wayland", "offscreen"]
Loader = Callable[[str], object]


class Library(NamedTuple):
    """A shared library and the Debian package that brings it."""

    soname: str
    package: str


# What QtGui is linked with; needed for the sheet too, where nothing is shown on a screen.
ALWAYS = (
    Library("libGL.so.1", "libgl1"),
    Library("libEGL.so.1", "libegl1"),
    Library("libX11.so.6", "libx11-6"),
    Library("libdbus-1.so.3", "libdbus-1-3"),
    Library("libfontconfig.so.1", "libfontconfig1"),
    Library("libfreetype.so.6", "libfreetype6"),
    Library("libglib-2.0.so.0", "libglib2.0-0"),
    Library("libxkbcommon.so.0", "libxkbcommon0"),
)
# What Qt's platform plugins are linked with; their packages bring the other libxcb parts along.
FOR_WINDOW: Mapping[Platform, tuple[Library, ...]] = {
    "x": (
        Library("libxcb-cursor.so.0", "libxcb-cursor0"),
        Library("libxcb-icccm.so.4", "libxcb-icccm4"),
        Library("libxcb-keysyms.so.1", "libxcb-keysyms1"),
        Library("libxcb-shape.so.0", "libxcb-shape0"),
        Library("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
    ),
    "wayland": (
        Library("libwayland-client.so.0", "libwayland-client0"),
        Library("libwayland-cursor.so.0", "libwayland-cursor0"),
    ),
    "offscreen": (),
}


def missing_libraries(
    window: bool, environment: Mapping[str, str] = os.environ, load: Loader = ctypes.CDLL
) -> tuple[Library, ...]:
    """Return the libraries that Qt needs, for a window or only to draw, and that can't be loaded.

    Where both Wayland and X answer Qt takes the one that works, so one complete set is enough.
    """
    if sys.platform != "linux":
        return ()
    platforms = answering_platforms(environment) if window else ()
    sets = [ALWAYS + FOR_WINDOW[platform] for platform in platforms] or [ALWAYS]
    return min((_not_loading(needed, load) for needed in sets), key=len)


def _not_loading(libraries: tuple[Library, ...], load: Loader) -> tuple[Library, ...]:
    return tuple(library for library in libraries if not _loads(library.soname, load))


def _loads(soname: str, load: Loader) -> bool:
    try:
        load(soname)
    except OSError:
        return False
    return True


def explain(missing: tuple[Library, ...]) -> str:
    """Say which libraries are missing and how to install them; empty if none is."""
    if not missing:
        return ""
    names = "\n".join(f"  {soname}  (Debian package {package})" for soname, package in missing)
    packages = " ".join(library.package for library in missing)
    return (
        "Qt, which draws the board and the sheet, needs system libraries that are missing:"
        f"\n{names}\nOn Debian and Ubuntu install them with\n  sudo apt-get install {packages}"
        "\n'wishboard report', 'curves' and 'check' work without them."
    )


def display_available(environment: Mapping[str, str] = os.environ) -> bool:
    """Say whether a window can be opened, or a platform without a screen was asked for."""
    return bool(answering_platforms(environment))


def answering_platforms(environment: Mapping[str, str] = os.environ) -> tuple[Platform, ...]:
    """Return where Qt could open a window, in its own order of trying; empty if nothing answers.

    Only Linux is asked; elsewhere the desktop is taken to be there.
    """
    if sys.platform != "linux":
        return ("offscreen",)
    stated = environment.get("QT_QPA_PLATFORM", "")
    wishes = [wish.split(":")[0] for wish in stated.split(";")] if stated else ["wayland", "xcb"]
    platforms = (_answering(wish, environment) for wish in wishes)
    return tuple(platform for platform in platforms if platform)


def _answering(wish: str, environment: Mapping[str, str]) -> Platform | None:
    if wish.startswith("wayland"):
        return "wayland" if _wayland_answers(environment) else None
    if wish == "xcb":
        return "x" if _x_answers(environment.get("DISPLAY", "")) else None
    return "offscreen"


def _wayland_answers(environment: Mapping[str, str]) -> bool:
    import socket  # only where somebody has to be asked: each start loads this file

    name = environment.get("WAYLAND_DISPLAY")
    if not name:
        return False
    path = Path(environment.get("XDG_RUNTIME_DIR", "/run")) / name  # an absolute name stays so
    with socket.socket(socket.AF_UNIX) as wire:
        return wire.connect_ex(str(path)) == 0


def _x_answers(display: str) -> bool:
    """Connect as Qt will, cookie and all: an address may be set with nobody behind it."""
    if not display:
        return False
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # libX11 is missing with it: let the list of missing libraries speak
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(display.encode(), None))
    failed = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return not failed

"""The window as a screen reader's library finds it, over the desktop's own bus.

    python -m tests.attack.reader [CAR …]

A virtual screen, a session bus and the window on each sample (or each car named); in another
process the library walks all that is shown. Told is what the keyboard reaches without a name or a
role, every slider with its figures, and coordinates of points. It needs, of the system: xvfb, dbus,
at-spi2-core and the library's introspection data for a Python with `gi`. Ends with 1 where
something has no name or role, with 2 where it can't be tried.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).parents[2]
INSIDE: Final = "--inside"
WALK: Final = "--walk"
PATIENCE: Final = 40  # s until the window is on the bus
PLAIN: Final = ("filler", "unknown", "panel")  # roles of which a reader says nothing
COORDINATES: Final = ("x ahead", "y left", "z up")
PYTHONS: Final = (sys.executable, "/usr/bin/python3")


def library_python() -> str | None:
    """Return a Python that has the reader's library."""
    words = "import gi; gi.require_version('Atspi', '2.0'); from gi.repository import Atspi"
    for python in PYTHONS:
        tried = shutil.which(python)
        if tried and not subprocess.run([tried, "-c", words], capture_output=True).returncode:
            return tried
    return None


def tried(car: Path) -> int:
    """Start a screen, a bus, and on them the window and the walk."""
    screen = ["xvfb-run", "-a", "-s", "-screen 0 1600x1000x24", "dbus-run-session", "--"]
    inside = [sys.executable, "-m", "tests.attack.reader", INSIDE, str(car)]
    return subprocess.run([*screen, *inside], cwd=ROOT).returncode


def inside(car: str) -> int:
    """Start the window and let the library walk it."""
    from app.qt.system_check import display_available  # the walk's Python needn't have the program

    python, end = library_python(), time.monotonic() + PATIENCE
    assert python is not None
    while (
        not display_available({**os.environ, "QT_QPA_PLATFORM": "xcb"}) and time.monotonic() < end
    ):
        time.sleep(0.2)  # a loaded machine's screen comes late
    with tempfile.TemporaryDirectory() as home:
        desktop = {"HOME": home, "QT_QPA_PLATFORM": "xcb", "QT_LINUX_ACCESSIBILITY_ALWAYS_ON": "1"}
        desktop["PYTHONPATH"] = str(ROOT)
        start = [sys.executable, "-m", "app", str(Path(car).resolve())]
        window = subprocess.Popen(start, cwd=home, env=os.environ | desktop)
        try:
            return subprocess.run([python, __file__, WALK]).returncode
        finally:
            window.kill()
            window.wait()


def walk() -> int:
    """Walk the window; this part runs in the Python that has the library."""
    import gi

    gi.require_version("Atspi", "2.0")
    from gi.repository import Atspi

    window = _window(Atspi)
    if window is None:
        print("The window isn't on the bus.")
        return 2
    states, bad, stops, numbers = Atspi.StateType, 0, 0, 0
    for thing in _shown(window, states):
        role, name = thing.get_role_name(), thing.get_name()
        if thing.get_state_set().contains(states.FOCUSABLE):
            stops += 1
            if not name or role in PLAIN:
                bad += 1
                print(f"  no name or no role: {role} “{name}”")
        if role == "slider":
            value = thing.get_value_iface()
            low, high = value.get_minimum_value(), value.get_maximum_value()
            print(f"  slider “{name}”: {value.get_current_value():g}, from {low:g} to {high:g}")
        if role == "spin button" and name.startswith(COORDINATES):
            numbers += 1
            if numbers <= 3:
                value = thing.get_value_iface().get_current_value()
                print(f"  {thing.get_parent().get_name()} / {name}: {value:g}")
    print(f"  {numbers} coordinates of points, each with its number")
    print(f"  {stops} things to go to, {bad} of them without a name or a role")
    return int(bad > 0)


def _window(library: Any) -> Any:
    """Return the window once it and its panels are on the bus."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        desktop = library.get_desktop(0)
        programs = (desktop.get_child_at_index(i) for i in range(desktop.get_child_count()))
        for program in programs:
            if program is not None and program.get_child_count():
                time.sleep(4)  # what is built after the first picture
                return program.get_child_at_index(0)
        time.sleep(0.5)
    return None


def _shown(thing: Any, states: Any) -> Iterator[Any]:
    """Yield a thing and all that is shown in it."""
    yield thing
    for place in range(thing.get_child_count()):
        child = thing.get_child_at_index(place)
        if child is not None and child.get_state_set().contains(states.SHOWING):
            yield from _shown(child, states)


def main(words: list[str]) -> int:
    """Try the cars named, or every sample."""
    if words[:1] == [WALK]:
        return walk()
    if words[:1] == [INSIDE]:
        return inside(words[1])
    needed = ("xvfb-run", "dbus-run-session")
    lacking = [name for name in needed if shutil.which(name) is None]
    lacking += [] if library_python() else ["the library (Atspi 2.0 for a Python with gi)"]
    if lacking:
        print(f"Can't be tried without {', '.join(lacking)}.")
        return 2
    worst = 0
    for car in map(Path, words or sorted(map(str, (ROOT / "sample_setups").glob("*.toml")))):
        print(car.name, flush=True)
        worst = max(worst, tried(car))
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

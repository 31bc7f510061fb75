"""Unsaved work through kills and full disks: whole, at most one keeping old, never lost."""

import errno
import os
import shutil
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from app.document import atomic, edits, recovery
from app.document.faults import SetupFaults
from app.document.files import ChangedOnDisk, LoadedSetup, SaveError, read_setup, write_setup
from app.document.model import Setup
from app.document.recovery import Recovery, left_overs
from tests.document.examples import COIL
from tests.helpers import setup_edits
from tests.helpers.long_cases import typical_of
from tests.helpers.reading import parse

SETUP = parse(COIL)


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_kept_work_belongs_to_the_living(tmp_path: Path) -> None:
    place = Recovery(tmp_path / "recovery")
    place.keep(SETUP, 10.0, Path("/cars/car.toml"))
    assert left_overs(place.path.parent) == ()
    assert read_setup(place.path).setup == SETUP
    place.clear()
    assert [Path(n).suffix for n in names(place.path.parent)] == [".lock"]
    place.keep(SETUP, 11.0)
    place.close()
    assert names(place.path.parent) == []


def test_an_unfinished_car_is_kept_too(tmp_path: Path) -> None:
    place = Recovery(tmp_path)
    part = edits.remove_evidence(SETUP, "front.upper_ball")
    place.keep(part, 1.0)
    assert recovery.LeftOver(place.path, "", None, 1.0).setup() == part
    place.close()


def test_remarks_of_the_file_are_kept_with_the_work(tmp_path: Path) -> None:
    loaded = LoadedSetup(tmp_path / "car.toml", SETUP, COIL, digest_then="")
    place = Recovery(tmp_path)
    place.keep(edits.set_title(SETUP, "Other"), 1.0, loaded=loaded)
    assert "# as driven" in place.path.read_text()
    place.close()


def test_what_cannot_be_kept_is_said_and_the_last_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = Recovery(tmp_path)
    place.keep(SETUP, 1.0)

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(atomic.os, "write", full)
    with pytest.raises(SaveError, match="can't be kept safe: the disk is full"):
        place.keep(edits.set_title(SETUP, "Other"), 2.0)
    assert read_setup(place.path).setup == SETUP
    place.close()
    assert names(tmp_path) == []


CHILD = """
    import sys
    from pathlib import Path
    from app.document import edits
    from app.document.files import read_setup, write_setup
    from app.document.recovery import Recovery
    from tests.helpers import setup_edits
    folder, file = Path(sys.argv[1]), Path(sys.argv[2])
    place, loaded = Recovery(folder), read_setup(file)
    setup = loaded.setup
    for number in range(100_000):
        setup = setup_edits.set_evidence(setup, "car.mass", 1000.0 + number)
        place.keep(setup, float(number), file, loaded)
        loaded = write_setup(file, setup, loaded)
        if number == 3:
            print("ready", flush=True)
"""


def killed_child(folder: Path, file: Path, after: float) -> None:
    """Run a child that keeps and saves without end, and kill it some time after it has begun."""
    child = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(CHILD), str(folder), str(file)],
        stdout=subprocess.PIPE,
    )
    assert child.stdout is not None
    with child, child.stdout:
        child.stdout.readline()
        time.sleep(after)
        child.send_signal(signal.SIGKILL)
        assert child.wait() == -signal.SIGKILL


@pytest.mark.slow
@pytest.mark.parametrize("first", typical_of(range(8), (0,)))
def test_killed_at_any_moment_both_files_are_whole(tmp_path: Path, first: int) -> None:
    folder, file = tmp_path / "recovery", tmp_path / "car.toml"
    for number in range(first, 25, 8):
        file.write_text(COIL)
        killed_child(folder, file, after=0.0007 * number)
        (left,) = left_overs(folder)
        kept, saved = left.setup(), read_setup(file).setup
        assert left.original == file
        assert left.title == SETUP.title
        masses = [setup.evidence["car.mass"] for setup in (kept, saved)]
        assert masses[0] - masses[1] in (0.0, 1.0)  # type: ignore[operator]
        assert abs(1000.0 + left.when - masses[0]) <= 1.0  # type: ignore[operator]
        left.discard()
        assert left_overs(folder) == ()
        assert names(folder) == []


def dead(folder: Path, name: str = "rec-1-aa.toml", text: str = COIL) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text)
    path.with_suffix(".lock").touch()
    return path


def test_left_overs_come_latest_first(tmp_path: Path) -> None:
    for name, when in (("rec-1-a.toml", 5), ("rec-2-b.toml", 9), ("rec-3-c.toml", 7)):
        dead(tmp_path, name).with_suffix(".json").write_text(f'{{"when": {when}}}')
    assert [left.when for left in left_overs(tmp_path)] == [9.0, 7.0, 5.0]


@pytest.mark.parametrize("about", ["", "[", "[]", "3", '{"title": 3, "original": 4, "when": "x"}'])
def test_a_damaged_companion_loses_nothing(tmp_path: Path, about: str) -> None:
    dead(tmp_path).with_suffix(".json").write_text(about)
    (left,) = left_overs(tmp_path)
    assert left.setup() == SETUP
    assert (left.title, left.original) == ("", None)


def test_a_damaged_file_is_told_and_stays_until_it_is_discarded(tmp_path: Path) -> None:
    path = dead(tmp_path, text="format = 1\n\x00")
    (left,) = left_overs(tmp_path)
    with pytest.raises(SetupFaults, match="line 2"):
        left.setup()
    assert path.exists()
    left.discard()
    assert names(tmp_path) == []


def test_what_the_dead_left_without_work_is_tidied_up(tmp_path: Path) -> None:
    path = dead(tmp_path)
    path.unlink()
    path.with_name(f".{path.name}.aa.unfinished").touch()
    assert left_overs(tmp_path) == ()
    assert names(tmp_path) == []


def test_a_folder_that_is_not_there_holds_nothing(tmp_path: Path) -> None:
    assert left_overs(tmp_path / "none") == ()


def test_without_locks_of_this_kind_work_is_still_kept_and_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recovery, "fcntl", None)
    dead(tmp_path)
    assert len(left_overs(tmp_path)) == 1
    place = Recovery(tmp_path)
    place.keep(SETUP, 1.0)
    place.close()


def test_two_setups_open_at_once_have_places_of_their_own(tmp_path: Path) -> None:
    first, second = Recovery(tmp_path), Recovery(tmp_path)
    first.keep(SETUP, 1.0)
    second.keep(edits.set_title(SETUP, "Other"), 1.0)
    assert first.path != second.path
    first.close()
    assert read_setup(second.path).setup.title == "Other"
    second.close()


def test_the_folder_is_the_users_own(tmp_path: Path) -> None:
    Recovery(tmp_path / "recovery").close()
    assert (tmp_path / "recovery").stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(
    "about",
    [
        '{"when": NaN}',
        '{"when": Infinity}',
        '{"when": -1e300}',
        '{"when": 1e300}',
        f'{{"when": 1{"0" * 400}}}',
        f'{{"when": 1{"0" * 5000}}}',
        "[" * 100_000,
        '{"a":' * 100_000,
        '{"when": true, "title": [], "original": {}, "digest": 3, "has_mark": "yes"}',
        '{"original": "a\\u0000b"}',
        '{"original": "car.toml"}',  # of no folder that is known
        '{"title": "\\ud800"}',
        "\x00" * 300,
        None,
    ],
)
def test_a_damaged_companion_hides_no_other_work(tmp_path: Path, about: str | None) -> None:
    damaged = dead(tmp_path, "rec-1-a.toml")
    if about is not None:
        damaged.with_suffix(".json").write_text(about)
    sound = dead(tmp_path, "rec-2-b.toml")
    sound.with_suffix(".json").write_text('{"when": 7.0, "title": "Sound", "original": "/c.toml"}')
    found = {left.path: left for left in left_overs(tmp_path)}
    assert found[sound].title == "Sound"
    assert found[damaged].original is None
    assert found[damaged].loaded() is None
    assert found[damaged].setup() == SETUP
    time.localtime(found[damaged].when)


def test_the_folder_is_made_again_when_it_has_gone(tmp_path: Path) -> None:
    folder = tmp_path / "recovery"
    place = Recovery(folder)
    place.keep(SETUP, 1.0)
    shutil.rmtree(folder)
    place.keep(edits.set_title(SETUP, "Other"), 2.0)
    assert read_setup(place.path).setup.title == "Other"
    assert left_overs(folder) == (), "it is still the living program's"
    place.close()
    assert names(folder) == []


def left_by_the_dead(folder: Path, setup: Setup, loaded: LoadedSetup | None) -> recovery.LeftOver:
    place = Recovery(folder)
    place.keep(setup, 1.0, loaded.path if loaded else None, loaded)
    assert place._lock is not None
    place._lock.close()
    (left,) = left_overs(folder)
    return left


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("what_happens", ["nothing", "changed", "gone"])
def test_work_taken_up_knows_the_file_it_began_from(
    tmp_path: Path, mark: bytes, what_happens: str
) -> None:
    car, folder = tmp_path / "car.toml", tmp_path / "recovery"
    car.write_bytes(mark + COIL.encode())
    began = read_setup(car)
    work = setup_edits.set_evidence(began.setup, "car.mass", 1111.0)
    left = left_by_the_dead(folder, work, began)
    if what_happens == "changed":
        car.write_bytes(mark + COIL.replace("# as driven", "# of somebody else").encode())
    elif what_happens == "gone":
        car.unlink()
    loaded = left.loaded()
    assert loaded is not None
    assert loaded.path == car
    if what_happens == "changed":
        with pytest.raises(ChangedOnDisk, match=r"car\.toml was changed by something else"):
            write_setup(car, left.setup(), loaded)
        assert "# of somebody else" in car.read_text()
    # what is as it was when the work began is saved over without a question, and what has gone too
    saved = write_setup(car, left.setup(), loaded, overwrite=what_happens == "changed")
    assert read_setup(car).setup == work == saved.setup
    assert car.read_bytes().startswith(mark)
    text = car.read_text()
    assert "# as driven" in text
    assert "# of somebody else" not in text, "today's remarks beside yesterday's values"


def test_a_relative_name_of_the_file_is_kept_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("car.toml").write_text(COIL)
    left = left_by_the_dead(tmp_path / "recovery", SETUP, read_setup("car.toml"))
    assert left.original == tmp_path / "car.toml"


def test_work_that_is_taken_up_never_leaves_the_disk_and_is_one_programs(tmp_path: Path) -> None:
    left = left_by_the_dead(tmp_path, SETUP, None)
    place = Recovery.of(left)
    assert left.setup() == SETUP
    assert left_overs(tmp_path) == ()
    with pytest.raises(OSError, match="unavailable"):
        Recovery.of(left)
    left.discard()  # another program was asked, too
    assert left.setup() == SETUP
    place.keep(edits.set_title(SETUP, "Further"), 2.0)
    assert left.setup().title == "Further"
    place.close()
    assert names(tmp_path) == []


def test_a_moving_hands_work_is_kept_in_the_quick_form_beside_the_proved_one(
    tmp_path: Path,
) -> None:
    place = Recovery(tmp_path)
    left = recovery.LeftOver(place.path, "", None, 1.0)
    masses = [setup_edits.set_evidence(SETUP, "car.mass", 1000.0 + number) for number in range(4)]
    place.keep(masses[0], 1.0, is_moving=True)
    assert [Path(name).suffix for name in names(tmp_path)] == [".json", ".lock", ".toml"]
    place.keep(masses[1], 2.0, is_moving=True)
    assert left.setup() == masses[1]
    assert read_setup(place.path).setup == masses[0]
    place.path.with_suffix(".moving").write_text("format = 1\n\x00")
    assert left.setup() == masses[0], "the proved one is there to fall back on"
    place.keep(masses[2], 3.0, is_moving=True)
    shutil.copy(place.path.with_suffix(".moving"), tmp_path / "old")
    place.keep(masses[3], 4.0)
    assert left.setup() == masses[3]
    assert not place.path.with_suffix(".moving").exists()
    shutil.copy2(tmp_path / "old", place.path.with_suffix(".moving"))  # a kill before it had gone
    os.utime(place.path.with_suffix(".moving"), (1.0, 1.0))
    assert left.setup() == masses[3]
    (tmp_path / "old").unlink()
    place.close()
    assert names(tmp_path) == []

"""Files on disk: the same bytes when nothing changed, whole or untouched whatever happens."""

import errno
import os
import re
import resource
import stat
import subprocess
import sys
import textwrap
from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest

from app.document import atomic, edits
from app.document.files import ChangedOnDisk, SaveError, read_setup, write_setup
from app.document.model import Change, Setup, Tape
from tests.document.examples import COIL, EXAMPLES
from tests.helpers import setup_edits
from tests.helpers.long_cases import typical_of
from tests.helpers.project import SAMPLE_FILES
from tests.helpers.reading import parse

SAMPLES = SAMPLE_FILES
TEXTS = [*EXAMPLES, *(path.read_text() for path in SAMPLES)]
FORMS = ("as it is", "windows", "marked", "without a last line end")


@pytest.fixture
def car(tmp_path: Path) -> Path:
    path = tmp_path / "car.toml"
    path.write_text(COIL)
    return path


def lowered(setup: Setup) -> Setup:
    return setup_edits.move_point(setup, 0, "front.upper_front", (0.0, 0.0, -1.5))


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


@pytest.mark.parametrize(
    ("text", "form"),
    typical_of(product(TEXTS, FORMS), [(text, FORMS[n % 4]) for n, text in enumerate(TEXTS)]),
)
def test_read_and_saved_unchanged_is_the_same_to_the_byte(
    tmp_path: Path, text: str, form: str
) -> None:
    data = text.encode()
    if form == "windows":
        data = data.replace(b"\n", b"\r\n")
    elif form == "marked":
        data = b"\xef\xbb\xbf" + data
    elif form == "without a last line end":
        data = data.rstrip(b"\n")
    here, there = tmp_path / "a.toml", tmp_path / "b.toml"
    here.write_bytes(data)
    loaded = read_setup(here)
    write_setup(here, loaded.setup, loaded)
    write_setup(there, loaded.setup, loaded)
    assert here.read_bytes() == there.read_bytes() == data
    changed = edits.set_title(loaded.setup, "Another")
    again = write_setup(here, changed, loaded)
    assert read_setup(here).setup == changed
    write_setup(here, loaded.setup, again)
    assert here.read_bytes() == data


def test_saving_twice_goes_on_from_what_was_saved(car: Path) -> None:
    loaded = read_setup(car)
    first = write_setup(car, lowered(loaded.setup), loaded)
    second = write_setup(car, lowered(first.setup), first)
    assert read_setup(car).setup == second.setup
    assert "[0.0, 0.0, -25.0]" in car.read_text()


def test_a_new_setup_gets_a_new_file(tmp_path: Path) -> None:
    setup = parse(COIL)
    write_setup(tmp_path / "new.toml", setup)
    assert read_setup(tmp_path / "new.toml").setup == setup
    assert names(tmp_path) == ["new.toml"]


def test_another_file_is_not_overwritten_unasked(car: Path) -> None:
    setup = parse(COIL)
    with pytest.raises(ChangedOnDisk, match=r"There is already a file car\.toml"):
        write_setup(car, lowered(setup))
    write_setup(car, lowered(setup), overwrite=True)
    assert read_setup(car).setup == lowered(setup)


def test_a_file_changed_meanwhile_is_not_overwritten_unasked(car: Path) -> None:
    loaded = read_setup(car)
    car.write_text(COIL + "# a remark by hand\n")
    with pytest.raises(ChangedOnDisk, match=r"car\.toml was changed by something else"):
        write_setup(car, lowered(loaded.setup), loaded)
    assert car.read_text().endswith("# a remark by hand\n")
    written = write_setup(car, lowered(loaded.setup), loaded, overwrite=True)
    assert written.digest == read_setup(car).digest != loaded.digest
    assert read_setup(car).setup == lowered(loaded.setup)


def test_a_file_that_is_gone_is_written_again(car: Path) -> None:
    loaded = read_setup(car)
    car.unlink()
    write_setup(car, lowered(loaded.setup), loaded)
    assert read_setup(car).setup == lowered(loaded.setup)


def test_permissions_stay(car: Path) -> None:
    car.chmod(0o640)
    loaded = read_setup(car)
    write_setup(car, lowered(loaded.setup), loaded)
    assert stat.S_IMODE(car.stat().st_mode) == 0o640


def test_a_new_file_takes_the_users_usual_permissions(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_setup(tmp_path / "new.toml", parse(COIL))
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new.toml").stat().st_mode) == 0o640


def test_a_link_stays_a_link(car: Path, tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    link = tmp_path / "sub" / "link.toml"
    link.symlink_to("../car.toml")
    loaded = read_setup(link)
    write_setup(link, lowered(loaded.setup), loaded)
    assert link.is_symlink()
    assert read_setup(car).setup == lowered(loaded.setup)
    assert names(tmp_path / "sub") == ["link.toml"]


def test_unfinished_files_of_long_ago_are_tidied_up(car: Path) -> None:
    old, young = car.with_name(".car.toml.aa.unfinished"), car.with_name(".car.toml.bb.unfinished")
    for path in (old, young):
        path.write_text("half")
    os.utime(old, (0.0, 0.0))
    loaded = read_setup(car)
    write_setup(car, lowered(loaded.setup), loaded)
    assert names(car.parent) == [young.name, "car.toml"]


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "open", "fchmod"])
@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EACCES, "you are not allowed to write there"),
        (errno.EIO, "Input/output error"),
    ],
)
def test_when_a_step_fails_the_file_is_as_it_was(
    car: Path, monkeypatch: pytest.MonkeyPatch, call: str, code: int, words: str
) -> None:
    loaded = read_setup(car)

    def fail(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(atomic.os, call, fail)
        if call == "open":  # reading what is there must still do
            patch.setattr(Path, "read_bytes", lambda _: COIL.encode())
        with pytest.raises(SaveError, match=words):
            write_setup(car, lowered(loaded.setup), loaded)
    assert car.read_text() == COIL
    assert names(car.parent) == ["car.toml"]


def test_a_disk_that_takes_a_part_of_a_write_is_written_on(
    car: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded, write = read_setup(car), os.write
    monkeypatch.setattr(atomic.os, "write", lambda to, data: write(to, data[:100]))
    write_setup(car, lowered(loaded.setup), loaded)
    assert read_setup(car).setup == lowered(loaded.setup)


def in_a_child(code: str, *arguments: object, before: Callable[[], None] | None = None) -> str:
    # -B: where files may not grow, bytecode that other tests' programs share would be cut off
    done = subprocess.run(
        [sys.executable, "-B", "-c", textwrap.dedent(code), *map(str, arguments)],
        capture_output=True,
        text=True,
        preexec_fn=before,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_real_limit_on_the_size_of_files_leaves_the_old_one(car: Path) -> None:
    code = """
        import signal, sys
        from tests.helpers import setup_edits
        from app.document.files import SaveError, read_setup, write_setup
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        loaded = read_setup(sys.argv[1])
        try:
            write_setup(sys.argv[1], setup_edits.set_notes(loaded.setup, "x" * 9000), loaded)
        except SaveError as error:
            print(error)
    """

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    answer = in_a_child(code, car, before=small)
    assert answer.strip() == (
        "car.toml could not be saved: the disk takes no file of this size. "
        "Nothing was changed on the disk."
    )
    assert car.read_text() == COIL
    assert names(car.parent) == ["car.toml"]


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("none/car.toml", "the folder is not there"),
        ("car.toml/car.toml", "the folder is not there"),
        ("x" * 300 + ".toml", "the name is too long"),
        (".", "there is a folder of this name"),
    ],
)
def test_places_where_nothing_can_be_saved(car: Path, place: str, words: str) -> None:
    with pytest.raises(SaveError, match=words):
        write_setup(car.parent / place, parse(COIL), overwrite=True)
    assert names(car.parent) == ["car.toml"]


def test_what_could_not_be_read_again_is_not_saved(car: Path) -> None:
    setup = parse(COIL)
    twins = setup.having(changes=(Change("A"), Change("A")))
    with pytest.raises(SaveError, match=r"can't be saved: .*also the name of change 1"):
        write_setup(car, twins, read_setup(car))
    with pytest.raises(SaveError, match=r"can't be saved: .*found nan"):
        write_setup(car, setup_edits.set_evidence(setup, "car.mass", float("nan")), read_setup(car))
    assert car.read_text() == COIL


def test_texts_of_any_kind_come_back(car: Path) -> None:
    for words in ('"', '"""', "\\", "é ✓ 𝄞", "a\nb\r\nc", "\x00\x1b", "'''", "\ud800", " ", "#"):
        loaded = read_setup(car)
        setup = setup_edits.set_notes(loaded.setup, words)
        setup = edits.set_change_note(setup, 0, words)
        setup = edits.set_point_note(setup, "front.lower_ball", words)
        if words.strip():
            setup = edits.rename_change(edits.set_title(setup, words), 1, words)
        write_setup(car, setup, loaded)
        assert read_setup(car).setup == setup


def test_links_in_a_circle_are_told_and_left(car: Path) -> None:
    loaded = read_setup(car)
    car.unlink()
    car.symlink_to(car.name)
    with pytest.raises(SaveError, match=r"car\.toml could not be saved: the link leads nowhere"):
        write_setup(car, lowered(loaded.setup), loaded)
    assert car.is_symlink()
    assert names(car.parent) == [car.name]


def test_why_nothing_can_be_saved_names_no_line_of_a_text_that_nobody_has(car: Path) -> None:
    tape = Tape(("front.pitman_pivot", "front.pitman_end"), 150.0, 1.0)
    with pytest.raises(SaveError) as refused:
        write_setup(car, parse(COIL).having(tapes=(tape,)), read_setup(car))
    words = str(refused.value)
    assert "tape 1" in words
    assert "no such point" in words
    assert "line" not in words
    assert not re.search(r"\bit,", words)

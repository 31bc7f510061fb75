"""Anything a user can do to a document, in any order: edits, undo, redo, save, close, open."""

import re
import tempfile
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from app.document import edits, files, writer
from app.document.heights import height_range
from app.document.history import History
from app.document.keys import ALL_KEYS, KEYS, is_needed
from app.document.model import AS_MEASURED, SETTLES, Change, Leaf, Limit, Setup, Tape
from app.document.quantities import QUANTITIES
from app.document.same import same_setup
from tests.document.examples import EXAMPLES, LIMIT_KINDS
from tests.helpers import setup_edits
from tests.helpers.long_cases import examples
from tests.helpers.reading import parse

NUMBER = st.floats(-500.0, 500.0).map(lambda x: round(x, 3))
STEP = st.sampled_from([-25.4, -1.0, -0.79375, -0.1, 0.0, 0.1, 1.0, 10.0])
VEC = st.tuples(STEP, STEP, STEP)
POINT = st.tuples(NUMBER, NUMBER, NUMBER)
TEXT = st.text(st.characters(codec="utf-8"), max_size=12)
POSITIVE = st.floats(1.0, 500.0)
LEAF = st.builds(
    Leaf,
    POSITIVE,
    POSITIVE,
    POSITIVE,
    st.booleans(),
    st.none() | POSITIVE,
    st.none() | NUMBER,
    st.sampled_from(["none", "parabolic"]),
    st.none() | POSITIVE,
    st.none() | POSITIVE,
    TEXT,
)


def free_values() -> list[str]:
    """Return keys whose values can be anything positive and aren't tied to others."""
    tied = ("front.spring", "front.right", "rear.traction_bar", "rear.spring", "front.steering")
    return [
        key.name
        for key in ALL_KEYS
        if key.kind in QUANTITIES
        and not key.name.startswith(tied)
        and key.most is None
        and not key.least
    ]


class Document(RuleBasedStateMachine):
    """One document, its file, and what its history should be."""

    @initialize(text=st.sampled_from(EXAMPLES), windows=st.booleans())
    def open_an_example(self, text: str, windows: bool) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "car.toml"
        self.path.write_bytes(text.replace("\n", "\r\n" if windows else "\n").encode())
        self.windows = windows
        self.loaded = files.read_setup(self.path, limit_kinds=LIMIT_KINDS)
        self.history: History[Setup] = History.of(self.loaded.setup)
        self.undone: list[Setup] = []
        self.done: list[Setup] = []
        self.remarks = set(re.findall(r"# .*?(?=\r?$)", text.split("[[change]]")[0], re.M))

    def teardown(self) -> None:
        if hasattr(self, "folder"):
            self.folder.cleanup()

    @property
    def setup_now(self) -> Setup:
        return self.history.value

    def do(self, edit: Callable[[Setup], Setup]) -> None:
        before = self.setup_now
        after = edit(before)
        if after != before:
            self.done.append(before)
            self.undone.clear()
        self.history = self.history.push(after, "Edit")

    def points(self) -> list[str]:
        return [k for k in self.setup_now.evidence if KEYS[k].kind == "point"]

    @rule(key=st.randoms(use_true_random=False), delta=VEC, pick=st.integers(0, 9))
    def move(self, key, delta, pick: int) -> None:  # type: ignore[no-untyped-def]
        name, count = key.choice(self.points()), len(self.setup_now.changes)
        if count:
            self.do(lambda s: setup_edits.move_point(s, pick % count, name, delta))

    @rule(key=st.sampled_from(free_values()), value=POSITIVE, pick=st.integers(0, 9))
    def set_in_a_change(self, key: str, value: float, pick: int) -> None:
        count = len(self.setup_now.changes)
        if count and KEYS[key].settable:
            self.do(lambda s: edits.set_value(s, pick % count, key, value))

    @rule(leaves=st.lists(LEAF, min_size=1, max_size=4), pick=st.integers(0, 9))
    def set_leaves(self, leaves: list[Leaf], pick: int) -> None:
        count = len(self.setup_now.changes)
        if pick < count:
            self.do(lambda s: edits.set_value(s, pick, "rear.pack.leaf", tuple(leaves)))
        elif "rear.pack.leaf" in self.setup_now.evidence:
            self.do(lambda s: setup_edits.set_evidence(s, "rear.pack.leaf", tuple(leaves)))

    @rule(name=TEXT, note=TEXT, on=st.booleans(), toe=st.sampled_from(["reset", "left"]))
    def add(self, name: str, note: str, on: bool, toe: str) -> None:
        change = Change("x", on, "kept", toe, edits.clean_text(note))  # type: ignore[arg-type]
        self.do(lambda s: edits.add_change(s, replace(change, name=name)))

    @rule(pick=st.integers(0, 9), to=st.integers(0, 9), what=st.integers(0, 5), name=TEXT)
    def change_a_change(self, pick: int, to: int, what: int, name: str) -> None:
        count = len(self.setup_now.changes)
        if not count or (what == 0 and not name.strip()):
            return
        i, j = pick % count, to % count
        if what == 0:
            self.do(lambda s: edits.rename_change(s, i, edits.free_name(s, name)))
        else:
            verbs: list[Callable[[Setup], Setup]] = [
                lambda s: edits.remove_change(s, i),
                lambda s: edits.duplicate_change(s, i),
                lambda s: edits.reorder_change(s, i, j),
                lambda s: edits.switch_change(s, i, bool(to % 2)),
                lambda s: edits.set_parts(s, i, "made to fit" if to % 2 else "kept"),
            ]
            self.do(verbs[what - 1])

    @rule(pick=st.integers(0, 9), what=st.integers(0, 9))
    def take_back_a_part_of_a_change(self, pick: int, what: int) -> None:
        if not (count := len(self.setup_now.changes)):
            return
        change = self.setup_now.changes[pick % count]
        keys = [*change.moves, *change.sets]
        if keys:
            key = keys[what % len(keys)]
            verb = edits.reset_point if key in change.moves else edits.reset_value
            self.do(lambda s: verb(s, pick % count, key))

    @rule(key=st.sampled_from(free_values()), value=POSITIVE)
    def measure(self, key: str, value: float) -> None:
        axle = key.split(".")[0]
        if axle in ("car", "sheet") or f"{axle}.kind" in self.setup_now.evidence:
            self.do(lambda s: setup_edits.set_evidence(s, key, value))

    @rule(pick=st.integers(0, 99), point=POINT, within=st.none() | POSITIVE, note=TEXT)
    def measure_a_point(self, pick: int, point, within, note: str) -> None:  # type: ignore[no-untyped-def]
        key = self.points()[pick % len(self.points())]
        self.do(lambda s: setup_edits.set_evidence(s, key, point))
        if not any(key in tape.between for tape in self.setup_now.tapes):
            self.do(lambda s: edits.set_within(s, key, within))
        self.do(lambda s: edits.set_point_note(s, key, note))

    @rule(pick=st.integers(0, 99), other=st.integers(0, 98), length=POSITIVE, note=TEXT)
    def tape(self, pick: int, other: int, length: float, note: str) -> None:
        points = self.points()
        first = points[pick % len(points)]
        second = [key for key in points if key != first][other % (len(points) - 1)]
        tape = Tape((first, second), length, length / 100.0, note)
        for key in (first, second):
            self.do(lambda s, key=key: edits.set_within(s, key, (1.0, 1.0, 3.0)))
        self.do(lambda s: edits.set_tapes(s, (*s.tapes, tape)))

    @rule(pick=st.integers(0, 9), note=TEXT, gone=st.booleans())
    def tape_again(self, pick: int, note: str, gone: bool) -> None:
        tapes = self.setup_now.tapes
        if tapes:
            at = pick % len(tapes)
            new = () if gone else (replace(tapes[at], note=note),)
            self.do(lambda s: edits.set_tapes(s, (*tapes[:at], *new, *tapes[at + 1 :])))

    @rule(pick=st.integers(0, 99))
    def forget_a_measurement(self, pick: int) -> None:
        values = self.setup_now.evidence
        moved = {k for c in self.setup_now.changes for k in (*c.moves, *c.sets)}
        tables = {k.rsplit(".", 1)[0] for k in values}
        free = [
            k
            for k in values
            if not is_needed(KEYS[k], values)
            and k not in moved
            and not KEYS[k].name.endswith("kind")
        ]
        free = [k for k in free if KEYS[k].kind != "point" and k not in tables]
        if free:
            self.do(lambda s: edits.remove_evidence(s, free[pick % len(free)]))

    @rule(
        key=st.sampled_from(sorted(LIMIT_KINDS)),
        low=st.none() | st.floats(-9.0, 0.0),
        high=st.floats(0.001, 9.0),
        by=TEXT,
        gone=st.booleans(),
    )
    def limit(self, key: str, low, high: float, by: str, gone: bool) -> None:  # type: ignore[no-untyped-def]
        if f"{key.split('.')[0]}.kind" in self.setup_now.evidence:
            limit = Limit(low, high, LIMIT_KINDS[key], edits.clean_text(by))
            self.do(lambda s: edits.set_limit(s, key, None if gone else limit))

    @rule(
        end=st.sampled_from(["front", "rear"]),
        word=st.sampled_from([SETTLES, AS_MEASURED, ""]),
        share=st.floats(0.0, 1.0),
    )
    def choose_a_height(self, end: str, word: str, share: float) -> None:
        """A word, or a number somewhere between the stops, their own heights too."""
        if f"{end}.kind" not in self.setup_now.evidence:
            return
        reach = height_range(self.setup_now.evidence, end)
        if word:
            self.do(lambda s: edits.set_height(s, end, word))
        elif reach is None:
            with pytest.raises(edits.EditError, match="needs the measured one"):
                edits.set_height(self.setup_now, end, 300.0)
        else:
            height = reach[0] + share * (reach[1] - reach[0])
            self.do(lambda s: edits.set_height(s, end, height))

    @rule(text=TEXT, which=st.sampled_from([edits.set_title, setup_edits.set_notes]))
    def write(self, text: str, which: Callable[[Setup, str], Setup]) -> None:
        self.do(lambda s: which(s, text))

    @rule(units=st.sampled_from(["mm", "in"]))
    def switch_units(self, units) -> None:  # type: ignore[no-untyped-def]
        self.do(lambda s: setup_edits.set_units(s, units))

    @rule()
    def undo(self) -> None:
        if self.done:
            self.undone.append(self.setup_now)
            assert self.history.undo_words == "Edit"
            self.history = self.history.undo()
            assert self.setup_now == self.done.pop()
        else:
            assert self.history.undo_words == ""
            assert self.history.undo() == self.history

    @rule()
    def redo(self) -> None:
        if self.undone:
            self.done.append(self.setup_now)
            self.history = self.history.redo()
            assert self.setup_now == self.undone.pop()
        else:
            assert self.history.redo().value == self.setup_now

    @rule()
    def save(self) -> None:
        self.loaded = files.write_setup(self.path, self.setup_now, self.loaded)
        self.history = self.history.mark_saved()
        text = self.path.read_bytes().decode()
        again = parse(text, limit_kinds=LIMIT_KINDS)
        assert same_setup(again, self.setup_now)
        plain = text.replace("\r\n", "\n")  # tomlkit doesn't make line ends one, as TOML may
        assert tomlkit.parse(plain).unwrap() == tomllib.loads(text)
        if self.windows:
            assert "\n" not in text.replace("\r\n", "")

    @precondition(lambda self: self.history.is_saved)
    @rule()
    def open_again(self) -> None:
        self.save()
        self.loaded = files.read_setup(self.path, limit_kinds=LIMIT_KINDS)
        assert same_setup(self.loaded.setup, self.setup_now)
        data = self.path.read_bytes()
        files.write_setup(self.path, self.loaded.setup, self.loaded)
        assert self.path.read_bytes() == data
        self.history, self.done, self.undone = History.of(self.loaded.setup), [], []

    @rule()
    def someone_else_writes(self) -> None:
        data = self.path.read_bytes()
        self.path.write_bytes(data + b"# by another hand")
        with pytest.raises(files.ChangedOnDisk, match="changed by something else"):
            files.write_setup(self.path, edits.set_title(self.setup_now, "Mine"), self.loaded)
        assert self.path.read_bytes() == data + b"# by another hand"
        self.path.write_bytes(data)

    @invariant()
    def the_history_is_as_long_as_what_was_done(self) -> None:
        if hasattr(self, "history"):
            assert self.history.index == len(self.done)
            assert len(self.history.steps) == len(self.done) + 1 + len(self.undone)

    @invariant()
    def only_this_file_is_in_the_folder(self) -> None:
        if hasattr(self, "folder"):
            assert [p.name for p in Path(self.folder.name).iterdir()] == ["car.toml"]


@pytest.fixture(autouse=True)
def no_text_is_written_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """The remarks of a file must never be lost by falling back on a new text."""

    def refuse(_: Setup) -> str:
        return "the text was written anew"

    monkeypatch.setattr(writer, "new_text", refuse)


TestDocument = Document.TestCase
TestDocument.settings = settings(
    max_examples=examples(7, 40),
    stateful_step_count=30,
    suppress_health_check=list(HealthCheck),
)

"""Broken files: always faults or a setup, never anything else; and quickly."""

import random
from itertools import product

import pytest

from app.document.faults import SetupFaults
from app.document.files import read_setup
from app.document.model import Setup
from app.document.rewriting import rewritten
from tests.document.examples import COIL, EXAMPLES, LEAF, TORSION
from tests.helpers.long_cases import typical_of
from tests.helpers.reading import parse

STEP = 4  # characters; the suite cuts one of four places


def outcome(text: str) -> Setup | SetupFaults:
    try:
        return parse(text, "it")
    except SetupFaults as faults:
        check(faults, text)
        return faults


def check(faults: SetupFaults, text: str) -> None:
    assert faults.faults
    for fault in faults.faults:
        assert fault.line is None or 1 <= fault.line <= text.count("\n") + 1
        assert str(fault).startswith("it")


@pytest.mark.parametrize(
    ("text", "first"), typical_of(product((LEAF, TORSION), range(STEP)), ((TORSION, 0),))
)
def test_cut_off_at_every_character(text: str, first: int) -> None:
    whole = parse(text)
    for length in range(first, len(text), STEP):
        found = outcome(text[:length])
        if isinstance(found, Setup):  # only possible once all that is needed stands there
            assert set(found.evidence) <= set(whole.evidence)


@pytest.mark.parametrize("seed", typical_of(range(6), (0, 1)))
def test_bytes_flipped_at_random(tmp_path, seed: int) -> None:  # type: ignore[no-untyped-def]
    chance, file = random.Random(seed), tmp_path / "car.toml"
    for _ in range(150):
        data = bytearray(chance.choice(EXAMPLES).encode())
        for _ in range(chance.choice([1, 1, 2, 5, 40])):
            data[chance.randrange(len(data))] = chance.randrange(256)
        file.write_bytes(data)
        try:
            loaded = read_setup(file)
        except SetupFaults:
            continue
        assert rewritten(loaded.text, loaded.setup, loaded.setup) == loaded.text


@pytest.mark.parametrize("seed", typical_of(range(4), (0, 1)))
def test_lines_lost_doubled_and_swapped(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(100):
        lines = chance.choice(EXAMPLES).split("\n")
        for _ in range(chance.randint(1, 4)):
            i, j = chance.randrange(len(lines)), chance.randrange(len(lines))
            kind = chance.randrange(4)
            if kind == 0:
                del lines[i]
            elif kind == 1:
                lines.insert(j, lines[i])
            elif kind == 2:
                lines[i], lines[j] = lines[j], lines[i]
            else:
                lines[i] = lines[i].replace("=", chance.choice(["", "==", ":", "= {", "= ["]))
        outcome("\n".join(lines))


WRONG = [
    "1",
    "-1.5",
    "true",
    '"x"',
    "[]",
    "{}",
    "[[]]",
    "[1, 2, 3]",
    "{ a = 1 }",
    "1979-05-27",
    "nan",
]


@pytest.mark.parametrize("text", typical_of(EXAMPLES, EXAMPLES[1:2]))
def test_every_value_in_turn_of_every_wrong_kind(text: str) -> None:
    lines = text.split("\n")
    for number, line in enumerate(lines):
        name, equals, _ = line.partition("=")
        if equals and not line.lstrip().startswith("{"):
            for wrong in WRONG:
                outcome("\n".join([*lines[:number], f"{name}= {wrong}", *lines[number + 1 :]]))


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize(
    "name", ["car", "front", "rear", "sheet", "change", "proposal", "front.points", "x"]
)
def test_whole_tables_of_every_wrong_kind(name: str, wrong: str) -> None:
    outcome(f'format = 1\ntitle = "x"\nunits = "mm"\n{name} = {wrong}\n')


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize("name", ["front_height", "rear_height", "x", "front_height.x"])
def test_heights_of_every_wrong_kind(name: str, wrong: str) -> None:
    outcome(COIL + f"[proposal]\n{name} = {wrong}\n")


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize(
    "name", ["name", "on", "move", "set", "note", "x", '"change".x', "move.x.y"]
)
def test_parts_of_changes_of_every_wrong_kind(name: str, wrong: str) -> None:
    outcome(COIL + f"[[change]]\n{name} = {wrong}\n")

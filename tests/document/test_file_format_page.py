"""The page that documents the file format says what the program does."""

import re
from math import radians

import pytest

from app.document.keys import ALL_KEYS
from app.document.quantities import QUANTITIES
from tests.document.examples import COIL, EXAMPLES, LEAF, LIMIT_KINDS, LINKS, PAGE, TORSION
from tests.helpers.reading import parse

TEXT = PAGE.read_text()


@pytest.mark.parametrize("text", EXAMPLES)
def test_every_complete_example_is_a_setup(text: str) -> None:
    setup = parse(text, limit_kinds=LIMIT_KINDS)
    assert setup.title.startswith("Invented")


def test_there_is_one_example_of_each_kind_of_suspension() -> None:
    assert parse(COIL).evidence["front.spring.kind"] == "coil"
    assert parse(TORSION).evidence["front.spring.kind"] == "torsion bar"
    assert parse(LEAF).evidence["rear.kind"] == "leaf axle"
    assert parse(LINKS).evidence["rear.kind"] == "five-link axle"


def test_fragments_are_of_the_format_too() -> None:
    points = re.findall(r"^```toml\n(\[front.*?)^```$", TEXT, re.M | re.S)
    assert len(points) == 4
    head, tail = COIL.split("[front.limits]")
    parse(head + points[2] + tail[tail.index("[[change]]") :], limit_kinds=LIMIT_KINDS)
    with_within = re.sub(r"^camber = -0\.5$", points[1].split("\n")[1], COIL, flags=re.M)
    assert parse(with_within).within["front.camber"] == pytest.approx(radians(0.1))
    aligned = parse(COIL.replace("[[change]]", f"{points[3]}[[change]]", 1))
    assert len(aligned.adjusters) == 4
    wanted = re.findall(r"^```toml\n(\[\[rear.want.*?)^```$", TEXT, re.M | re.S)[0]
    assert len(parse(f"{LEAF}\n{wanted}").rooms) == 4
    spaces = re.findall(r"^```toml\n(\[\[front.envelope.*?)^```$", TEXT, re.M | re.S)[0]
    wide = COIL.replace("tyre_radius = 305.0\n", "tyre_radius = 305.0\ntyre_width = 165.0\n", 1)
    assert len(parse(f"{wide}\n{spaces}").clearances) == 1
    together = re.findall(r"^```toml\n(\[\[together.*?)^```$", TEXT, re.M | re.S)[0]
    assert len(parse(f"{COIL}\n{together}").together[0].changes) == 2
    taped = re.findall(r"^```toml\n(\[marks.*?)^```$", TEXT, re.M | re.S)[0]
    assert len(parse(COIL.replace("[[change]]", f"{taped}[[change]]", 1)).tapes) == 1


@pytest.mark.parametrize(
    "key", [k for k in ALL_KEYS if ".right." not in k.name], ids=lambda k: k.name
)
def test_every_key_is_documented_with_title_and_unit(key) -> None:  # type: ignore[no-untyped-def]
    row = next(line for line in TEXT.split("\n") if f"| `{'.'.join(key.place)}` |" in line)
    assert key.title in row
    if key.kind in QUANTITIES and QUANTITIES[key.kind].mm_unit:
        assert QUANTITIES[key.kind].mm_unit in row
        assert QUANTITIES[key.kind].inch_unit in row
    for choice in key.choices:
        assert f'"{choice}"' in row


def test_only_documented_keys_exist() -> None:
    documented = set(re.findall(r"^\| `((?:sheet|car|front|rear)\.[\w.]+)` \|", TEXT, re.M))
    assert documented == {".".join(k.place) for k in ALL_KEYS if ".right." not in k.name}


def test_units_table_names_every_unit_of_the_file() -> None:
    table = TEXT[TEXT.index("| quantity |") : TEXT.index("The decimal sign")]
    for unit in ("N/mm", "lbf/in", "N·m", "lbf·ft", "kg·m²", "lb·ft²", "N/mm²", "lbf/in²"):
        assert unit in table


def test_faults_shown_on_the_page_are_those_the_program_tells() -> None:
    shown = TEXT[TEXT.index("```text\n") + 8 :].split("```")[0].strip().split("\n")
    assert all(
        re.match(r"car\.toml, line \d+: .*\.( Did you mean .*\?| A decimal .*)$", s) for s in shown
    )


def test_the_heights_on_the_page_can_be_read() -> None:
    (table,) = re.findall(r"^```toml\n(\[proposal\].*?)^```$", TEXT, re.M | re.S)
    arched = LEAF.replace("tyre_radius = 305.0\n", "tyre_radius = 305.0\narch_height = 350.0\n", 1)
    car = COIL[: COIL.index("[[change]]")] + arched[arched.index("[rear]") :]
    head, mark, changes = car.partition("[[change]]")
    assert parse(head + table + mark + changes).heights == {"rear": 338.0}

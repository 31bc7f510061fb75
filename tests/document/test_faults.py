"""Wrong files: every fault in one go, with file, line, key, what was found and what was meant."""

import re
from pathlib import Path

import pytest

from app.document.faults import Fault, SetupFaults, rest_words
from app.document.files import read_setup
from app.document.reading import read_text
from app.document.upgrades import upgrade
from tests.document.examples import COIL, LEAF, LIMIT_KINDS, LINKS, TORSION
from tests.helpers.reading import parse


def faults_of(text: str, **options: object) -> tuple[Fault, ...]:
    with pytest.raises(SetupFaults, match="it, line") as caught:
        parse(text, "it", **options)  # type: ignore[arg-type]
    return caught.value.faults


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


# old text, new text, key, found, expected or hint; the line is that of the old text
CASES = [
    ("rate = 52.0", 'rate = "52.0"', "front.spring.rate", "the text", "a number in N/mm"),
    ("rate = 52.0", "rate = true", "front.spring.rate", "true", "a number in N/mm"),
    ("rate = 52.0", "rate = nan", "front.spring.rate", "nan", "a number in N/mm"),
    ("rate = 52.0", "rate = inf", "front.spring.rate", "inf", "a number in N/mm"),
    ("rate = 52.0", "rate = -52.0", "front.spring.rate", "-52.0", "more than 0"),
    ("rate = 52.0", "rate = [52.0]", "front.spring.rate", "a list of 1", "a number"),
    ("rate = 52.0", "rate = 1" + "0" * 400, "front.spring.rate", "huge", "a number"),
    ("rate = 52.0", "raet = 52.0", "front.spring.raet", "not known", "Did you mean rate?"),
    ("mass = 1240.0", "wieght = 1240.0", "car.wieght", "not known", "Known: wheelbase, mass"),
    ("mass = 1240.0", "tyre_rate = 2.0", "car.tyre_rate", "not known", "under [front]"),
    ("front_share = 0.54", "front_share = 54", "car.front_share", "54", "at most 1"),
    ("camber = -0.5", "camber = 2024-05-01", "front.camber", "2024-05-01", "degrees"),
    ("toe = 0.1", "toe = 99.0", "front.toe", "99.0", "at least -45, at most 45"),
    ('on = "upper arm"', 'on = "uper arm"', "front.spring.on", "uper", "Did you mean upper arm?"),
    ('kind = "rack"', "kind = 1", "front.steering.kind", "1", '"rack" or "relay"'),
    ("[105.0, 372.0, 585.0]", "[105.0, 372.0]", "front.points.upper_front", "list of 2", "three"),
    ("[105.0, 372.0, 585.0]", "[105,0, 372,0, 585,0]", "upper_front", "list of 6", "decimal sign"),
    (
        "[105.0, 372.0, 585.0]",
        '[105.0, "372", 585.0]',
        "upper_front, number 2",
        "372",
        "quotes: 372",
    ),
    ("[105.0, 372.0, 585.0]", "[105.0, nan, 585.0]", "upper_front, number 2", "nan", "in mm"),
    ("[105.0, 372.0, 585.0]", "{ within = 1.0 }", "upper_front.at", "missing", "at = [x, y, z]"),
    ("within = 1.0, note", "within = -1, note", "upper_ball.within", "-1", "at least 0"),
    ("within = 1.0, note", "withn = 1.0, note", "upper_ball.withn", "not known", "within?"),
    ("rate = 52.0", "rate = { within = 1.0 }", "front.spring.rate.is", "missing", "a number"),
    ("[front.travel]", "[front.travels]", "front.travels", "not known", "Did you mean travel?"),
    ("[front.travel]", "[fornt.travel]", "fornt", "not known", "Did you mean front?"),
    ('title = "I', 'titel = "I', "titel", "not known", "Did you mean title?"),
    ('units = "mm"', 'units = "cm"', "units", 'text "cm"', '"mm" or "in"'),
    ('units = "mm"', "units = 1", "units", "1", '"mm" or "in"'),
    ("format = 2", "format = 7", "format", "newer than this program", "newer version"),
    ("format = 2", "format = 0", "format", "0", "from 1 on"),
    ("format = 2", 'format = "1"', "format", 'text "1"', "a whole number"),
    ("format = 2", "format = true", "format", "true", "a whole number"),
    ("on = true", 'on = "true"', "change 1, on", 'text "true"', "without quotes"),
    ('parts = "kept"', 'parts = "new"', "change 1, parts", "new", '"made to fit"'),
    ("Spring 55 N/mm", "Upper pivots 22 mm lower", "change 2, name", "change 1", "of its own"),
    ("Spring 55 N/mm", " ", "change 2, name", "missing", "a name"),
    (
        '"front.spring.rate" = 55.0',
        '"front.spring.raet" = 1',
        "change 2, set",
        "not",
        "spring.rate?",
    ),
    (
        '"front.spring.rate" = 55.0',
        '"front.kind" = "x"',
        "change 2, set, front.kind",
        "what is",
        "",
    ),
    ('"front.spring.rate" = 55.0', '"front.spring.rate" = "x"', "change 2, set", "text", "N/mm"),
    ('"front.upper_rear"  =', '"front.points.upper_rear" =', "move", "not", "front.upper_rear?"),
    ('"front.upper_rear"  =', '"front.camber" =', "change 1, move", "no point", "a point to move"),
    ('"front.upper_rear"  =', '"front.idler_end" =', "move", "no such point", "a point it gives"),
    ('"front.upper_rear"  =', "front.upper_front =", "change 1, move", "twice", "once"),
    ("max = 24.0", "mx = 24.0", "front.limits.upper_ball_swing.mx", "not known", "max?"),
    ("max = 24.0, by", "by", "front.limits.upper_ball_swing", "neither min nor max", "at least"),
    ("min = -1.5", "min = 1.5", "front.limits.camber", "above max", "min below max"),
    ("bump_steer_range = 0.25", "bump_ster = 0.25", "limits.bump_ster", "not", "bump_steer_range?"),
    ("bump_steer_range = 0.25", "bump_steer_range = -1", "bump_steer", "-1", "at least 0"),
    ("made_by = ", "made_by = 3 #", "sheet.made_by", "3", "in quotes"),
    ("date = 2024-05-31", "date = 24", "sheet.date", "24", "text in quotes"),
]


@pytest.mark.parametrize(("old", "new", "key", "found", "meant"), CASES)
def test_a_fault_has_line_key_finding_and_hint(
    old: str, new: str, key: str, found: str, meant: str
) -> None:
    text = COIL.replace(old, new, 1)
    fault = next(f for f in faults_of(text, limit_kinds=LIMIT_KINDS) if key in f.key)
    assert fault.line == line_of(COIL, old)
    assert found in fault.found
    assert meant in f"{fault.expected} {fault.hint}"
    assert fault.file == "it"


def test_a_limit_of_an_unknown_result_names_the_nearest() -> None:
    text = COIL.replace("upper_ball_swing", "uper_ball_swing")
    (fault,) = faults_of(text, limit_kinds=LIMIT_KINDS)
    assert fault.hint == "Did you mean upper_ball_swing?"
    assert fault.line == line_of(text, "uper_ball_swing")


@pytest.mark.parametrize(
    ("text", "line", "header"),
    [
        (COIL, 'lower_arm = "link and strut rod"\n', "[front]"),
        (COIL, "tyre_radius = 305.0\n", "[front]"),
        (COIL, "wheel_centre = [0.0, 742.0, 305.0]\n", "[front.points]"),
        (COIL, "spring_arm   = [-5.0, 500.0, 553.0]\n", "[front.points]"),
        (COIL, "damper_arm   = [-5.0, 500.0, 553.0]\n", "[front.points]"),
        (COIL, 'on = "upper arm"\n', "[front.spring]"),
        (COIL, 'name = "Spring 55 N/mm"\n', "[[change]]\non = false"),
        (TORSION, "rate = 32.5                       # lbf·ft per degree\n", "[front.spring]"),
        (TORSION, "tie_outer    = [5.75, -24.75, 8.0]\n", "[front.points_right]"),
        (TORSION, "idler_end    = [4.0, -15.0, 9.0]\n", "[front.points]"),
        (LEAF, "width = 63.5\n", "[rear.pack]"),
        (LEAF, "front_eye    = [-2010.0, 545.0, 330.0]\n", "[rear.points]"),
        (LINKS, "upper_axle    = [-2440.0, 340.0, 420.0]\n", "[rear.points]"),
        (LEAF, '"rear.traction_bar.stiffness" = 400.0\n', None),
    ],
)
def test_what_is_missing_is_said_at_the_table_where_it_belongs(
    text: str, line: str, header: str | None
) -> None:
    assert line in text
    without = text.replace(line, "", 1)
    if header is None:  # a value of a change needs no other
        parse(without)
        return
    (fault,) = faults_of(without)
    assert fault.line == line_of(without, header)
    assert "missing" in fault.found
    assert fault.key.split(".")[-1].split(", ")[-1] == line.split(" ")[0]


def test_the_unit_of_what_is_missing_follows_the_spring() -> None:
    (fault,) = faults_of(re.sub(r"rate = 32.5.*\n", "", TORSION))
    assert "lbf·ft per degree" in fault.expected


def test_a_misspelt_key_is_not_also_called_missing() -> None:
    text = COIL.replace("upper_front  =", "upper_frnt  =")
    faults = [f for f in faults_of(text) if "change" not in f.key]
    assert [f.hint for f in faults] == ["Did you mean upper_front?"]


def test_all_faults_are_reported_at_once_in_the_order_of_the_file() -> None:
    text = COIL
    changed = [case for case in CASES if case[0] in ("mass = 1240.0", "toe = 0.1")][1:]
    for old, new, *_ in [*changed, ("rate = 52.0", "rate = nan"), ("max = 24.0", "max = true")]:
        text = text.replace(old, new, 1)
    lines = [f.line for f in faults_of(text)]
    assert len(lines) == 4
    assert lines == sorted(lines)


def test_a_switch_to_the_other_rear_needs_all_of_it() -> None:
    text = LEAF + '\n[[change]]\nname = "Links"\n[change.set]\n"rear.kind" = "five-link axle"\n'
    faults = faults_of(text)
    assert {f.key for f in faults} == {
        f"rear.points.{part}_{end}"
        for part in ("lower", "upper", "lateral")
        for end in ("body", "axle")
    }
    assert {f.line for f in faults} == {line_of(text, '[change.set]\n"rear.kind"')}
    assert all("Change 4" in f.hint for f in faults)


@pytest.mark.parametrize("end", ["front", "rear"])
def test_an_arch_height_is_what_is_there_and_no_change_of_it(end: str) -> None:
    # a change of it would move nothing, and a sheet would ask the shop for it beside the true one
    text = LEAF + f'\n[[change]]\nname = "Lower"\n[change.set]\n"{end}.arch_height" = 340.0\n'
    (fault,) = [f for f in faults_of(text) if f.key.endswith("arch_height")]
    assert fault.found == "this says what is there; a change can't set it"
    assert fault.hint == f"Choose the height as {end}_height under [proposal]."


def test_a_file_may_hold_both_rears_and_a_change_may_switch() -> None:
    points = LINKS[LINKS.index("lower_body") : LINKS.index("spring_body")]
    text = LEAF.replace("[rear.pack]", points + "\n[rear.pack]")
    text += '\n[[change]]\nname = "Links"\n[change.set]\n"rear.kind" = "five-link axle"\n'
    assert parse(text).changes[-1].sets["rear.kind"] == "five-link axle"


def test_neither_front_nor_rear_is_no_car() -> None:
    (fault,) = faults_of('format = 1\ntitle = "x"\nunits = "mm"\n')
    assert "[front] or [rear]" in fault.expected


def test_an_unfinished_car_can_be_read_to_be_measured_on() -> None:
    text = 'format = 1\ntitle = "x"\nunits = "mm"\n[front]\nkind = "double wishbone"\n'
    reading = read_text(text, partial=True)
    assert reading.setup.evidence == {"front.kind": "double wishbone"}
    assert len(reading.missing) == 13


# --- no TOML at all -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "line", "column", "key", "found"),
    [
        ('format = 1\ntitle = "x\nunits = 3', 2, 11, "title", "a character that can't stand here"),
        ("format = 1\ntitle\n", 2, 6, "title", "a name without ="),
        ("format = 1\na = 1 2\n", 2, 7, "a", "left over"),
        ("format = 1\na = \n", 2, 5, "a", "no value"),
        ("format = 1\n\n[a]\n[a]\n", 4, 3, "a", "this table is given twice"),
        ("a = 1\na = 2\nb = 3\n", 2, 6, "a", "this name is given twice"),
        ("a = [1, 2\nb = 3\n", 1, None, "a", "a list that isn't closed"),
        ("[t.u]\na = [1, 2\n", 2, None, "t.u.a", "a list that isn't closed"),
        ("[t]\na = [\n  1,\n  x,\n]\n", 4, 3, "t.a", "no value"),
        ("a = { b = 1\n", 1, 12, "a", "a table that isn't closed"),
        ('[t]\na = """x\nb = 1\n', 2, None, "t.a", "a text that isn't closed"),
        ('a = "\\q"\n', 1, 8, "a", "a backslash"),
        ("= 3\n", 1, 1, "", "no name, table or comment"),
        ("a = 1\n%b = 3\n", 2, 1, "%b", "no name, table or comment"),
        ("[t]\n$b\n", 2, 1, "t.$b", "no name, table or comment"),
        ("[a\nb = 1", 1, 3, "a", "a table's name that isn't closed"),
        ("a = 1\x00\n", 1, 6, "a", "left over"),
        (f"a = 1\n[t]\nb = {'9' * 5000}\nc = 1\n", 3, None, "t.b", "far too long"),
        (f"a = 1\n[t]\nb = {'[' * 5000}{']' * 5000}\nc = 1\n", 3, None, "t.b", "far too long"),
    ],
)
def test_a_text_that_is_no_toml_is_told_in_plain_words(
    text: str, line: int, column: int | None, key: str, found: str
) -> None:
    (fault,) = faults_of(text)
    assert (fault.line, fault.column, fault.key) == (line, column, key)
    assert found in fault.found


def test_a_file_cut_short_anywhere_names_the_key_that_it_breaks_off_in() -> None:
    """Every cut of the example: the fault, if it is one of the text, is on the last line's key."""
    lines = COIL.split("\n")
    for count in range(2, len(lines)):
        whole, broken = "\n".join(lines[:count]), lines[count]
        if "=" not in broken or broken.startswith(("#", " ")):
            continue
        for cut in (broken.index("=") + 1, len(broken.split("#")[0].rstrip()) - 1):
            try:
                read_text(f"{whole}\n{broken[:cut]}", partial=True)
                continue  # what is left of a number may be one
            except SetupFaults as found:
                faults = found.faults
            assert all(fault.line is not None for fault in faults)
            if faults[0].found in ("this is no value", "a list that isn't closed"):
                assert faults[0].line == count + 1
                assert faults[0].key.endswith(broken.split("=")[0].strip().strip('"'))


def test_thousands_of_faults_are_told_as_the_first_and_a_count() -> None:
    names = "\n".join(f"zz{number} = [1, 2, 3]" for number in range(3000))
    faults = faults_of(f'{COIL}\n[[change]]\nname = "x"\n[change.move]\n{names}\n')
    assert len(faults) == 3000
    assert rest_words(len(faults)) == "And 2980 more: mend these first."
    assert rest_words(20) == ""


def test_faults_come_in_the_order_of_the_file() -> None:
    """Names on one line too: a set's order changes from run to run."""
    names = ", ".join(f"zz{number} = 1" for number in range(12))
    faults = faults_of(
        COIL.replace("[front.limits]", f"[front.limits]\nkingpin_inclination = {{ {names} }}")
    )
    keys = [fault.key for fault in faults if ".zz" in fault.key]
    assert keys == [f"front.limits.kingpin_inclination.zz{number}" for number in range(12)]


@pytest.mark.parametrize("unseen", ["\u00a0", "\u200b", "\u2003", "\ufeff"])
def test_a_character_that_cannot_be_seen_is_told(unseen: str) -> None:
    (fault,) = faults_of(f"format = 1\ntitle{unseen}= 3\n")
    assert fault.line == 2
    assert "can't be seen" in fault.hint


def test_a_decimal_comma_is_recognised() -> None:
    (fault,) = faults_of("format = 1\ncamber = -0,5\n")
    assert fault.line == 2
    assert fault.hint == "A decimal sign is a point, not a comma."


@pytest.mark.parametrize("text", ["a=" + "[" * 6000, "a=" + "9" * 5000, "a=" + "{b=" * 6000])
def test_absurd_texts_are_faults_too(text: str) -> None:
    assert faults_of(text)


# --- no text at all -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "empty"),
        (b"\n \n", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        ("title = 1".encode("utf-16"), "UTF-16"),
        ("title = 1".encode("utf-32"), "UTF-32"),
        (b'format = 1\ntitle = "caf\xe9"', "no UTF-8 (byte 0xe9)"),
        (b"\x89PNG\r\n\x1a\n", "no UTF-8 (byte 0x89)"),
    ],
)
def test_files_that_hold_no_text(tmp_path: Path, data: bytes, found: str) -> None:
    file = tmp_path / "car.toml"
    file.write_bytes(data)
    with pytest.raises(SetupFaults, match=re.escape(found)):
        read_setup(file)


def test_the_line_of_a_wrong_byte_is_told(tmp_path: Path) -> None:
    (tmp_path / "car.toml").write_bytes(b'format = 1\ntitle = "caf\xe9"')
    with pytest.raises(SetupFaults, match=r"car\.toml, line 2: title: a character"):
        read_setup(tmp_path / "car.toml")


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "car.toml").write_bytes(b"\xef\xbb\xbf" + COIL.encode())
    assert read_setup(tmp_path / "car.toml").setup == parse(COIL)


def test_what_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(SetupFaults, match="this is a folder"):
        read_setup(tmp_path)
    with pytest.raises(SetupFaults, match="there is no such file"):
        read_setup(tmp_path / "none.toml")
    with pytest.raises(SetupFaults, match="this is no file"):
        read_setup("/dev/zero")
    with pytest.raises(SetupFaults, match="no file's name"):
        read_setup("a\0b")
    with (tmp_path / "huge").open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(SetupFaults, match="50 MB large"):
        read_setup(tmp_path / "huge")


# --- formats ------------------------------------------------------------------------------------


def test_an_older_format_is_taken_up_step_by_step() -> None:
    upgrades = {
        0: lambda tables: {**tables, "title": tables["nome"]},
        1: lambda tables: {k: v for k, v in tables.items() if k != "nome"},
    }
    old = COIL.replace("format = 2", "format = 0").replace("title =", "nome =")
    reading = read_text(old, upgrades=upgrades)
    assert reading.setup == parse(COIL)
    assert reading.format == 0
    assert upgrade({"format": 0, "nome": "x"}, 0, upgrades) == {"format": 2, "title": "x"}


def test_a_newer_format_is_refused_with_a_sentence_and_nothing_else() -> None:
    (fault,) = faults_of("format = 3\nnonsense = true\n")
    assert str(fault) == (
        "it, line 1: format: this file is of format 3, newer than this program, which reads up "
        "to format 2. Nothing was changed. Open it with a newer version of the program."
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("[rear.pack]", "[rear.right.pack]"),
        ("[rear]", "[rear]\nblock_right = 5.0"),
        ("[rear.pack]", "[rear.pack_right]\nwidth = 60.0\n[rear.pack]"),
    ],
)
def test_a_pack_or_block_of_the_right_side_alone_is_refused_with_what_there_is(
    old: str, new: str
) -> None:
    text = LEAF
    assert old in text
    told = [fault for fault in faults_of(text.replace(old, new, 1)) if "not known" in fault.found]
    assert [fault.hint[:36] for fault in told] == ["Both rear springs have one pack, blo"]
    assert "[rear.points_right]" in told[0].hint


def test_a_misspelt_right_point_is_still_told_the_nearest() -> None:
    change = """[[change]]
name = "x"
[change.move]
"rear.right.shackle_bdy" = [0.0, 0.0, 5.0]
"""
    (fault,) = faults_of(f"{LEAF}\n{change}")
    assert fault.hint == "Did you mean rear.right.shackle_body?"

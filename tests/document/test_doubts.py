"""Whatever looks mistyped in a file is asked with line and key: rear, leaves, changes, units."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.document.adjusting import adjusted
from app.document.doubts import Doubt, doubted_first, doubts
from app.document.faults import SetupFaults
from app.document.files import LoadedSetup, read_setup, read_text
from app.document.keys import ALL_KEYS, BY_PLACE, KEYS, kind_of
from app.document.leaf_parts import LeafPart
from app.document.model import Change, Setup, Vec
from app.document.moves import add, proposed_values
from app.document.plausible import LARGE_MOVE, all_questions, change_questions
from app.document.quantities import QUANTITIES
from app.document.samples import sample_paths
from app.document.schema import LEAF_KINDS, LEAF_USUAL, LEAF_WITHIN_USUAL, MAIN_LEAF_USUAL
from app.document.toml_layout import Layout, Span
from app.systems.every import LIMIT_KINDS
from tests.helpers.long_cases import examples, typical_of
from tests.helpers.project import SAMPLE_FILES

SAMPLES = SAMPLE_FILES
SALOON = next(path for path in SAMPLES if path.stem == "small_saloon")
LINKS = next(path for path in SAMPLES if path.stem == "hillclimb_special")
TAPED = read_setup(SAMPLES[0].with_name("taped_saloon.toml"), limit_kinds=LIMIT_KINDS).setup
INCHES = next(path for path in SAMPLES if path.stem == "inch_sedan")


def read(text: str) -> LoadedSetup:
    setup = read_text(text, "it", limit_kinds=LIMIT_KINDS).setup
    return LoadedSetup(Path("it.toml"), setup, text)


def asked(path: Path, old: str, new: str) -> list[tuple[int | None, str, str]]:
    """Return line, key and words of what is asked once a text is replaced, and where it stands."""
    text = path.read_text()
    assert text.count(old) == 1, old
    loaded = read(text.replace(old, new))
    return [(doubt.line, doubt.key, doubt.text) for doubt in doubts(loaded.setup, loaded)]


def line_of(path: Path, old: str) -> int:
    return path.read_text()[: path.read_text().index(old)].count("\n") + 1


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_sample_is_questioned_nor_any_of_its_changes(path: Path) -> None:
    assert all_questions(read(path.read_text()).setup) == ()


def test_every_number_has_a_usual_range() -> None:
    for key in ALL_KEYS:
        if key.is_number or key.kind == "point":
            assert key.usual is not None, key.name
            assert not key.torsion or key.torsion_usual is not None
    numbers = {field for field, kind in LEAF_KINDS.items() if kind in QUANTITIES}
    assert numbers == LEAF_USUAL.keys()


@pytest.mark.parametrize(
    ("path", "old", "new", "key", "words"),
    [
        (SALOON, "thickness = 4.5, front = 205.0, rear = 245.0 },\n]\n\n[rear.axle]",
         "thickness = 60.0, front = 205.0, rear = 245.0 },\n]\n\n[rear.axle]",
         "rear.pack.leaf, number 5.thickness", "60.0 mm is far from the usual 2.5 to 16 mm"),
        (SALOON, "grip = 0.9 ", "grip = 90 ", "rear.drive.grip", "Was 0.9 meant (90 %)?"),
        (SALOON, "modulus = 206000.0", "modulus = 206", "rear.pack.modulus",
         "Was 206000 N/mm² meant (206 GPa)?"),
        (SALOON, "rate = 63.0", "rate = 6300", "front.spring.rate", "far from the usual"),
        (SALOON, "rate = 63.0", "rate = 63000", "front.spring.rate",
         "Was 63.0 N/mm meant (63000 N/m)?"),
        (SALOON, "closed_length = 270.0\nopen_length = 445.0",
         "closed_length = 445.0\nopen_length = 270.0",
         "rear.damper.closed_length", "Are the two swapped?"),
        (SALOON, "closed_length = 205.0\nopen_length = 292.0",
         "closed_length = 292.0\nopen_length = 205.0",
         "front.damper.closed_length", "Are the two swapped?"),
        (SALOON, "open_length = 445.0", "open_length = 320.0", "rear.damper.open_length",
         "open length is less than the 349.9 mm it has in the car"),
        (SALOON, "closed_length = 270.0", "closed_length = 400.0", "rear.damper.closed_length",
         "closed length is more than"),
        (LINKS, "free_length = 414.5", "free_length = 300.0", "rear.spring.free_length",
         "free length is less than"),
        (LINKS, "solid_length = 175.0", "solid_length = 330.0", "rear.spring.solid_length",
         "solid length is more than"),
        (SALOON, "damper_axle  = [-2375.0, 420.0", "damper_axle  = [-2375.0, -450.0",
         "rear.points.damper_axle", "Left and right swapped?"),
        (SALOON, "damper_body  = [-2285.0, 338.0, 590.0]", "damper_body  = [-2285.0, 338.0, 200.0]",
         "rear.points.damper_body", "body end is below its axle end"),
        (SALOON, "wheel_centre = [-2490.0, 655.0", "wheel_centre = [-2560.0, 655.0",
         "rear.points.wheel_centre", "70.0 mm off the wheelbase"),
        (SALOON, "wheel_centre = [-2490.0, 655.0", "wheel_centre = [-2490.0, 795.0",
         "rear.points.wheel_centre", "outboard of the front wheel's"),
        (SALOON, "pinion       = [-2245.0", "pinion       = [-2745.0", "rear.points.pinion",
         "behind the wheel centre"),
        (SALOON, "pinion       = [-2245.0", "pinion       = [2245.0", "rear.points.pinion",
         "ahead of the front axle line. Is the sign right?"),
        (SALOON, "pitch_inertia = 3.2", "pitch_inertia = 32000", "rear.axle.pitch_inertia",
         "Was 3.20 kg·m² meant (32000 kg·cm²)?"),
        (SALOON, "rate = 1.3  ", "rate = 1300", "rear.damper.rate", "(1300 N·s/m)"),
        (SALOON, "engine_torque = 108.0", "engine_torque = 1080.0", "rear.drive.engine_torque",
         "far from the usual"),
        (SALOON, "wheelbase = 2490.0", "wheelbase = 2.49", "car.wheelbase", "(2.49 m)"),
        (SALOON, "rear_unsprung = 132.0", "rear_unsprung = 13.2", "car.rear_unsprung", "far from"),
        (LINKS, "lower_rate = 6000.0", "lower_rate = 6.0e6", "rear.links.lower_rate",
         "(6e+06 N/m)"),
        (LINKS, "lateral_body  = [-2318.0, -452.0", "lateral_body  = [-2318.0, 452.0",
         "rear.points.lateral_body", "the link crosses the car"),
        (LINKS, "upper_axle    = [-2308.0, 304.0, 418.0]",
         "upper_axle    = [-2308.0, 304.0, 190.0]",
         "rear.points.upper_axle", "Upper and lower swapped?"),
        (LINKS, "upper_axle    = [-2309.0, -304.0, 417.0]",
         "upper_axle    = [-2309.0, -304.0, 190.0]",
         "rear.points_right.upper_axle", "Upper and lower swapped?"),
        (LINKS, "lower_body    = [-1834.0, -336.0", "lower_body    = [-1834.0, 336.0",
         "rear.points_right.lower_body", "this is the right-hand point"),
        (LINKS, "within = 3.0, note = \"rack gaiter", "within = 30.0, note = \"rack gaiter",
         "front.points.tie_inner.within", "measured within ±: 30.0 mm is far from"),
        (INCHES, "modulus = 29.8e6", "modulus = 29.8", "rear.pack.modulus", "29.8 Msi"),
        (INCHES, "thickness = { is = 0.375, within = 0.004 }",
         "thickness = { is = 9.5, within = 0.004 }", "number 2.thickness",
         "Was 9.500 mm meant?"),
        # in changes, on or off, with the key in quotes
        (SALOON, '"front.spring.rate" = 70.0', '"front.spring.rate" = 7000.0',
         "change 4, set, front.spring.rate", "far from the usual"),
        (SALOON, '"front.tie_outer" = [0.0, 0.0, 2.0]', '"front.tie_outer" = [0.0, 0.0, 2000.0]',
         "change 3, move, front.tie_outer", "2226.0 mm above the floor"),
        (SALOON, '"rear.right.damper_body" = [-410.0', '"rear.right.damper_body" = [-4100.0',
         "change 5, move, rear.right.damper_body", "behind the front axle line"),
        (SALOON, '"rear.traction_bar.gap" = 10.0', '"rear.traction_bar.gap" = 100.0',
         "change 6, set, rear.traction_bar.gap", "far from the usual"),
        (SALOON, '"rear.bar_axle" = [-2490.0, 535.0, 208.0]',
         '"rear.bar_axle" = [-1490.0, 535.0, 208.0]',
         "change 6, set, rear.bar_snubber", "Front and rear swapped?"),
        (SALOON, "rear = 490.0 },\n    { thickness = 4.5, front = 205.0, rear = 245.0 },\n]\n",
         "rear = 490.0 },\n    { thickness = 45, front = 205.0, rear = 245.0 },\n]\n",
         "change 7, set, rear.pack.leaf, number 4.thickness", "far from"),
    ],
)  # fmt: skip
def test_a_slip_is_asked_about_with_its_line_and_key_and_nothing_else_is(
    path: Path, old: str, new: str, key: str, words: str
) -> None:
    found = asked(path, old, new)
    assert {k for _, k, _ in found if key not in k} == set()
    assert any(words in text for _, _, text in found), found
    pairs = enumerate(zip(old, new, strict=False))
    changed = next((i for i, (a, b) in pairs if a != b), len(new))
    expected = line_of(path, old) + old[:changed].count("\n")
    lines = {line for line, _, _ in found}
    if "Front and rear" not in words:  # that is asked of the other end, a line below
        assert lines == {expected}


def test_keys_of_a_change_may_be_dotted_too() -> None:
    (found,) = asked(SALOON, '"front.spring.rate" = 70.0', "front.spring.rate = 7000.0")
    expected = line_of(SALOON, '"front.spring.rate" = 70.0')
    assert found[:2] == (expected, "change 4, set, front.spring.rate")


def test_exchanged_leaves_are_asked_about() -> None:
    upper = "    { thickness = 5.0, front = 410.0, rear = 490.0 },\n"
    lower = "    { thickness = 5.0, front = 300.0, rear = 360.0 },\n"
    (found,) = asked(SALOON, upper + lower, lower + upper)
    assert found[1] == "rear.pack.leaf, number 4.front"
    assert "Are two leaves exchanged?" in found[2]


def test_a_torsion_bars_rate_has_a_usual_range_of_its_own() -> None:
    coupe = next(path for path in SAMPLES if path.stem == "torsion_coupe")
    (found,) = asked(coupe, "rate = 29.5", "rate = 29500")
    assert "29500.00 N·m/° is far from" in found[2] or "(29500 N·mm/°)" in found[2]


def test_a_consequence_is_not_blamed_on_another_value() -> None:
    (found,) = asked(SALOON, "open_length = 445.0", "open_length = 44.5")
    assert found[1] == "rear.damper.open_length"  # and not the closed length, which is greater now
    (found,) = asked(SALOON, "wheelbase = 2490.0", "wheelbase = 249.0")
    assert found[1] == "car.wheelbase"  # and not the wheel centre, which is off it now
    found_all = asked(SALOON, "damper_axle  = [-2375.0, 420.0", "damper_axle  = [-2375.0, -420.0")
    assert {key for _, key, _ in found_all} == {"rear.points.damper_axle"}  # nor change 5


def test_what_cannot_be_built_names_the_likely_cause_first() -> None:
    loaded = read(SALOON.read_text().replace("modulus = 206000.0", "modulus = 206"))
    measured = loaded.setup.having(changes=())
    words = doubted_first("The shackle is short.", doubts(measured, loaded), measured)
    line = line_of(SALOON, "modulus = 206000.0")
    assert words.startswith(f"Before that: line {line}: rear.pack.modulus: ")
    assert words.endswith("(206 GPa)? If that is right: The shackle is short.")
    sound = read(SALOON.read_text()).setup
    assert doubted_first("No.", doubts(sound), sound) == "No."


def test_a_change_that_is_off_has_no_hand_in_what_cannot_be_built() -> None:
    text = SALOON.read_text().replace('"front.spring.rate" = 70.0', '"front.spring.rate" = 7e3')
    setup = read(text).setup
    assert doubts(setup)
    assert doubted_first("No.", doubts(setup), setup) == "No."


def test_lines_are_told_only_of_a_setup_as_it_stands_in_its_file() -> None:
    loaded = read(SALOON.read_text().replace("grip = 0.9 ", "grip = 90 "))
    other = loaded.setup.having(evidence={**loaded.setup.evidence, "car.mass": 1000.0})
    (doubt,) = doubts(other, loaded)
    assert (doubt.line, doubt.key) == (None, "rear.drive.grip")
    assert doubt.said("a.toml").startswith("a.toml: rear.drive.grip: ")


def test_a_small_move_of_a_point_at_the_edge_is_left_in_peace() -> None:
    text = SALOON.read_text().replace("[0.0, 0.0, 2.0]", "[0.0, 0.0, -59.0]")
    assert doubts(read(text).setup) == ()


# One slip anywhere: times 1000, or the sign turned


def numbers_of(path: Path) -> list[tuple[tuple[Any, ...], Span]]:
    """Return the path and place of every number of a sample that isn't a limit or the format."""
    layout = Layout(path.read_text())
    return [
        (at, span)
        for at, span in layout.spans.items()
        if re.fullmatch(r"[-+]?\d[\d.e+]*", layout.text[span.start : span.end])
        and "limits" not in at
        and at != ("format",)
    ]


PLACES = [(path, place) for path in SAMPLES for place in numbers_of(path)]
SLIPS_OF_TAPES = [
    (slip, factor)
    for slip in PLACES
    if slip[1][0][0] in ("marks", "tape")
    for factor in (1000.0, -1.0)
]


@settings(max_examples=examples(50, 300))
@given(st.sampled_from(PLACES), st.sampled_from([1000.0, -1.0]))
def test_any_slip_is_a_fault_or_is_asked_about_or_lies_within_what_is_usual(
    slip: tuple[Path, tuple[tuple[Any, ...], Span]], factor: float
) -> None:
    check_slip(*slip, factor)


@pytest.mark.parametrize(("slip", "factor"), typical_of(SLIPS_OF_TAPES, SLIPS_OF_TAPES[::5]))
def test_a_slip_of_a_tape_or_mark_is_found(
    slip: tuple[Path, tuple[tuple[Any, ...], Span]], factor: float
) -> None:
    check_slip(*slip, factor)


def check_slip(path: Path, place: tuple[tuple[Any, ...], Span], factor: float) -> None:
    at, span = place
    text = path.read_text()
    number = float(text[span.start : span.end]) * factor
    try:
        loaded = read(f"{text[: span.start]}{number!r}{text[span.end :]}")
    except SetupFaults:
        return
    before = repr(loaded.setup)
    found = doubts(loaded.setup, loaded)
    assert repr(loaded.setup) == before  # nothing is changed
    line = text.count("\n", 0, span.start) + 1
    is_asked = any(doubt.line == line for doubt in found)
    assert is_asked or is_usual(loaded.setup, at, number), (at, number)


def is_usual(setup: Setup, at: tuple[Any, ...], number: float) -> bool:
    """Tell whether what stands at a path lies within the usual, or moves little."""
    if at[0] == "change":
        parts = at[3:]
        name = next(
            joined
            for n in range(1, len(parts) + 1)
            if (joined := ".".join(map(str, parts[:n]))) in KEYS
        )
        change = setup.changes[at[1]]
        if at[2] == "move":
            start = proposed_values(setup.having(changes=()))
            here = start.get(name) or start[name.replace(".right.", ".")]
            sign = 1.0 if name in start else -1.0
            x, y, z = here  # type: ignore[misc]
            step = change.moves[name][parts[-1]]
            place = add((x, sign * y, z), change.moves[name])  # type: ignore[operator]
            return abs(step) <= LARGE_MOVE or point_is_usual(name, place)
        return value_is_usual(setup, name, change.sets[name], parts)
    if at[1:2] in (("envelope",), ("clearance",)):  # a part may be on either side of any axis
        return at[3] in ("from", "to") and abs(number_at(setup, at)) < 4_000.0
    if at[1:2] in (("targets",), ("gauge",)):  # either sign is a car's
        return at[-1] != "within" and abs(number) < 10.0
    if at[1:2] == ("adjusters",):
        return at[-2] == "reach" and number == 0.0
    if at[-1] == "within":
        low, high = KEYS["sheet.measured_within"].usual  # type: ignore[misc]
        if at[:3] == ("rear", "pack", "leaf"):
            leaf = LeafPart(at[3], at[4])
            low, high = LEAF_WITHIN_USUAL[leaf.name]
            return bool(low <= setup.within[leaf.key] <= high)
        name = BY_PLACE[tuple(map(str, at[:-1]))].name
        return bool(low <= setup.within[name] <= high)
    if at[0] in ("marks", "tape"):  # the other readings tell that it is off
        return at == (*at[:2], 2) or is_off(setup)  # a mark on the floor: 0 stays 0
    key = next(BY_PLACE[at[:n]] for n in range(1, len(at) + 1) if at[:n] in BY_PLACE)
    return value_is_usual(setup, key.name, setup.evidence[key.name], at)


def number_at(setup: Setup, at: tuple[Any, ...]) -> float:
    """Return a coordinate of an envelope."""
    envelope = [each for each in setup.envelopes if each.end == at[0]][at[2]]
    return float((envelope.start if at[3] == "from" else envelope.finish)[at[4]])  # type: ignore[arg-type]


def is_off(setup: Setup) -> bool:
    """Tell whether a tape is too far off to count, or the readings agree worse than they did."""
    as_read = adjusted(TAPED)
    slipped = adjusted(setup)
    worse = slipped.adjustment.chi_square > as_read.adjustment.chi_square + 1.0
    return bool(slipped.far) or worse


def value_is_usual(setup: Setup, name: str, value: Any, at: tuple[Any, ...]) -> bool:
    key = KEYS[name]
    if key.kind == "point":
        return point_is_usual(name, value)
    if key.kind == "leaves":
        at = at[:-1] if at[-1] == "is" else at
        ranges = {**LEAF_USUAL, **(MAIN_LEAF_USUAL if at[-2] == 0 else {})}
        low, high = ranges[at[-1]]
        return bool(low <= getattr(value[at[-2]], at[-1]) <= high)
    usual = key.usual if kind_of(name, setup.evidence) == key.kind else key.torsion_usual
    low, high = usual  # type: ignore[assignment,misc]
    return bool(low <= value <= high)


def point_is_usual(name: str, place: Vec) -> bool:
    ranges: Any = KEYS[name].usual
    return all(low <= value <= high for value, (low, high) in zip(place, ranges, strict=True))


def in_other_units(loaded: LoadedSetup) -> Setup:
    return loaded.setup.having(units="in" if loaded.setup.units == "mm" else "mm")


@settings(max_examples=examples(40, 100))
@given(st.sampled_from(PLACES), st.sampled_from([1000.0, 25.4, 1 / 25.4, 0.3]))
def test_the_same_car_in_mm_and_in_inches_is_asked_about_the_same(
    slip: tuple[Path, tuple[tuple[Any, ...], Span]], factor: float
) -> None:
    path, (_, span) = slip
    text = path.read_text()
    number = float(text[span.start : span.end]) * factor
    try:
        loaded = read(f"{text[: span.start]}{number!r}{text[span.end :]}")
    except SetupFaults:
        return
    assert places(all_questions(loaded.setup)) == places(all_questions(in_other_units(loaded)))


HUGE = ["1.7e308", "1e300", "-1e150", "1e-300", "-0.0", "0.0"]


@settings(max_examples=examples(40, 100))
@given(st.sampled_from(PLACES), st.sampled_from(HUGE))
def test_numbers_beyond_all_sense_are_asked_about_in_few_words(
    slip: tuple[Path, tuple[tuple[Any, ...], Span]], number: str
) -> None:
    path, (_, span) = slip
    text = path.read_text()
    try:
        loaded = read(f"{text[: span.start]}{number}{text[span.end :]}")
    except SetupFaults:
        return
    assert all(len(doubt.words) < 300 for doubt in doubts(loaded.setup, loaded))
    all_questions(in_other_units(loaded))


def places(found: Any) -> set[tuple[Any, ...]]:
    return {(question.key, question.change, question.part) for question in found}


def test_every_slip_of_a_sample_was_looked_for() -> None:
    for path in SAMPLES:
        given_numbers = list(_numbers(tomllib.loads(path.read_text())))
        assert len(numbers_of(path)) > 0.85 * len(given_numbers)


def _numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from _numbers(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _numbers(inner)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


def test_a_doubt_is_told_like_a_fault() -> None:
    loaded = read(SALOON.read_text().replace("grip = 0.9 ", "grip = 90 "))
    (doubt,) = doubts(loaded.setup, loaded)
    assert isinstance(doubt, Doubt)
    line = line_of(SALOON, "grip = 0.9 ")
    assert doubt.said("a.toml") == (
        f"a.toml, line {line}: rear.drive.grip: Tyre grip: 90? Usual is 0.5 to 1.6. "
        "Was 0.9 meant (90 %)?"
    )


def test_a_slip_on_the_left_of_a_car_measured_on_both_sides_is_asked_about_once() -> None:
    path = next(path for path in sample_paths() if path.stem == "hillclimb_special")
    slip = Change("a", moves={"front.tie_outer": (0.0, -300.0, 0.0)})
    setup = read_setup(path).setup.having(changes=(slip,))
    asked = [(question.key, question.kind) for question in change_questions(setup)]
    assert ("front.tie_outer", "range") in asked
    assert len(set(asked)) == len(asked)

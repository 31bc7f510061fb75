"""What the work order says, read back from the PDF: jobs, figures to set, effects, limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from math import degrees
from typing import Any

import numpy as np
import pytest

from app.document.moves import proposed_settings
from app.shop.idle import idle_notes
from app.shop.jobs import jobs
from app.shop.places import place_rows
from app.systems.cautions import cautions_of
from app.systems.limits import limit_checks
from app.systems.standing import leaves_out_pitch
from tests.helpers import expected_tables as expected
from tests.helpers.figures import DASH, bench, figure, taped, with_unit
from tests.helpers.printed_cells import LEFT, Column, Word, cells_of, columns_under
from tests.sheet.printed import Printed
from tests.sheet.test_cells import result_figure, texts, titles

pytestmark = pytest.mark.gui

ASKED = {  # what an owner asks first, and what more and less of it mean
    "camber_gain": ("", ""),
    "roll_centre_height": ("higher above its road", "lower above its road"),
    "bump_steer_range": ("more toe change in bump", "less toe change in bump"),
    "wheel_rate": ("stiffer", "softer"),
    "ride_frequency": ("quicker", "slower"),
}
ASKED_REAR = {
    "wheel_rate": ("stiffer", "softer"),
    "ride_frequency": ("quicker", "slower"),
    "roll_centre_height": ("higher above its road", "lower above its road"),
    "roll_steer": ("", ""),
    "anti_squat": ("squats less pulling away", "squats more pulling away"),
    "wind_up_full": ("the axle winds up more", "the axle winds up less"),
    "stress_bump": ("more stress in a leaf", "less stress in the leaves"),
}

INDENT = 30.5  # where the words of a job begin [mm]
TARGETS = {
    ("front", True): "Set the alignment to",
    ("front", False): "Alignment",
    ("rear", True): "Set and read at the rear",
    ("rear", False): "Readings at the rear",
}
TOE_WITHIN = {"mm": 0.5, "in": 25.4 / 32}  # of both wheels, over the diameter; common practice
Figures = list[str]


# Jobs


def test_jobs(printed: Printed) -> None:
    todo = jobs(list(printed.studies.values()))
    lines = printed.sheet.under("Work order", "Work to do")
    if not todo:
        assert "No change is on" in texts(lines[0])[0]
        return
    numbers = [w.text for line in lines for w in line if w.left < INDENT - 1.0]
    assert numbers == [str(number) for number in range(1, len(todo) + 1)]
    words = " ".join(w.text for line in lines for w in line if abs(w.left - INDENT) < 0.1)
    notes = idle_notes(list(printed.studies.values()))
    told = " ".join([*(" ".join((job.title, *job.details)) for job in todo), *notes])
    assert words.split() == told.split()


# What is drilled, welded and set


def test_places(printed: Printed) -> None:
    several = len(printed.studies) > 1
    for end, _, study in printed.ends():
        heading = f"Drilled, welded and set{f' at the {end}' if several else ''}"
        rows = place_rows(study)
        if not rows:
            assert not printed.sheet.has("Work order", heading)
            continue
        heads, *lines = printed.sheet.under("Work order", heading)
        names = ["from the old place", "within", "left as built", "right as built"]
        assert texts(heads) == names
        lines = [line for line in lines if texts(line) != names]
        firsts = [line for line in lines if abs(line[0].left - LEFT) < 0.1]
        assert len(firsts) == len(rows)
        for line, row in zip(firsts, rows, strict=True):
            assert texts(line)[0] == row.title
            assert row.step.startswith(texts(line)[1]) or texts(line)[1] == "new"
            assert texts(line)[2] == row.within
            assert line[2].right == pytest.approx(heads[1].right, abs=0.1)
        words = " ".join(w.text for line in lines for w in line if abs(w.left - LEFT - 3.0) < 0.1)
        assert words.split() == " ".join(row.distances for row in rows).split()


# Figures to set


def test_targets(printed: Printed) -> None:
    for end, _, study in printed.ends():
        lines = printed.sheet.under("Work order", TARGETS[end, study.has_work])
        last = "right as built" if study.has_work else "right now"
        at = next(i for i, line in enumerate(lines) if texts(line)[-1] == last)
        standing = " ".join(word for line in lines[:at] for word in texts(line))
        check_standing(standing, end, study)
        heads = lines[at]
        readings = ["left as built", "right as built"] if study.has_work else ["left now", last]
        figures = ["as found", "set to"] if study.has_work else ["as found"]
        assert texts(heads) == [*figures, "within", *readings]
        columns: list[Column] = [("left", LEFT), *columns_under(heads)]
        rows = list(joined(cells_of(line, columns) for line in lines[at + 1 :]))
        wanted = list(targets(end, study))
        assert [row[0] for row in rows] == [row[0] for row in wanted]
        for row, target in zip(rows, wanted, strict=True):
            assert row[:-2] == (target if study.has_work else [target[0], *target[2:]]), row[0]
            assert row[-2:] == ["", ""]


def joined(rows: Iterator[list[str]]) -> Iterator[list[str]]:
    """Put a right wheel's figures, which stand under the left one's, beside them."""
    found: list[list[str]] = []
    for row in rows:
        if row[0]:
            found.append(row)
        else:
            found[-1] = [" ".join(filter(None, pair)) for pair in zip(found[-1], row, strict=True)]
    yield from found


def check_standing(words: str, end: str, study: Any) -> None:
    by = study.proposed.single.get("settled_travel")
    if by is None:
        assert "how far it settles isn't known" in words
    elif abs(by) < 0.5 or not study.changed:
        assert words == ""
    else:
        units = study.setup.units
        way = "lower" if by > 0 else "higher"
        assert f"about {taped(abs(by), units)} {way} at the {end} than" in words


def targets(end: str, study: Any) -> Iterator[list[str]]:
    """Yield title, as found, set to, within."""
    yield from front_targets(study) if end == "front" else rear_targets(study)


def front_targets(study: Any) -> Iterator[list[str]]:
    units, was = study.setup.units, study.measured.rest
    now = study.proposed.rest if study.proposed.settled is None else study.proposed.settled
    on = [
        c for c in study.setup.changes if c.on and any("front." in k for k in (*c.moves, *c.sets))
    ]
    toe = study.proposed.rest if not on or on[-1].toe == "reset" else now
    wide = study.measured.front.car.toe_diameter
    turned = degrees(TOE_WITHIN[units] / wide)
    yield ["Camber, + leans out", sides(was, "camber"), sides(now, "camber"), "± 0.15°"]
    caster = "Caster, body's pitch not in it" if leaves_out_pitch(study) else "Caster"
    yield [caster, sides(was, "caster"), sides(now, "caster"), "± 0.3°"]
    total = Decimal(f"{turned:.{2 if turned < 0.295 else 1}f}")
    for title, key, within in (
        ("Toe-in, each wheel", "toe", total / 2),  # of the total as it is printed
        ("Toe-in, total", "toe_total", total),
    ):
        yield [title, sides(was, key), sides(toe, key), f"± {within}°"]
    long = (length_of_toe(sweep, units) for sweep in (was, toe))
    yield [f"the same over {taped(wide, units)}", *long, f"± {rule(TOE_WITHIN[units], units)}"]
    yield from height("front", study)
    turns = [car.single.get("toe_out_on_turns") for car in (study.measured, study.proposed)]
    if None not in turns:
        outer = [f"{figure(value, 'angle', units, places=1)}°" for value in turns]
        yield ["Toe-out on turns, inner at 20°", *outer, "check"]


def is_at_front(change: Any) -> bool:
    return any(key.startswith("front.") for key in (*change.moves, *change.sets))


def rule(length: float, units: str) -> str:
    return (
        f"{figure(length, 'length', 'mm', places=1)} mm" if units == "mm" else taped(length, units)
    )


def length_of_toe(sweep: Any, units: str) -> str:
    value = float(np.ravel(sweep.values["toe_length"])[0])
    return ruled(value, units)


def ruled(length: float, units: str) -> str:
    """Return a length to a tenth of a mm, or to the nearest 64th of an inch."""
    if units == "mm":
        return f"{figure(length, 'length', 'mm', places=1)} mm"
    return f"{bench(round(length / 25.4 * 64) / 64 * 25.4, 'in')} in"


def sides(sweep: Any, key: str) -> str:
    """Return an angle of both wheels: one figure where they are alike."""
    values = np.atleast_2d(sweep.values[key])[:, 0]
    told = [f"{figure(float(value), 'angle', 'mm')}°" for value in values]
    return told[0] if len(set(told)) == 1 else f"L {told[0]} R {told[1]}"


def height(end: str, study: Any) -> Iterator[list[str]]:
    arch, units = study.setup.evidence.get(f"{end}.arch_height"), study.setup.units
    by = study.proposed.single.get("settled_travel")
    by = 0.0 if by is not None and abs(by) < 0.5 else by
    within = f"± {'3 mm' if units == 'mm' else '1/8 in'}"
    title = "Ride height, wheel centre to arch"
    if arch is not None:
        now = "measure" if by is None else taped(arch - by, units)
        yield [title, taped(arch, units), now, within]
    elif end == "rear":
        way = "" if by is None else f"{taped(abs(by), units)} {'lower' if by > 0 else 'higher'}"
        yield [title, DASH, "measure" if by is None else way if by else "as it was", within]


def rear_targets(study: Any) -> Iterator[list[str]]:
    yield from height("rear", study)
    standing = study.proposed.rest if study.proposed.settled is None else study.proposed.settled
    if "shackle_angle" in standing.values:
        was, now = (one_angle(s, "shackle_angle") for s in (study.measured.rest, standing))
        yield ["Shackle to the line of the eyes", was, now, "± 2.0°"]
    pinion = "Pinion, + nose up"
    if "rear.axle.pinion_angle" in study.setup.evidence:
        both = (one_angle(s, "pinion_angle") for s in (study.measured.rest, standing))
        yield [pinion, *both, "± 0.5°"]
    else:
        yield [pinion, DASH, "measure", ""]
    if "pinion_to_gearbox" in standing.values:
        both = (one_angle(s, "pinion_to_gearbox") for s in (study.measured.rest, standing))
        yield ["Pinion to the gearbox, + nose up", *both, "± 0.5°"]
    moved = [key for each in study.setup.changes if each.on for key in (*each.moves, *each.sets)]
    if any("damper" in key and key.startswith("rear.") for key in moved):
        yield from damper_rows(study)
    yield from bar_gap(study)
    for words in bolts(study, moved):
        yield [words, "", "", ""]


SEATS = ("rear.block", "rear.wedge", "rear.pack", "rear.traction_bar", "rear.bar_")


def bolts(study: Any, keys: Sequence[str]) -> Iterator[str]:
    """Yield what is torqued: only what the work has undone, or another height has turned."""
    manual = "torque to the workshop manual"
    other_axle = "rear.kind" in keys
    if study.proposed.kind == "leaf axle":
        if other_axle or any(key.startswith(SEATS) for key in keys):
            yield f"U-bolt nuts, new: {manual}"
        turned = ("rear.block", "rear.pack", "rear.shackle")
        if other_axle or any(key.startswith(turned) for key in keys):
            yield "Eye and shackle bolts, at ride height: torque to the manual"
    elif other_axle or any("link" in key or is_link_end(key) for key in keys):
        yield f"Link bolts, at ride height: {manual}"
    if other_axle or any("damper" in key and key.startswith("rear.") for key in keys):
        yield f"Damper bolts, at ride height: {manual}"


def is_link_end(key: str) -> bool:
    return key.startswith("rear.") and any(n in key for n in ("lower_", "upper_", "lateral_"))


def damper_rows(study: Any) -> Iterator[list[str]]:
    units = study.setup.units
    cars = study.measured.rest, study.proposed.rest
    lengths = (of_both(car, "damper_length", "length", units) for car in cars)
    yield ["Damper, between its eyes", *lengths, f"± {taped(3.0, units)}"]
    strokes = (of_both(car, "damper_stroke", "percent", units) for car in cars)
    yield ["Damper, used from open to closed", *strokes, ""]


def of_both(sweep: Any, key: str, kind: str, units: str) -> str:
    """Return what left and right come to: one figure where they read alike."""
    values = [float(value) for value in sweep.values[key][:, 0]]
    if kind == "percent":
        told = [f"{figure(value, kind, units, places=0)} %" for value in values]
    else:
        told = [(ruled if units == "mm" else taped)(value, units) for value in values]
    return told[0] if len(set(told)) == 1 else f"L {told[0]} R {told[1]}"


def bar_gap(study: Any) -> Iterator[list[str]]:
    gap = proposed_settings(study.setup).get("rear.traction_bar.gap")
    if study.proposed.kind == "leaf axle" and gap is not None:
        was = study.setup.evidence.get("rear.traction_bar.gap")
        metric = study.setup.units == "mm"
        now = f"{gap:.1f} mm" if metric else f"{Fraction(round(gap / 25.4 * 64), 64)} in"
        assert was is None
        yield [
            "Traction bar gap, at ride height",
            DASH,
            now,
            "± 1.0 mm" if metric else "± 1/32 in",
        ]


def one_angle(sweep: Any, key: str) -> str:
    values = sweep.values.get(key)
    return DASH if values is None else f"{figure(float(values[0]), 'angle', 'mm', places=1)}°"


# What it does


def test_outcomes(printed: Printed) -> None:
    several = len(printed.studies) > 1
    for end, _, study in printed.ends():
        if not study.changed:
            continue
        heading = f"What it does{f' at the {end}' if several else ''}"
        columns: list[Column] = [("left", LEFT), ("left", LEFT + 113.0)]
        asked = ASKED if end == "front" else ASKED_REAR
        lines_told = expected.results(end, study)
        rows = [line for key in asked for line in lines_told if line.result.key == key]
        rows = [line for line in rows if None not in line[1:3]]
        rows = [line for line in rows if not (line.side == "right" and is_still(line, rows))]
        heads, *lines = printed.sheet.under("Work order", heading)
        assert texts(heads) == ["as found", "as built"]
        lines = [line for line in lines if line[0].left < LEFT + 1.0]  # a meaning may go on
        settles = study.proposed.single.get("settled_travel")
        for line, row in zip(lines, rows, strict=False):
            was, now = (result_figure(value, row.result, printed.units) for value in row[1:3])
            assert line[0].text in titles(row, printed.units)
            assert texts(line)[1:3] == [was, now], row.result.key
            assert [word.right for word in line[1:3]] == pytest.approx(
                [head.right for head in heads], abs=0.1
            )
            assert cells_of([line[0], *line[3:]], columns)[0]
        if settles is not None:
            last = texts(lines[len(rows)])
            assert last == [
                f"Ride height at the {end}, same load",
                own_height(settles, printed.units),
            ]


def is_still(line: expected.Line, lines: list[expected.Line]) -> bool:
    """Tell whether neither wheel's figure moves by more than a hundredth, where a shop asks so."""
    both = [each for each in lines if each.result is line.result]
    asks = line.result.asked is not None and bool(line.result.asked.more)
    return asks and all(
        abs((each.proposed or 0.0) - (each.measured or 0.0)) <= 0.01 * abs(each.measured or 0.0)
        for each in both
    )


def own_height(by: float, units: str) -> str:
    if abs(by) < 0.5:
        return "as it was"
    return f"{ruled(abs(by), units)} {'lower' if by > 0 else 'higher'}"


# Limits


def test_limits(printed: Printed) -> None:
    for _, section, study in printed.ends():
        readings = limit_checks(study)
        if not readings:
            assert not printed.sheet.has(section, "Limits")
            continue
        heads, *lines = printed.sheet.under(section, "Limits")
        names = ["as found", "as built", "limit"] if study.changed else ["as found", "limit"]
        assert texts(heads) == names
        columns: list[Column] = [("left", LEFT), *columns_under(heads[:-1])]
        columns += [("left", LEFT + 120.0), ("right", 196.0)]
        rows = [line for line in lines if texts(line) != texts(heads)][: len(readings)]
        for line, reading in zip(rows, readings, strict=True):
            cells = cells_of(line, columns)
            cars = (reading.measured, reading.proposed) if study.changed else (reading.proposed,)
            assert cells[0].startswith(reading.result.title)
            assert cells[1:-2] == [limit_figure(car, reading.result, printed.units) for car in cars]
            assert numbers_of(cells[-2]) == limit_numbers(reading, printed.units)
            assert cells[-1] == verdict(reading)


def limit_figure(reading: Any, result: Any, units: str) -> str:
    text = result_figure(None if reading is None else reading.value, result, units)
    return with_unit(text, result.kind, units)


def limit_numbers(reading: Any, units: str) -> Figures:
    low, high = reading.limit.minimum, reading.limit.maximum
    ends = (
        [high] if low is None or low == -(high or 0.0) else [low] if high is None else [low, high]
    )
    return [result_figure(end, reading.result, units) for end in ends]


def numbers_of(words: str) -> Figures:
    """Return the figures in a limit's words, without its unit."""
    parts = words.replace("±", " ").replace("°", " ").split()
    return [part for part in parts if part.lstrip("−").replace(".", "").isdigit()]


def verdict(reading: Any) -> str:
    if reading.proposed is None:
        return "can't be told"
    low, high, value = reading.limit.minimum, reading.limit.maximum, reading.proposed.value
    kept = (low is None or value >= low) and (high is None or value <= high)
    return "kept" if kept else "NOT KEPT"


def test_every_caution_is_in_its_frame(printed: Printed) -> None:
    told = {caution for _, _, study in printed.ends() for caution in cautions_of([study])}
    pages = [w for page in printed.sheet.pages for w in page if abs(w.left - 22.5) < 0.1]
    words = " ".join(line for line in texts_of(pages)).split()
    for caution in told:
        assert " ".join(caution.split()) in " ".join(words)


def texts_of(words: Sequence[Word]) -> list[str]:
    return [word.text for word in words]

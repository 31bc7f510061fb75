"""Every cell of every table on paper, read back from the PDF, is the study's number there."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from pathlib import Path
from typing import Any

import pytest

from app.document.model import Leaf, Vec
from geometry.catalogue.front import Result
from tests.helpers import expected_tables as expected
from tests.helpers.expected_tables import Point
from tests.helpers.figures import DASH, bench, figure, ruled, shortest, unit
from tests.helpers.printed_cells import (
    LEFT,
    Column,
    Word,
    cells_of,
    columns_under,
    lines_of,
    texts_of,
)
from tests.sheet.printed import Printed, print_and_read

pytestmark = pytest.mark.gui

NAME: Column = ("left", LEFT)
RIGHT = 196.0  # margin [mm]
WORDS = (("forward", "rearward"), ("outboard", "inboard"), ("higher", "lower"))


def texts(line: Sequence[Word]) -> list[str]:
    return [word.text for word in line]


def without(lines: list[list[Word]], heads: Sequence[list[Word]]) -> list[list[Word]]:
    """Leave out heads that are repeated overleaf."""
    return [line for line in lines if texts(line) not in [texts(head) for head in heads]]


# Points


def test_points(printed: Printed) -> None:
    for end, section, study in printed.ends():
        points = expected.points(end, study)
        both = any(".right." in point.key for point in points)
        note, owners, heads, *lines = printed.sheet.under(
            section, "Points" if both else "Points, left side"
        )
        assert texts(note)[0].startswith(f"{printed.units} · ")
        columns = [NAME, *columns_under(heads)]
        within = ["within"] if any(point.within is not None for point in points) else []
        proposed = ["X", "Y", "Z", "move"] if study.changed else []
        assert texts(heads) == ["X", "Y", "Z", *within, *proposed]
        check_owners(cells_of(owners, columns), printed, study.changed)
        rows = [cells_of(line, columns) for line in without(lines, [owners, heads])]
        assert [row[0] for row in rows] == [point.title for point in points]
        for row, point in zip(rows, points, strict=True):
            assert row[1:4] == place(point.measured, printed.units), point.key
            if within:
                assert row[4] == own_within(point, printed.units)
            if study.changed:
                assert row[-4:-1] == place(point.proposed, printed.units), point.key
                assert row[-1] in fates(point, printed.units), point.key


def check_owners(cells: list[str], printed: Printed, changed: bool) -> None:
    """The words “measured” and “proposed” stand over their own columns."""
    exact = printed.setup.evidence.get("sheet.measured_within")
    words = "measured" if exact is None else f"measured ± {ruled(exact, printed.units)} "
    told = f"{words}{'' if exact is None else printed.units}"
    assert cells[3] == told
    others = [(index, cell) for index, cell in enumerate(cells) if cell and index != 3]
    assert others == ([(len(cells) - 2, "proposed, at the measured height")] if changed else [])


def place(point: Vec | None, units: str) -> list[str]:
    return [DASH] * 3 if point is None else [ruled(part, units) for part in point]


def own_within(point: Point, units: str) -> str:
    return "" if point.within is None else f"± {ruled(point.within, units)}"


def fates(point: Point, units: str) -> list[str]:
    """Return how what becomes of a point may be told; three axes have two ways, by their room."""
    if point.fate in ("new", "comes off"):
        return [point.fate]
    move = point.move or (0.0, 0.0, 0.0)
    outward = -1.0 if ".right." in point.key else 1.0
    axes = [axis for axis in (2, 1, 0) if abs(move[axis]) >= 0.005]
    if len(axes) < 3:
        signed = (move[0], move[1] * outward, move[2])
        told = [f"{shortest(move[a], units)} {WORDS[a][signed[a] < 0]}" for a in axes]
        return [", ".join(told)]
    steps = [f"{'+' if part > 0 else '−'}{shortest(part, units)}" for part in move]
    named = [f"{name} {step}" for name, step in zip("XYZ", steps, strict=True)]
    return [", ".join(steps), ", ".join(named)]


# Results


def test_results(printed: Printed) -> None:
    for end, section, study in printed.ends():
        lines = printed.sheet.under(section, "Results")
        results = {line.title: line for line in expected.results(end, study)}
        assert texts(lines[0]) == ["each car on its wheels"]
        shown: list[str] = []
        for group, row in result_cells(lines[1:], study.changed):
            allowed = [t for t, r in results.items() if row[0] in titles(r, printed.units)]
            assert len(allowed) == 1, row[0]
            title, line = allowed[0], results[allowed[0]]
            shown.append(title)
            assert group == line.result.group, title
            was, now = (result_figure(v, line.result, printed.units) for v in line[1:3])
            if study.changed:
                assert row[1:] == [was, now, move_figure(line, printed.units)], title
            else:
                assert row[1:] == [was], title
        assert sorted(shown) == sorted(results)


def result_cells(lines: list[list[Word]], changed: bool) -> list[tuple[str, list[str]]]:
    """Return the rows of both columns with their groups; a title may go on, set in."""
    found: list[tuple[str, list[str]]] = []
    heads = ["as found", "as built", "change"] if changed else ["as found"]
    words = [word for line in lines for word in line]
    for start in (LEFT, 108.0):
        half = lines_of([word for word in words if (word.left < 107.0) == (start == LEFT)])
        assert texts(half[0]) == heads
        columns: list[Column] = [("left", start), *columns_under(half[0])]
        group = ""
        for line in (line for line in half if texts(line) != heads):
            if abs(line[0].left - start - 3.0) < 0.1:
                group_of, row = found.pop()
                found.append((group_of, [f"{row[0]} {texts(line)[0]}", *row[1:]]))
                continue
            row = cells_of(line, columns)
            if any(row[1:]):
                assert group
                found.append((group, row))
            else:
                group = row[0]
    return found


def titles(line: expected.Line, units: str) -> list[str]:
    """Return a title with its unit and what its sign means, or without that: of nought."""
    result = line.result
    sign = unit(result.kind, units)
    title = f"{line.title}, {sign}" if sign else line.title
    if line.side == "right":  # under the left wheel's row
        return [f"{result.short}, right", title]
    meanings = [f"{title}: {words}" for words in (result.plus, result.minus) if words]
    return [*meanings, title]


def result_figure(value: float | None, result: Result, units: str, plus: bool = False) -> str:
    places = None
    if result.kind == "length":
        places = result.decimals + (units == "in")
    elif result.kind in ("angle", "angle per angle", "ratio", "percent"):
        places = result.decimals
    return figure(value, result.kind, units, places, plus)


def move_figure(line: expected.Line, units: str) -> str:
    if line.measured is None or line.proposed is None:
        return ""
    text = result_figure(line.proposed - line.measured, line.result, units, plus=True)
    return text if text.strip("0.") else ""


# Leaves


def rears(printed: Printed) -> Any:
    study = printed.studies.get("rear")
    if study is None:
        pytest.skip("has no rear on paper")
    return study


def test_packs(printed: Printed) -> None:
    study = rears(printed)
    headings = printed.sheet.headings("Rear")
    packs = expected_packs(study)
    assert [words for words in headings if words.startswith("Leaf pack")] == list(packs)
    for heading, (car, leaves) in packs.items():
        note, heads, *lines = printed.sheet.under("Rear", heading)
        assert texts(note)[0].startswith(f"{printed.units} · ")
        mass = f"each, {unit('mass', printed.units)}"
        assert texts(heads) == ["leaf", "thick", "front", "rear", "whole", mass]
        columns = [NAME, *columns_under(heads[1:]), ("left", 129.0), ("right", RIGHT)]
        rows = [cells_of(line, columns) for line in without(lines, [heads])[: len(leaves)]]
        for row, cut in zip(rows, expected.pack(car, leaves), strict=True):
            assert row[:-1] == leaf_cells(cut, printed.units)
            assert bool(row[-1]) <= (heading == "Leaf pack to build up")


def expected_packs(study: Any) -> dict[str, tuple[Any, tuple[Leaf, ...]]]:
    """Return headings with the car and the leaves under them."""
    before = {k: v for k, v in study.setup.evidence.items() if k.startswith("rear.pack.")}
    after = dict(before)
    for change in (change for change in study.setup.changes if change.on):
        after |= {k: v for k, v in change.sets.items() if k.startswith("rear.pack.")}
    found, made = study.measured.leaf is not None, study.proposed.leaf is not None
    was, now = (
        (car, values.get("rear.pack.leaf", ()))
        for car, values in ((study.measured, before), (study.proposed, after))
    )
    if made and not found:
        return {"Leaf pack to fit": now}
    if found and not made:
        return {"Leaf pack that comes off": was}
    if not found:
        return {}
    if before == after:
        return {"Leaf pack, left as it is" if study.changed else "Leaf pack": now}
    return {"Leaf pack as found": was, "Leaf pack to build up": now}


def leaf_cells(cut: expected.PackLeaf, units: str) -> list[str]:
    place, leaf, mass = cut
    remarks = ["to the eyes"] if place == 0 else []
    remarks += ["clipped"] if leaf.clipped else []
    remarks += ["tapered, parabolic"] if leaf.taper == "parabolic" else []
    if leaf.contact is not None:
        remarks.append(f"helper, touches at {bench(leaf.contact, units)} {units} of bump")
    remarks += [f"nip {bench(leaf.nip, units)} {units}"] if leaf.nip else []
    return [
        "main" if place == 0 else str(place + 1),
        figure(leaf.thickness, "length", units, places=3 if units == "in" else 2),
        *(bench(length, units) for length in (leaf.front, leaf.rear, leaf.front + leaf.rear)),
        figure(mass, "mass", units, places=2),
        ", ".join(remarks),
    ]


def test_stresses(printed: Printed) -> None:
    study = rears(printed)
    tables = [(name, expected.stress(car)) for name, car in expected.cars(study)]
    tables = [(name, rows) for name, rows in tables if rows]
    if study.proposed.leaf is None or not tables:
        assert not printed.sheet.has("Rear", "Stress of each leaf")
        return
    note, where, heads, *lines = printed.sheet.under("Rear", "Stress of each leaf")
    assert texts(note) == [f"{unit('stress', printed.units)} · the truth lies between both models"]
    assert texts(where) == ["at ride", "at full bump"]
    models = ["one curvature", "touching at tips"]
    assert texts(heads) == ["leaf", *models, *models, "limit", "left"]
    middles = [(word.left + word.right) / 2 for word in where]
    assert heads[1].left < middles[0] < heads[2].right < heads[3].left < middles[1] < heads[4].right
    columns: list[Column] = [("left", LEFT), *columns_under(heads[1:])]
    rest = iter(lines)
    for name, rows in tables:
        if study.changed:
            assert texts(next(rest)) == [name.capitalize()]
        for place, row in enumerate(rows):
            assert cells_of(next(rest), columns) == stress_cells(place, row, printed.units)
    unknown = any(row.bump is None for _, rows in tables for row in rows)
    said = "The stress at full bump isn't known" in " ".join(w.text for line in rest for w in line)
    assert said == unknown


def stress_cells(place: int, row: expected.Stress, units: str) -> list[str]:
    left = DASH if row.left is None else f"{figure(100.0 * row.left, 'percent', units, places=0)} %"
    stresses = (*row.ride, *(row.bump or (None, None)))
    return [
        "main" if place == 0 else str(place + 1),
        *(figure(value, "stress", units) for value in (*stresses, row.limit)),
        left,
    ]


# Torque, hop, links


def test_torque(printed: Printed) -> None:
    study, units = rears(printed), printed.units
    rows = expected.torque(study) if study.proposed.leaf is not None else []
    if not rows:
        assert not printed.sheet.has("Rear", "Under torque")
        return
    _, heads, *lines = printed.sheet.under("Rear", "Under torque")
    force, length = unit("force", units), unit("length", units)
    assert texts(heads) == [
        *(f"thrust, {force}", "wind-up", "pinion", f"lift, {length}"),
        *(f"front eye, {force}", f"rear eye, {force}", f"snubber, {force}"),
        "stress",
    ]
    columns = [NAME, *columns_under(heads)]
    for line, row in zip(lines[: len(rows)], rows, strict=True):
        angles = [
            DASH if angle is None else f"{figure(angle, 'angle', units, plus=True)}°"
            for angle in (row.wind_up, row.pinion)
        ]
        loads = (row.front_eye, row.rear_eye, row.snubber)
        assert cells_of(line, columns) == [
            *(row.name, figure(row.thrust, "force", units), *angles),
            figure(row.lift, "length", units, plus=True),
            *(figure(load, "force", units) for load in loads),
            figure(row.stress, "stress", units),
        ]


def test_hop(printed: Printed) -> None:
    study, heading = rears(printed), "Hop, tramp and wind-up by where the dampers are"
    rows = expected.hop(study)
    if not rows:
        assert not printed.sheet.has("Rear", heading)
        return
    heads, *lines = printed.sheet.under("Rear", heading)
    modes = ("Hop", "Tramp", "Wind-up")
    assert texts(heads) == [words for mode in modes for words in (f"{mode}, Hz", "damping")]
    columns = [NAME, *columns_under(heads)]
    for line, (name, frequencies, dampings) in zip(lines[: len(rows)], rows, strict=True):
        figures = [
            text
            for hertz, ratio in zip(frequencies, dampings, strict=True)
            for text in (
                (DASH, DASH)
                if hertz is None or ratio is None
                else (
                    figure(hertz, "plain", "mm", places=1),
                    "<0.01" if 0.0 < ratio < 0.01 else figure(ratio, "plain", "mm", places=2),
                )
            )
        ]
        assert cells_of(line, columns) == [name, *figures]


def test_link_forces(printed: Printed) -> None:
    study = rears(printed)
    cars = [(f"as {what}", car) for what, car in (("found", study.measured),)]
    cars += [("as built", study.proposed)] if study.changed else []
    cars = [(name, car) for name, car in cars if car.link_forces]
    if not cars:
        assert not any(head.startswith("Forces in") for head in printed.sheet.headings("Rear"))
        return
    name, car = cars[-1]
    unit, heads, *lines = printed.sheet.under("Rear", f"Forces in the links, {name}")
    assert texts(unit) == [{"mm": "N", "in": "lbf"}[printed.units]]
    assert texts(heads) == [case.case for case in car.link_forces]
    rows = [[case.thrust, *case.links, *case.coils] for case in car.link_forces]
    for line, forces in zip(lines[: len(rows[0])], zip(*rows, strict=True), strict=True):
        printed_forces = [text.lstrip("+") for text in texts(line)[1:]]
        assert printed_forces == [figure(each, "force", printed.units) for each in forces]
    bolt = study.setup.evidence.get("rear.links.bolt_diameter")
    if isinstance(bolt, float):  # double shear
        most = [max(map(abs, case.links)) / (pi * bolt**2 / 2) for case in car.link_forces]
        printed_shear = texts(lines[len(rows[0])])
        assert printed_shear[0].startswith("Greatest bolt shear, ")
        assert printed_shear[1:] == [figure(each, "stress", printed.units) for each in most]


def test_links(printed: Printed) -> None:
    study, units = rears(printed), printed.units
    before, after = (expected.links(car) for car in (study.measured, study.proposed))
    if not before and not after:
        assert not {"Links", "Links that come off"} & set(printed.sheet.headings("Rear"))
        return
    heading = "Links" if after else "Links that come off"
    note, heads, *lines = printed.sheet.under("Rear", heading)
    assert texts(note) == [f"{units} · bush to bush, unloaded"]
    both = bool(study.changed and after)
    lengths = ["as found", "to fit"] if both else ["length"]
    assert texts(heads) == [*lengths, f"bushes, {unit('spring rate', units)}"]
    columns = [NAME, *columns_under(heads), ("left", 127.0)]
    cars = [links for links in (before, after) if links]
    axle = (study.proposed if after else study.measured).links.axle.links
    wanted = link_names(cars)
    rows = [cells_of(line, columns) for line in lines[: len(wanted)]]
    assert [row[0] for row in rows] == list(wanted)
    for row, link in zip(rows, wanted.values(), strict=True):
        was, now = before.get(link), after.get(link)
        bushes = figure(axle[link].rate, "spring rate", units, places=0)
        if both:
            told = [figure(was, "length", units), figure(now, "length", units), bushes]
            assert row[1:] == [*told, link_fate(was, now, units)]
        else:
            only = was if now is None else now
            assert row[1:] == [figure(only, "length", units), bushes, ""]


def link_names(cars: list[Any]) -> dict[str, str]:
    """Return the names of rows with the link whose length they tell."""
    names: dict[str, str] = {}
    for pair in ("lower", "upper"):
        left, right = f"{pair} left link", f"{pair} right link"
        if all(abs(links[left] - links[right]) <= 0.05 for links in cars):
            names[f"{pair.capitalize()} links"] = left
        else:
            names |= {left.capitalize(): left, right.capitalize(): right}
    return names | {"Lateral link": "lateral link"}


def link_fate(was: float | None, now: float, units: str) -> str:
    if was is None:
        return "new"
    if abs(now - was) <= 0.05:
        return "same link"
    return f"{figure(abs(now - was), 'length', units)} {'longer' if now > was else 'shorter'}"


def test_cells_are_read_as_any_reader_of_the_file_would(tmp_path: Path) -> None:
    sheet = print_and_read("small_saloon, all off", tmp_path).sheet
    texts = sheet.plain_text()
    assert texts_of(sheet.path) == [" ".join(text.split()) for text in texts]
    for words, text in zip(sheet.pages, texts, strict=True):
        letters = "".join(word.text for word in words).replace(" ", "")
        assert sorted(letters) == sorted("".join(text.split()))

"""Every row that goes on paper holds the study's numbers: both cars, both sides, all that is on."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from app.document.keys import KEYS
from app.shop.points import point_rows
from app.shop.results import ResultRow, missing_rows, result_rows
from app.systems.rear.shop.hop import hop_rows
from app.systems.rear.shop.leaves import pack_rows, stress_rows
from app.systems.rear.shop.links import link_rows
from app.systems.rear.shop.torque import torque_rows
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from tests.helpers import expected_tables as expected
from tests.shop.setups import SETUPS, solved

every_setup = pytest.mark.parametrize("name", SETUPS)
ENDS = ("front", "rear")


def studies(name: str) -> list[tuple[str, Any]]:
    return list(solved(name).items())


def rear_of(name: str) -> Any:
    study = solved(name).get("rear")
    if study is None:
        pytest.skip("has no rear")
    return study


def near(value: object, other: object) -> bool:
    if value is None or other is None:
        return value is other
    return bool(np.allclose(value, other, rtol=1e-12, atol=1e-9))  # type: ignore[arg-type]


@every_setup
def test_every_point_has_its_row(name: str) -> None:
    for end, study in studies(name):
        rows, points = point_rows(study), expected.points(end, study)
        assert [row.key for row in rows] == [point.key for point in points]
        for row, point in zip(rows, points, strict=True):
            assert (row.title, row.fate, row.within) == (point.title, point.fate, point.within)
            assert near(row.measured, point.measured), row.key
            assert near(row.proposed, point.proposed), row.key
            assert near(row.move, point.move), row.key


@every_setup
def test_a_hole_in_the_body_is_proposed_where_its_move_takes_it(name: str) -> None:
    for _, study in studies(name):
        for row in point_rows(study):
            if row.fate in ("stays", "moves") and not KEYS[row.key].on_part and row.measured:
                there = np.array(row.measured) + np.array(row.move or (0.0, 0.0, 0.0))
                in_body = row.key.endswith(("_front", "_rear", "_body", "_eye"))
                if in_body and not row.key.endswith("rear_eye"):
                    assert near(row.proposed, there), row.key


def test_a_right_hand_point_is_on_the_right() -> None:
    rows = {row.key: row for row in point_rows(solved("one side")["front"])}
    for key, row in rows.items():
        places = [place for place in (row.measured, row.proposed) if place is not None]
        assert row.is_right == (".right." in key)
        assert all((place[1] < 0) == row.is_right for place in places)


@every_setup
def test_every_result_of_either_car_has_its_row(name: str) -> None:
    for end, study in studies(name):
        lines = {(line.result.key, line.title): line for line in expected.results(end, study)}
        rows = result_rows(study)
        names = [(row.result.key, titled(row)) for row in rows]
        assert set(names) == lines.keys()
        assert len(rows) == len(lines)
        for row, name_of_row in zip(rows, names, strict=True):
            line = lines[name_of_row]
            assert (row.measured, row.proposed) == (line.measured, line.proposed), row.result.key
            if line.measured is None or line.proposed is None:
                assert row.move is None
            else:
                assert row.move == line.proposed - line.measured


def titled(row: ResultRow) -> str:
    return f"{row.result.title}, {row.side}" if row.side else row.result.title


@every_setup
def test_results_of_a_group_stand_together(name: str) -> None:
    for _, study in studies(name):
        groups = [row.result.group for row in result_rows(study)]
        changes = [group for i, group in enumerate(groups) if i == 0 or groups[i - 1] != group]
        assert len(changes) == len(set(changes))


def test_what_two_kinds_of_axle_give_under_one_key_is_one_result_only_where_it_is_one() -> None:
    on_leaves = {result.key: result for result in LEAF_RESULTS}
    for result in LINK_RESULTS:
        other = on_leaves.get(result.key)
        if other is not None and result.key not in ("spring_load", "wind_up_damping"):
            alike = ("title", "kind", "scope", "group", "plus", "minus", "decimals")
            assert all(getattr(result, name) == getattr(other, name) for name in alike)
    for key in ("spring_load", "wind_up_damping"):
        rows = [row for row in result_rows(onto_links()) if row.result.key == key]
        assert [(row.measured is None, row.proposed is None) for row in rows] == [
            (True, False),
            (False, True),
        ]


def onto_links() -> Any:
    study = solved("torsion_coupe, all on")["rear"]
    assert (study.measured.kind, study.proposed.kind) == ("leaf axle", "five-link axle")
    return study


@every_setup
def test_what_is_missing_is_told_by_what_it_needs(name: str) -> None:
    for _, study in studies(name):
        rows = missing_rows(study)
        told = {result.key: row.needs for row in rows for result in row.results}
        assert all(study.missing[key] == needs for key, needs in told.items())
        shown = {row.result.key for row in result_rows(study) if row.proposed is not None}
        assert not shown & told.keys()
        assert len({row.needs for row in rows}) == len(rows)


def test_a_bare_front_lacks_what_was_left_out() -> None:
    needs = {key for row in missing_rows(solved("bare")["front"]) for key in row.needs}
    assert {"front.spring.rate", "car.mass"} <= needs


# Leaves


@every_setup
def test_packs_are_told_leaf_by_leaf(name: str) -> None:
    study = rear_of(name)
    before = study.setup.evidence.get("rear.pack.leaf", ())
    after = before
    for change in (change for change in study.setup.changes if change.on):
        after = change.sets.get("rear.pack.leaf", after)
    for pack in pack_rows(study):
        made = pack.kind in ("to build up", "to fit")
        car = study.proposed if made else study.measured
        cuts = expected.pack(car, after if made else before)
        leaves = [(row.place, row.leaf, row.mass) for row in pack.leaves]
        assert leaves == cuts
        assert all(row.whole == row.leaf.front + row.leaf.rear for row in pack.leaves)


def test_what_becomes_of_each_leaf_is_told() -> None:
    packs = {pack.kind: pack for pack in pack_rows(solved("inch_sedan, all on")["rear"])}
    assert list(packs) == ["as found", "to build up"]
    found = [row.leaf for row in packs["as found"].leaves]
    for row in packs["to build up"].leaves:
        if row.fate in ("stays", "moves"):
            assert row.was is not None
            assert found[row.was] == row.leaf
            assert (row.was == row.place) == (row.fate == "stays")
        else:
            assert row.leaf not in found
    assert {row.fate for row in packs["as found"].leaves} == {"stays"}


@every_setup
def test_stresses_are_at_the_settled_height_and_at_the_stop(name: str) -> None:
    study = rear_of(name)
    for car in (study.measured, study.proposed):
        rows, stresses = stress_rows(car), expected.stress(car)
        assert len(rows) == len(stresses)
        for place, (row, stress) in enumerate(zip(rows, stresses, strict=True)):
            assert row.place == place
            for value, wanted in zip(
                (row.ride, row.bump, row.limit, row.left), stress, strict=True
            ):
                assert value is wanted or value == pytest.approx(wanted, rel=1e-9)


# Torque, hop, links


@every_setup
def test_steps_of_drive_and_full_braking_are_those_of_each_car(name: str) -> None:
    study = rear_of(name)
    rows = torque_rows(study)
    wanted = expected.torque(study)
    assert [row.name for row in rows] == [torque.name for torque in wanted]
    for row, torque in zip(rows, wanted, strict=True):
        for field in torque._fields[1:]:
            assert near(getattr(row, field), getattr(torque, field)), field
        assert row.is_proposed == row.name.endswith("built")


@every_setup
def test_modes_are_those_of_each_layout(name: str) -> None:
    rows = hop_rows(rear_of(name))
    told = [
        (
            f"{'If' if row.is_layout else 'Dampers'} {row.name}",
            [None if each is None else each.frequency for each in row.figures],
            [None if each is None else each.damping for each in row.figures],
        )
        for row in rows
    ]
    assert told == expected.hop(rear_of(name))


@every_setup
def test_links_are_as_long_as_in_each_car(name: str) -> None:
    study = rear_of(name)
    before, after = (expected.links(car) for car in (study.measured, study.proposed))
    named: set[str] = set()
    for row in link_rows(study):
        pair = row.name.removesuffix("s")
        both = [f"{pair.replace(' link', f' {side} link')}" for side in ("left", "right")]
        for link in both if row.name.endswith("s") else [row.name]:
            named.add(link)
            for told, lengths in ((row.found, before), (row.fitted, after)):
                assert (told is None) == (link not in lengths)
                assert told is None or told == pytest.approx(lengths[link], abs=0.05)
    assert named == (after or before).keys()


def test_of_a_pair_one_made_longer_is_no_new_link() -> None:
    rows = {row.name: row for row in link_rows(solved("one link longer")["rear"])}
    assert {name: row.fate for name, row in rows.items() if "lower" in name} == {
        "lower left link": "longer",
        "lower right link": "stays",
    }

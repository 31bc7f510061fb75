"""What a spring maker is asked for, of the cars as they stand, checked by the springs' law."""

from __future__ import annotations

import re
from typing import Any

import pytest

from app.document.model import Change, FrozenMap, Setup
from app.systems.every import given_systems
from app.systems.front.system import FRONT
from app.systems.spring_order import SpringOrder
from tests.helpers.sheets import SAMPLES, sample, with_all_on, with_on


def orders(setup: Setup, decimal: str = ".") -> dict[str, SpringOrder]:
    return {
        order.title: order
        for system in given_systems(setup)
        for order in system.spring_orders(system.study(setup), decimal)
    }


def setting(setup: Setup, **sets: Any) -> Setup:
    values = {key.replace("__", "."): value for key, value in sets.items()}
    return setup.having(changes=(Change("job", sets=FrozenMap(values)),))


def number(words: str) -> float:
    """Return a figure of an order; inches may be a whole and a fraction."""
    whole = re.match(r"([−\d.]+)(?: (\d+)/(\d+))? ", words)
    assert whole, words
    value = float(whole[1].replace("−", "-"))
    return value + (int(whole[2]) / int(whole[3]) if whole[2] else 0.0)


def wanted(order: SpringOrder) -> dict[str, str]:
    return {row.title: row.wanted for row in order.rows}


def found(order: SpringOrder) -> dict[str, str]:
    return {row.title: row.found for row in order.rows}


@pytest.mark.parametrize("name", SAMPLES)
def test_springs_that_stay_are_not_ordered(name: str) -> None:
    assert orders(sample(name)) == {}


@pytest.mark.parametrize(
    ("setup", "titles"),
    [
        (with_on(sample("small_saloon"), "Spring 70"), ["Front coil springs"]),
        (with_on(sample("small_saloon"), "Leaf 4 out"), ["Rear leaf springs"]),
        (with_on(sample("inch_sedan"), "Springs 540"), ["Front coil springs"]),
        (with_on(sample("inch_sedan"), "Helpers touch"), []),  # a rubber is no spring
        (with_on(sample("torsion_coupe"), "Bars wound"), []),  # an adjuster is none either
        (with_on(sample("torsion_coupe"), "Rear axle on links"), ["Rear coil springs"]),
        (setting(sample("torsion_coupe"), front__spring__rate=2e6), ["Front torsion bars"]),
        (setting(sample("hillclimb_special"), rear__spring__rate=18.0), ["Rear coil springs"]),
        (setting(sample("small_saloon"), rear__pack__free_arch=130.0), ["Rear leaf springs"]),
    ],
)
def test_what_the_work_changes_is_ordered(setup: Setup, titles: list[str]) -> None:
    assert list(orders(setup)) == titles


@pytest.mark.parametrize("decimal", [".", ","])
def test_a_coils_load_is_its_rate_times_what_it_is_pressed_by(decimal: str) -> None:
    for name, words in (("small_saloon", "Spring 70"), ("inch_sedan", "Springs 540")):
        order = orders(with_on(sample(name), words), decimal)["Front coil springs"]
        for car in (found(order), wanted(order)):
            rate, free, length, load = (
                number(car[title].replace(",", "."))
                for title in ("Rate", "Free length", "Length on its wheels", "Load at that length")
            )
            # Hooke's law; the weighed corner and the free length differ by up to 3 mm
            assert load == pytest.approx(rate * (free - length), rel=0.015)


def test_each_column_is_of_its_own_car() -> None:
    setup = with_on(sample("inch_sedan"), "Springs 540")
    study = FRONT.study(setup)
    order = orders(setup)["Front coil springs"]
    for car, words in ((study.measured, found(order)), (study.proposed, wanted(order))):
        length = float(car.rest.values["spring_length"].mean()) / 25.4
        force = float(car.rest.values["spring_force"].mean()) / 4.4482216152605
        assert number(words["Length on its wheels"]) == pytest.approx(
            length, abs=1 / 128
        )  # told to the nearest 64th
        assert number(words["Load at that length"]) == pytest.approx(force, abs=0.5)


def test_a_coil_is_longest_at_full_rebound_and_longer_than_solid_at_full_bump() -> None:
    order = orders(with_on(sample("small_saloon"), "Spring 70"))["Front coil springs"]
    car = {title: number(words) for title, words in wanted(order).items() if words}
    assert (
        car["Solid length, at most"]
        < car["Length at full bump"]
        < car["Length on its wheels"]
        < car["Length at full rebound"]
    )


def test_what_nobody_knows_is_left_open() -> None:
    order = orders(with_on(sample("small_saloon"), "Spring 70"))["Front coil springs"]
    open_rows = [row.title for row in order.rows if not row.wanted]
    assert "Wire diameter" in open_rows
    assert any(title.startswith("Ends") for title in open_rows)
    assert order.count == "2, left and right alike"


def test_leaves_bend_by_load_over_rate() -> None:
    setup = with_on(sample("small_saloon"), "Leaf 4 out")
    order = orders(setup)["Rear leaf springs"]
    assert order.has_leaves
    for car in (found(order), wanted(order)):
        free, arch, load, rate = (
            number(car[title])
            for title in (
                "Free arch: centre bolt below the eyes",
                "Arch on its wheels",
                "Load at that arch, each spring",
                "Rate at that load",
            )
        )
        # friction aside a pack's arch goes down by load over rate (SAE HS-788, from memory); the
        # measured arch and the weight agree within 8 mm, and the shackle's lever takes its part
        assert free - arch == pytest.approx(load / rate, abs=8.0)
    assert wanted(order)["Clips on"] == "leaf 2"


def test_loads_that_differ_are_told_of_each_side() -> None:
    order = orders(setting(sample("hillclimb_special"), front__spring__rate=34.0))
    coil = order["Front coil springs"]
    assert wanted(coil)["Rate"] == "34.0 N/mm"


def test_a_chosen_height_says_what_else_holds_it() -> None:
    setup = with_on(sample("small_saloon"), "Spring 70").having(heights={"front": "as measured"})
    notes = " ".join(orders(setup)["Front coil springs"].notes)
    assert "The height chosen is held by one of these: " in notes
    assert "coils" in notes


@pytest.mark.parametrize(
    ("name", "moves", "title"),
    [
        ("small_saloon", {"front.spring_arm": (0.0, 0.0, 15.0)}, "Front coil springs"),
        ("hillclimb_special", {"rear.spring_axle": (0.0, 0.0, 15.0)}, "Rear coil springs"),
    ],
)
def test_a_height_that_only_other_coils_hold_orders_them(
    name: str, moves: dict[str, Any], title: str
) -> None:
    setup = sample(name).having(changes=(Change("seats up", moves=FrozenMap(moves)),))
    assert orders(setup) == {}
    end = title.split()[0].lower()
    order = orders(setup.having(heights={end: "as measured"}))[title]
    car = wanted(order)
    rate, free, length = (number(car[t]) for t in ("Rate", "Free length", "Length on its wheels"))
    load = next(number(words) for t, words in car.items() if t.startswith("Load at"))
    assert load == pytest.approx(rate * (free - length), rel=0.015)  # Hooke's law
    assert free < number(found(order)["Free length"]) - 5.0
    assert "The height chosen is held by coils" in " ".join(order.notes)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_with_all_on_gives_whole_orders(name: str) -> None:
    for order in orders(with_all_on(sample(name))).values():
        assert order.rows
        assert any(row.wanted for row in order.rows)
        assert not any("nan" in row.wanted for row in order.rows)

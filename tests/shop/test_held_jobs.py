"""A height that is held is work: the sheet says what holds it, in the units of the car."""

from __future__ import annotations

import pytest

from app.document.model import Setup
from app.shop.jobs import jobs
from app.shop.work import standing_words
from app.systems.every import given_systems
from app.systems.holding import holds
from tests.helpers.sheets import sample, with_all_on
from tests.helpers.telling import sentences


def held(name: str, **heights: str | float) -> Setup:
    return with_all_on(sample(name)).having(heights=heights)


def titles(setup: Setup) -> list[str]:
    return [job.title for job in jobs([system.study(setup) for system in given_systems(setup)])]


def test_a_packer_or_a_longer_coil_holds_the_front_and_more_arch_the_rear() -> None:
    setup = held("small_saloon", front="as measured", rear="as measured")
    front, rear = (title for title in titles(setup) if title.startswith("Hold the"))
    study = next(iter(given_systems(setup))).study(setup)
    packer, coil = holds(study)
    assert f"a packer of {packer.value:.1f} mm under each front coil" in front
    assert f"coils {coil.value:.0f} mm free instead of" in front
    assert "re-arched to 138 mm of free arch instead of 117 mm" in rear


def test_a_block_is_left_out_and_a_bar_is_wound() -> None:
    rear = titles(held("inch_sedan", rear="as measured"))
    assert any("the block of 1 1/4 in left out" in title for title in rear)
    assert not any("mm" in title for title in rear)
    front = titles(held("torsion_coupe", front="as measured"))
    assert any("torsion bars set to 873 N·m" in title for title in front)


@pytest.mark.parametrize("lacking", ["car.mass", "front.spring.rate"])
def test_a_height_that_nothing_known_holds_is_asked_about(lacking: str) -> None:
    setup = sample("small_saloon").having(changes=())
    evidence = {key: value for key, value in setup.evidence.items() if key != lacking}
    setup = setup.having(evidence=evidence, heights={"front": 360.0})
    (title,) = (each for each in titles(setup) if each.startswith("Hold"))
    assert title.startswith("Hold the front at the height below. What holds it there isn't known")
    study = next(iter(given_systems(setup))).study(setup)
    (told,) = (each for each in sentences(study) if each.result_key == "settled_travel")
    assert told.severity == "watch"
    assert "12 mm lower than found: what holds it there isn't known" in told.text


@pytest.mark.parametrize("choice", ["settles", "as measured"])
def test_without_a_held_height_there_is_no_such_work(choice: str) -> None:
    setup = sample("small_saloon").having(changes=(), heights={"front": choice})
    assert not any(title.startswith("Hold") for title in titles(setup))


def test_the_heads_say_held_or_settled() -> None:
    settled = next(iter(given_systems(sample("small_saloon")))).study(sample("small_saloon"))
    assert "settled: about 24 mm lower" in standing_words(settled, ".")
    setup = sample("small_saloon")
    arch = float(setup.evidence["front.arch_height"])  # type: ignore[arg-type]
    lower = setup.having(heights={"front": arch - 10.0})
    study = next(iter(given_systems(lower))).study(lower)
    assert "held: about 10 mm lower" in standing_words(study, ".")

"""An alignment as changes: the car then reads what was told, and it can be taken back."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians
from pathlib import Path

import numpy as np
import pytest

from app.document.edits import duplicate_change, switch_change
from app.document.files import read_setup, write_setup
from app.document.model import Setup
from app.document.plans import Gauge
from app.document.same import same_setup
from app.judge.align import aligned
from app.judge.aligning_work import amounts_in, done_now, taken, turned, without_alignment
from app.judge.alignment import Alignment
from app.shop.alignment import alignment_rows
from app.shop.alignment_job import alignment_jobs
from app.shop.jobs import AS_ALIGNED, jobs
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from tests.helpers.aligning import ALL, car_to_align
from tests.helpers.long_cases import LONG

SHIM = "front.upper_shims upper_front"


def angles(setup: Setup) -> dict[str, np.ndarray]:
    values = FRONT.study(setup).proposed.rest.values
    return {key: np.degrees(values[key][:, 0]) for key in ("camber", "caster", "toe")}


@pytest.fixture(scope="module", name="worked_out")
def _worked_out() -> tuple[Alignment, Setup]:
    setup = car_to_align(adjusters=ALL, gauge={})
    told = aligned(setup)
    return told, taken(told, setup)


def test_the_car_with_the_change_reads_what_was_told(worked_out: tuple[Alignment, Setup]) -> None:
    told, after = worked_out
    now = angles(after)
    for place, wheel in enumerate(told.wheels.values()):
        for key in ("camber", "caster", "toe"):
            assert degrees(wheel.reached[key]) == pytest.approx(now[key][place], abs=2e-4)


@LONG
def test_another_alignment_begins_without_the_one_before(
    worked_out: tuple[Alignment, Setup],
) -> None:
    told, after = worked_out
    assert without_alignment(after) == told.setup
    again = aligned(after)
    assert again.wheels == told.wheels
    assert taken(again, after) == after


def test_a_file_keeps_that_the_change_aligns(
    worked_out: tuple[Alignment, Setup], tmp_path: Path
) -> None:
    path = tmp_path / "car.toml"
    write_setup(path, worked_out[1])
    read = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    assert same_setup(read, worked_out[1])
    assert path.read_text().count("aligns = true") == sum(c.aligns for c in read.changes) > 0


@pytest.mark.parametrize(
    ("key", "step"),
    [
        (SHIM, 0.5),
        ("front.lower_eccentric", -1.0),
        ("front.strut_rod", 0.75),
        ("front.strut_rod", -0.75),
    ],
)
def test_a_knob_turned_there_and_back_leaves_the_setup(key: str, step: float) -> None:
    setup = car_to_align(adjusters=ALL)
    there = turned(setup, key, ("left",), step)
    assert amounts_in(there)["left"][key] == pytest.approx(step, abs=1e-9)
    others = [a for side, each in amounts_in(there).items() for k, a in each.items() if k != key]
    assert np.abs([*others, amounts_in(there)["right"][key]]).max() < 1e-9
    assert turned(there, key, ("left",), -step) == setup


def test_an_alignment_that_is_off_stays_and_a_copy_adds_up() -> None:
    once = turned(car_to_align(), SHIM, ("left",), 1.0)
    off = switch_change(once, len(once.changes) - 1, False)
    other = turned(off, SHIM, ("left",), 2.0)
    assert off.changes[-1] in other.changes
    assert amounts_in(other)["left"][SHIM] == pytest.approx(2.0)
    twice = duplicate_change(once, len(once.changes) - 1)
    assert amounts_in(twice)["left"][SHIM] == pytest.approx(2.0)
    one = turned(twice, SHIM, ("left",), -1.0)
    assert [change.moves for change in one.changes] == [change.moves for change in once.changes]


def test_shims_go_in_on_one_wheel_or_on_both() -> None:
    setup = car_to_align()
    before, both = angles(setup)["camber"], angles(turned(setup, SHIM, ("left", "right"), 1.0))
    left = angles(turned(setup, SHIM, ("left",), 1.0))["camber"]
    assert (both["camber"] < before - 0.05).all()  # inboard at the top: it leans in
    assert left[0] == pytest.approx(both["camber"][0], abs=0.01)
    assert left[1] == pytest.approx(before[1], abs=0.01)


def test_a_longer_tie_rod_sets_the_toe_as_its_sensitivity_says() -> None:
    """Half a turn, against the slope that an alignment tells."""
    setup = car_to_align()
    per_turn = degrees(aligned(setup).sensitivities[-1].toe)
    after = turned(setup, "front.tie_rod", ("left",), 0.75)
    step = angles(after)["toe"] - angles(setup)["toe"]
    assert step[0] == pytest.approx(0.5 * per_turn, rel=0.02)
    assert step[1] == pytest.approx(0.0, abs=1e-6)


@pytest.fixture(scope="module", name="uneven")
def _uneven() -> tuple[Alignment, Setup]:
    """Left and right unlike: shims and tie rods go other ways."""
    gauge = {
        "front.left": Gauge(radians(0.9), radians(2.0), radians(0.3)),
        "front.right": Gauge(radians(-0.4), radians(3.6), radians(-0.1)),
    }
    setup = car_to_align(gauge=gauge)
    told = aligned(setup)
    return told, taken(told, setup)


def test_tie_rods_are_turned_as_the_page_says_and_once(uneven: tuple[Alignment, Setup]) -> None:
    told, after = uneven
    (job,) = alignment_jobs(after)
    for side, way in (("left", "shorter"), ("right", "longer")):
        turns = abs(told.wheels[side].turns["front.tie_rod"])
        assert f"{side} {turns:.2f} turns {way}" in job.title
    told_by_all = " ".join(line for each in jobs([FRONT.study(after)]) for line in each.details)
    assert AS_ALIGNED in told_by_all
    assert "Each tie rod comes" not in told_by_all


def again(uneven: tuple[Alignment, Setup], off: float) -> tuple[Setup, Alignment]:
    """Return the car gauged with its alignment done, camber off by so much, and what is told."""
    told, after = uneven
    done = done_now(after)
    read = {side: wheel.reached for side, wheel in told.wheels.items()}
    gauge = {
        f"front.{side}": Gauge(r["camber"] + off, r["caster"], r["toe"], after=done[side])
        for side, r in read.items()
    }
    gauged = after.having(gauge=gauge)
    return gauged, aligned(gauged)


@pytest.mark.long
def test_gauged_again_as_it_was_told_nothing_is_left_to_do(
    uneven: tuple[Alignment, Setup],
) -> None:
    gauged, told = again(uneven, 0.0)
    assert all(wheel.met for wheel in told.wheels.values())
    assert all(
        not row.left.is_done and not row.right.is_done for row in alignment_rows(told, "mm").work
    )
    assert taken(told, gauged).changes == gauged.changes


def test_gauged_again_it_counts_from_there_and_nothing_twice(
    uneven: tuple[Alignment, Setup], tmp_path: Path
) -> None:
    """The car with the second alignment, less the car with the first: what the gauge must read."""
    gauged, told = again(uneven, radians(0.6))
    twice = taken(told, gauged)
    first, second = angles(gauged), angles(twice)
    for place, (side, wheel) in enumerate(told.wheels.items()):
        read = degrees(wheel.read["camber"]) + second["camber"][place] - first["camber"][place]
        assert read == pytest.approx(degrees(wheel.reached["camber"]), abs=2e-3)
        for key, pack in wheel.packs.items():
            assert sum(pack) == pytest.approx(told.fitted(key, side) + amounts_in(twice)[side][key])
        total = done_now(gauged)[side][-1][1] + wheel.moves["front.tie_rod"]
        assert dict(done_now(twice)[side])["tie_rod"] == pytest.approx(total, abs=1e-5)
    assert without_alignment(twice) == without_alignment(gauged)  # so it isn't done once more
    write_setup(tmp_path / "car.toml", twice)
    assert same_setup(read_setup(tmp_path / "car.toml", limit_kinds=LIMIT_KINDS).setup, twice)


def test_an_eccentric_is_turned_on_from_where_it_was_gauged(
    worked_out: tuple[Alignment, Setup],
) -> None:
    told, _ = worked_out
    done = {side: {"front.lower_eccentric": 1.25} for side in told.wheels}
    total = amounts_in(taken(replace(told, gauged_amounts=done), told.setup))
    for side, wheel in told.wheels.items():
        turned_on = wheel.moves["front.lower_eccentric"]
        assert total[side]["front.lower_eccentric"] == pytest.approx(1.25 + turned_on)

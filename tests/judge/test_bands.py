"""Bands of whole cars: against a general package, by coverage, and sampled against linear."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat, wrap

from app.document.adjusting import adjusted
from app.document.files import read_setup
from app.document.model import FrozenMap, Limit, Setup, Tape
from app.document.samples import sample_paths
from app.judge.again import measure_again
from app.judge.bands import Bands, bands_of
from app.judge.cars import Asked, cars_of, errors_of, measured_off
from app.judge.drilling import holes_within
from app.judge.kept import Chances
from app.judge.known import Parameter, knowledge, measured_again
from app.judge.pausing import go_on
from app.systems.every import LIMIT_KINDS, given_systems
from app.systems.front.system import FRONT
from tests.helpers.front_setups import front_setup
from tests.helpers.known_setups import LOWERED, known
from tests.helpers.long_cases import typical_of

REST = Asked("travel", np.zeros(1))
TOLD = ("caster", "camber_gain", "bump_steer", "roll_centre_height", "wheel_rate", "scrub_radius")


def of_front(setup: Setup, keys: tuple[str, ...] | None = None, samples: int = 0) -> Bands:
    bands = bands_of(FRONT.study(setup), REST, keys, samples=samples)
    assert bands is not None
    return bands


def test_a_general_package_gives_the_same_bands_of_both_cars_and_of_the_move() -> None:
    setup = known(LOWERED, within=0.2)
    bands = of_front(setup, TOLD)
    parameters = bands.known.parameters
    readings = [ufloat(0.0, parameter.deviation) for parameter in parameters]

    def results(*errors: float) -> dict[str, tuple[float, float]]:
        (off,) = measured_again(setup, parameters, np.array([errors]))
        study = FRONT.study(off)
        cars = study.measured.rest.values, study.proposed.rest.values
        return {key: tuple(float(car[key].ravel()[0]) for car in cars) for key in TOLD}

    kept: dict[tuple[float, ...], Any] = {}

    def result(key: str, car: int) -> Any:
        def once(*errors: float) -> float:
            if errors not in kept:
                kept[errors] = results(*errors)
            return float(kept[errors][key][car])

        steps = [
            lambda *errors, place=place, step=parameter.deviation / 4.0: (
                (
                    once(*errors[:place], errors[place] + step, *errors[place + 1 :])
                    - once(*errors[:place], errors[place] - step, *errors[place + 1 :])
                )
                / (2.0 * step)
            )
            for place, parameter in enumerate(parameters)
        ]
        return wrap(once, steps)(*readings)

    for key in TOLD:
        found, built = result(key, 0), result(key, 1)
        for judged, band in ((found, bands.found[key]), (built, bands.built[key])):
            assert band.value.ravel()[0] == pytest.approx(judged.n, rel=1e-7, abs=1e-9)
            assert band.within.ravel()[0] == pytest.approx(2.0 * judged.s, rel=1e-4)
        move = built - found
        assert bands.moves[key].within.ravel()[0] == pytest.approx(2.0 * move.s, rel=1e-3)


TAPED = (
    *(("upper_ball", "lower_ball"), ("upper_front", "lower_front"), ("upper_rear", "lower_rear")),
    *(("upper_front", "upper_ball"), ("upper_rear", "upper_ball"), ("lower_front", "lower_ball")),
    *(("tie_inner", "tie_outer"), ("lower_rear", "lower_ball"), ("tie_outer", "upper_ball")),
)


def read_again(true: Setup, errors: np.ndarray, tape_errors: np.ndarray) -> Setup:
    """The car as somebody reads it: coordinates and tapes, each with its own error [mm]."""
    parameters = knowledge(true, FRONT.concerns).parameters
    (read,) = measured_again(true, parameters, errors[None])
    tapes = []
    for (start, end), error in zip(TAPED, tape_errors.tolist(), strict=False):
        ends = f"front.{start}", f"front.{end}"
        places = [true.evidence[key] for key in ends]
        tapes.append(Tape(ends, dist(*places) + error, 0.5))  # type: ignore[arg-type]
    return read.having(tapes=tuple(tapes))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("count_of_tapes", "cars"),
    typical_of(((0, 40), (0, 16), (len(TAPED), 40), (len(TAPED), 16)), ((0, 16),)),
)
def test_the_true_result_lies_in_its_band_in_93_to_97_of_100_cars(
    count_of_tapes: int, cars: int
) -> None:
    # Invented cars: the same front with every coordinate anywhere within 15 mm; each measured
    # 50 times, points ± 1.5 mm and tapes ± 0.5 mm; the band is that of the first measuring. Arms
    # aren't near-parallel.
    random = np.random.default_rng(7)
    inside = {(car, key): 0 for car in ("found", "built", "moves") for key in TOLD}
    base = known(LOWERED)
    parameters = knowledge(base, FRONT.concerns).parameters
    for _ in range(cars):
        anywhere = random.uniform(-15.0, 15.0, (1, len(parameters)))
        (true,) = measured_again(base, parameters, anywhere)
        errors = random.normal(0.0, 0.75, (50, len(parameters)))
        tape_errors = random.normal(0.0, 0.25, (50, count_of_tapes))
        measured = [read_again(true, *each) for each in zip(errors, tape_errors, strict=True)]
        both = cars_of(FRONT.study(true), [true, *measured], TOLD, REST, go_on)
        bands = of_front(measured[0], TOLD)
        for car, key in inside:
            rows = {
                "found": both.found[key],
                "built": both.built[key],
                "moves": both.built[key] - both.found[key],
            }[car].reshape(51, -1)[:, 0]
            within = getattr(bands, car)[key].within.ravel()[0]
            inside[car, key] += int((np.abs(rows[1:] - rows[0]) <= within).sum())
    shares = {name: hits / (50.0 * cars) for name, hits in inside.items()}
    assert all(0.93 <= share <= 0.97 for share in shares.values()), shares


def test_tapes_make_results_surer_and_are_readings_of_their_own() -> None:
    base = known(LOWERED)
    count = len(knowledge(base, FRONT.concerns).parameters)
    taped = read_again(base, np.zeros(count), np.zeros(len(TAPED)))
    before, after = of_front(base), of_front(taped)
    of_taped = after.known
    assert [name for name in of_taped.readings if name.startswith("tape")] == [
        f"tape {number + 1}" for number in range(len(TAPED))
    ]
    covariance = adjusted(taped).adjustment.covariance
    ours = of_taped.factor @ of_taped.factor.T
    rows = [
        3 * adjusted(taped).keys.index(one.key) + (one.axis or 0) for one in of_taped.parameters
    ]
    assert ours == pytest.approx(covariance[np.ix_(rows, rows)], abs=1e-9)
    for key in ("camber_gain", "roll_centre_height"):
        assert (after.built[key].within < before.built[key].within).all()
    again = measure_again(after, Chances(after, 0))
    assert sum(one.share for one in again) == pytest.approx(1.0)
    assert any(one.reading.startswith("tape") for one in again)


def test_where_a_straight_line_serves_samples_say_the_same() -> None:
    setup = known(LOWERED)
    bands = of_front(setup, TOLD)
    errors = errors_of(2000, len(bands.known.readings))
    cars = [*measured_off(setup, bands.known, errors)]
    sampled = FRONT.solve_many([car.having(changes=()) for car in cars], TOLD).values
    for key in TOLD:
        rows = sampled[key].reshape(2000, -1)[:, 0]
        low, high = np.quantile(rows, [0.025, 0.975])
        # 1.96 standard deviations hold 95 in 100; k is 2
        assert bands.found[key].within.ravel()[0] * 0.98 == pytest.approx(
            (high - low) / 2.0, rel=0.05
        )


def test_a_move_is_known_better_than_where_it_starts_and_ends() -> None:
    bands = of_front(known(LOWERED))
    for key in ("roll_centre_height", "camber_gain", "bump_steer"):
        most = min(bands.found[key].within.max(), bands.built[key].within.max())
        assert 0.0 < bands.moves[key].within.max() < most / 2.0
    still = of_front(known())
    assert still.moves["roll_centre_height"].within == pytest.approx(0.0)


def test_arms_that_may_be_parallel_have_a_centre_through_infinity() -> None:
    setup = known()
    evidence = dict(setup.evidence)
    for arm in ("upper", "lower"):
        ball = evidence[f"front.{arm}_ball"]
        for end in ("front", "rear"):
            x, y, _ = evidence[f"front.{arm}_{end}"]  # type: ignore[misc]
            evidence[f"front.{arm}_{end}"] = (x, y, ball[2] + 0.3 * (arm == "upper"))  # type: ignore[index,operator]
    bands = of_front(setup.having(evidence=FrozenMap(evidence)), samples=400)
    assert np.isnan(bands.found["swing_arm_length"].within).all()
    assert bands.found["swing_arm_length"].method == "sampled"
    assert np.isfinite(bands.found["roll_centre_height"].within).all()


def test_the_datum_shifts_every_point_alike() -> None:
    setup = known(within=1e-6)
    evidence = FrozenMap({**setup.evidence, "sheet.datum_within": 4.0})
    bands = of_front(setup.having(evidence=evidence))
    names = [parameter.name for parameter in bands.known.parameters]
    assert names[-2:] == ["datum level", "datum centreline"]
    # a centreline 4 mm off leaves one wheel 4 mm further out
    assert bands.found["half_track"].within[0, 0] == pytest.approx(4.0, rel=1e-6)


def test_shares_add_to_one_and_the_nearest_reading_brings_most() -> None:
    bands = of_front(known(LOWERED))
    again = measure_again(bands, Chances(bands, 0))
    assert sum(one.share for one in again) == pytest.approx(1.0)
    for key in again[0].shares:
        assert sum(one.shares[key] for one in again) == pytest.approx(1.0)
        best = max(again, key=lambda one, key=key: one.shares[key])
        within = float(np.linalg.norm(bands.built[key].within.ravel()[:2]) / np.sqrt(2.0))
        if bands.results[key].scope != "wheel":
            within = float(bands.built[key].within.ravel()[0])
        assert min(one.bring[key] for one in again) == pytest.approx(best.bring[key])
        assert best.bring[key] < within


def test_what_a_reading_brings_is_the_band_of_a_car_read_so() -> None:
    setup = known(LOWERED)
    bands = of_front(setup)
    first = measure_again(bands, Chances(bands, 0))[0]
    point, axis = first.reading.rsplit(".", 1)
    within = tuple(0.5 if each == axis else 1.5 for each in "xyz")
    closer = of_front(setup.having(within=FrozenMap({point: within})))
    for key, brought in first.bring.items():
        band = closer.built[key].within.ravel()
        sides = 2 if closer.results[key].scope == "wheel" else 1
        assert brought == pytest.approx(float(np.sqrt((band[:sides] ** 2).mean())), rel=1e-6)


def test_one_limit_past_leaves_no_room_for_drilling_whatever_else_is_kept() -> None:
    setup = known(LOWERED)
    height = float(of_front(setup, ("roll_centre_height",)).built["roll_centre_height"].value[0])
    far, past = Limit(None, height + 500.0, "length"), Limit(None, -90.0, "length")
    limits = {"front.scrub_radius": past, "front.roll_centre_height": far}
    chances = Chances(of_front(setup.having(limits=limits)), 0)
    assert holes_within(chances, chances.limits()) == 0.0


def test_a_limit_far_off_is_kept_one_at_the_value_half_and_holes_may_be_off_in_between() -> None:
    setup = known(LOWERED)
    (key,) = keys = ("roll_centre_height",)
    height = of_front(setup, keys).built[key]
    value, within = float(height.value[0]), float(height.within[0])

    def told(most: float) -> tuple[float | None, float | None]:
        limited = setup.having(limits={"front.roll_centre_height": Limit(None, most, "length")})
        bands = of_front(limited, keys)
        chances = Chances(bands, 0)
        limits = chances.limits()
        return limits[0].kept, holes_within(chances, limits)

    assert told(value) == (pytest.approx(0.5), 0.0)
    kept, near = told(value + within)
    assert kept == pytest.approx(0.97725, abs=1e-4)
    far = told(value + 3.0 * within)[1]
    assert near is not None
    assert far is not None
    assert 0.0 < near < far


def test_every_sample_with_uncertainties_has_bands_of_both_ends() -> None:
    for path in sample_paths():
        setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
        for system in given_systems(setup):
            bands = bands_of(system.study(setup), REST, keys=("roll_centre_height",))
            assert bands is not None
            assert bands.built["roll_centre_height"].within[0] > 0.0


def test_a_car_of_which_nothing_is_said_has_no_bands() -> None:
    assert bands_of(FRONT.study(front_setup()), REST) is None
    assert Parameter("front.upper_ball", 2, 0.5).name == "front.upper_ball.z"
    assert replace(REST, driver="roll").poses.keys() == {"roll"}

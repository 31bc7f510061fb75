"""Front against rear in a corner, of whole cars."""

from __future__ import annotations

import json
from math import radians

import pytest

from app.cli.commands import run
from app.document.files import read_setup
from app.document.model import Change
from app.document.samples import sample_paths
from app.judge.balance import balances
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from geometry.conventions import GRAVITY

_MASSES = ("mass", "front_share", "cg_height", "front_unsprung", "rear_unsprung")


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_the_loads_that_change_sides_balance_the_moment_of_the_side_force(path) -> None:  # type: ignore[no-untyped-def]
    """Moments about the ground: Σ transfer·track = m·g·h + (sprung mass)·g·(its shift by roll)."""
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    front, rear = FRONT.study(setup), REAR.study(setup)
    values, balance = setup.evidence, balances([front, rear])["measured"]
    tracks = front.measured.rest.values["half_track"].sum(), _rear_track(rear.measured)
    moment = balance.front.total * tracks[0] + balance.rear.total * tracks[1]
    mass, share = values["car.mass"], values["car.front_share"]
    low = [values["car.front_unsprung"], values["car.rear_unsprung"]]
    radii = [values["front.tyre_radius"], values["rear.tyre_radius"]]
    sprung = mass - sum(low)
    height = (mass * values["car.cg_height"] - low[0] * radii[0] - low[1] * radii[1]) / sprung
    fronts = (mass * share - low[0]) / sprung
    centres = [car.measured.rest.values["roll_centre_height"][0] for car in (front, rear)]
    arm = height - (fronts * centres[0] + (1 - fronts) * centres[1])
    shift = sprung * GRAVITY * arm * balance.roll
    assert moment == pytest.approx(mass * GRAVITY * values["car.cg_height"] + shift, rel=1e-9)


def _rear_track(car) -> float:  # type: ignore[no-untyped-def]
    return car.leaf.track if car.leaf is not None else car.links.axle.track


def test_the_report_tells_it_to_machines_and_people(
    capsys: pytest.CaptureFixture[str], tmp_path
) -> None:  # type: ignore[no-untyped-def]
    path = sample_paths()[0]
    assert run(["report", str(path), "--json"], lambda _: 1) == 0
    told = json.loads(capsys.readouterr().out)["balance"]
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    balance = balances([FRONT.study(setup), REAR.study(setup)])["proposed"]
    assert radians(told["proposed"]["roll_gradient_deg"]) == pytest.approx(balance.roll)
    assert told["proposed"]["front_share_percent"] > told["measured"]["front_share_percent"]
    assert run(["report", str(path)], lambda _: 1) == 0
    assert "Front against rear in a corner, per g" in capsys.readouterr().out


def test_without_masses_there_is_none(tmp_path) -> None:  # type: ignore[no-untyped-def]
    setup = read_setup(sample_paths()[0], limit_kinds=LIMIT_KINDS).setup
    bare = setup.having(evidence=setup.evidence.without("car.mass"))
    assert balances([FRONT.study(bare), REAR.study(bare)]) == {}


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("car.cg_height", 4900.0),  # the moment of the body's weight is more than its springs'
        ("car.front_unsprung", 900.0),  # more than the axle brings on the road
        ("rear.wheel_centre", (-2490.0, 0.0, 292.0)),  # no track
    ],
)
def test_a_car_that_cannot_stand_in_a_corner_has_no_balance(key: str, value: object) -> None:
    saloon = next(p for p in sample_paths() if p.stem == "small_saloon")
    setup = read_setup(saloon, limit_kinds=LIMIT_KINDS).setup
    setup = setup.having(evidence={**setup.readings, key: value}, changes=())
    assert balances([FRONT.study(setup), REAR.study(setup)]) == {}


def test_the_body_of_a_lowered_car_comes_down_with_its_springs_and_its_wheels_do_not() -> None:
    """Moments about the road: both ends' transfers hold up the whole car, as it leans.

    The sprung mass comes down by the mean of both ends' rise, weighed by what each end carries.
    """
    path = next(path for path in sample_paths() if path.stem == "small_saloon")
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    lower = Change("low", sets={"front.spring.free_length": 289.0, "rear.block": 20.0})
    setup = setup.having(changes=(lower,))
    ends = {system.key: system.study(setup) for system in (FRONT, REAR)}
    balance = balances(list(ends.values()))["proposed"]
    car = {key: float(setup.evidence[f"car.{key}"]) for key in _MASSES}  # type: ignore[arg-type]
    rises = {key: study.stands for key, study in ends.items()}
    assert min(rises.values()) > 15.0
    shares = {"front": car["front_share"], "rear": 1.0 - car["front_share"]}
    sprung = {key: car["mass"] * shares[key] - car[f"{key}_unsprung"] for key in ends}
    mass = sum(sprung.values())
    radii = {key: float(setup.evidence[f"{key}.tyre_radius"]) for key in ends}  # type: ignore[arg-type]
    wheels = sum(car[f"{key}_unsprung"] * radii[key] for key in ends)
    as_found = (car["mass"] * car["cg_height"] - wheels) / mass
    height = as_found - sum(sprung[key] * rises[key] for key in ends) / mass
    stances = {key: study.proposed.stance for key, study in ends.items()}
    axis = sum(sprung[key] * stances[key].roll_centre for key in ends) / mass
    leaning = mass * GRAVITY * (height - axis) * balance.roll
    transfers = {"front": balance.front, "rear": balance.rear}
    held = sum(stances[key].track * float(transfers[key].total) for key in ends)
    assert held == pytest.approx(mass * GRAVITY * height + wheels * GRAVITY + leaning, rel=1e-9)

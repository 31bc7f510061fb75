"""The least move that follows: against scipy, linear algebra, and itself there and back."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import lsq_linear, minimize

from geometry.following import Following, Rooms
from geometry.least_move import Straight, least_move
from geometry.vectors import Array

COUNT = 6


def curved(results: int, bend: float = 1.0) -> Callable[[Array], Array]:
    """Return results that curve, of moves in shares of their room."""
    random = np.random.default_rng(3)
    slopes = random.normal(size=(results, COUNT)) * 20.0
    square = random.normal(size=(results, COUNT, COUNT)) * 4.0 * bend
    cube = random.normal(size=(results, COUNT))
    return lambda place: (
        slopes @ place
        + np.einsum("kij,i,j->k", square, place, place) / 2.0
        + bend * (0.5 * (cube @ place) ** 3 + 5.0 * np.sin(2.0 * place[0]))
    )


def rooms(of: Callable[[Array], Array], seed: int = 5) -> Rooms:
    random = np.random.default_rng(seed)
    low, high = -random.uniform(0.2, 0.8, COUNT), random.uniform(0.2, 0.8, COUNT)
    costs = np.array([2.0, *np.ones(COUNT - 1)])
    return Rooms(low, high, costs, lambda places: np.array([of(p) for p in places]), of)


@pytest.mark.parametrize("results", [1, 2])
def test_the_least_move_of_straight_results_is_the_pseudoinverse(results: int) -> None:
    """Golub, Van Loan, Matrix Computations, section 5.6: the least norm is Aᵀ(AAᵀ)⁻¹b."""
    random = np.random.default_rng(1)
    slopes, wanted = random.normal(size=(results, COUNT)), random.normal(size=results)
    costs, far = random.uniform(1.0, 3.0, COUNT), np.full(COUNT, 1e3)
    found = least_move(Straight(slopes, wanted, costs, -far, far))
    root = np.sqrt(costs)
    assert found == pytest.approx(np.linalg.pinv(slopes / root) @ wanted / root, abs=1e-7)


@pytest.mark.parametrize("results", [1, 2])
def test_what_cant_be_had_is_missed_as_little_as_can_be(results: int) -> None:
    """scipy.optimize.lsq_linear with bounds as judge."""
    random = np.random.default_rng(2)
    for _ in range(20):
        slopes = random.choice([-1.0, 1.0], (results, COUNT)) * random.uniform(0.5, 1.0, COUNT)
        low = -random.uniform(0.1, 1.0, COUNT)
        wanted, high = random.normal(size=results) * 20.0, random.uniform(0.1, 1.0, COUNT)
        found = least_move(Straight(slopes, wanted, np.ones(COUNT), low, high))
        judge = lsq_linear(slopes, wanted, (low, high), method="bvls", tol=1e-12)
        assert np.linalg.norm(slopes @ found - wanted) == pytest.approx(
            np.linalg.norm(judge.fun), abs=1e-5
        )


def test_for_the_last_bit_of_a_result_what_hardly_does_anything_doesnt_run_away() -> None:
    slopes, far = np.array([[100.0, 0.1]]), np.ones(2)
    found = least_move(Straight(slopes, np.array([500.0]), far, -far, far))
    assert found == pytest.approx([1.0, 0.01])


@pytest.mark.parametrize(("results", "size"), [(1, 40.0), (2, 20.0)])
def test_where_it_comes_to_rest_a_general_optimiser_finds_no_less(
    results: int, size: float
) -> None:
    """scipy.optimize.minimize (SLSQP on the curved results themselves) as judge."""
    of = curved(results)
    room = rooms(of)
    following = Following(room)
    for far in np.linspace(-size, size, 7):
        target = far * np.array([1.0, 0.6])[:results]
        place = following.settle(target, following.follow(target))
        judge = minimize(
            lambda x: float(room.costs @ x**2),
            place.shares + 0.01,
            jac=lambda x: 2.0 * room.costs * x,
            method="SLSQP",
            bounds=list(zip(room.low, room.high, strict=True)),
            constraints={"type": "eq", "fun": lambda x, target=target: of(x) - target},
            options={"ftol": 1e-14, "maxiter": 300},
        )
        assert of(place.shares) == pytest.approx(target, abs=1e-5)
        assert float(room.costs @ place.shares**2) == pytest.approx(judge.fun, abs=1e-6)
        assert place.shares == pytest.approx(judge.x, abs=1e-4)


def test_the_answer_depends_on_the_target_alone() -> None:
    """Two hands, one straight there and one all over the place: not a bit apart."""
    straight, astray = (Following(rooms(curved(1))) for _ in range(2))
    for target in np.linspace(-45.0, 45.0, 7):
        for elsewhere in (60.0, -60.0, -target):
            astray.follow(np.array([elsewhere]))
        one, other = (each.follow(np.array([target])) for each in (straight, astray))
        assert (one.shares == other.shares).all()


def test_a_steady_hand_moves_the_points_steadily() -> None:
    """No kick, no flip: a small step of the hand is a small step of every move, at bounds too."""
    following = Following(rooms(curved(1)))
    steps = np.linspace(-50.0, 50.0, 201)
    places = np.array([following.follow(np.array([target])).shares for target in steps])
    moved = np.abs(np.diff(places, axis=0)).max(axis=1)
    assert moved.max() < 5.0 * np.median(moved)


def test_at_a_bound_the_result_sticks() -> None:
    following = Following(rooms(curved(1, bend=0.2)))
    far, farther = (following.follow(np.array([each])) for each in (150.0, 300.0))
    assert (far.shares == farther.shares).all()
    assert len(following.bounds_at(far.shares)) == COUNT
    assert farther.missed == pytest.approx(far.missed + 150.0)


def test_back_at_the_start_nothing_has_moved() -> None:
    following = Following(rooms(curved(2)))
    following.follow(following.start + 12.0)
    back = following.follow(following.start)
    assert not back.shares.any()
    assert not back.missed.any()


def test_a_result_that_nothing_moves_is_dead() -> None:
    assert Following(rooms(lambda _: np.array([3.0]))).is_dead
    assert Following(rooms(lambda _: np.array([np.nan]))).is_dead


def test_cars_that_are_solved_together_tell_nothing_of_the_hands_way() -> None:
    """In a batch last bits depend on its size, as a kernel's do that stops when all are done."""
    of = curved(1)
    plain = rooms(of)

    def many(places: Array) -> Array:
        return np.array([of(place) for place in places]) + 1e-9 * len(places)

    def moves(targets: list[float]) -> dict[float, Array]:
        made = Following(Rooms(plain.low, plain.high, plain.costs, many, of))
        return {each: made.follow(np.array([each])).shares for each in targets}

    path = [-30.0, -11.0, 4.0, 17.0, 33.0]
    one, other = moves(path), moves([33.0, 4.0, -30.0, 17.0, -11.0])
    assert all((one[each] == other[each]).all() for each in path)


@pytest.mark.parametrize("settles", [False, True])
def test_what_hardly_does_anything_comes_slowly_at_the_end_of_reach(settles: bool) -> None:
    """A strong move and a weak one, straight: by parts of the last unit no part is most of it."""
    slopes = np.array([[20.0, 0.3]])
    ends = np.full(2, 0.5)
    made = Following(
        Rooms(-ends, ends, np.ones(2), lambda places: places @ slopes.T, lambda p: slopes @ p)
    )
    targets = 9.5 + np.linspace(0.0, 2.0, 41)

    def weak(target: float, gives: float) -> float:
        at = np.array([target])
        place = made.follow(at, gives)
        return float((made.settle(at, place, gives) if settles else place).shares[1])

    slow, quick = ([weak(each, gives) for each in targets] for gives in (1.0, 0.0))
    assert max(np.diff(quick)) > 0.9 * (quick[-1] - quick[0])  # it would leap
    assert max(np.diff(slow)) < 0.25 * (slow[-1] - slow[0])
    assert slow[-1] == pytest.approx(quick[-1], abs=1e-9)  # and it comes as far

"""From a setup to the rear's answers: one car, on leaf springs or on links."""

from __future__ import annotations

from dataclasses import replace

from app.document.model import Setup
from app.document.moves import Numbers, known_points, proposed_settings
from app.systems.answers import Ranges, value_at_rest
from app.systems.rear.answers import RearAnswers
from app.systems.rear.inputs import rear_kind
from app.systems.rear.leaf import LeafAnswers, solve_leaf, stood_leaf
from app.systems.rear.leaf import answers_of as leaf_answers
from app.systems.rear.links import solve_links, stood_links
from app.systems.standing import Standing


def solve_rear(
    setup: Setup, ranges: Ranges, measured: RearAnswers | None = None, short: bool = False
) -> RearAnswers:
    """Solve a rear: with the changes that are on beside the measured one, else as measured."""
    proposed = measured is not None
    values = proposed_settings(setup) if proposed else setup.evidence
    solve = solve_leaf if rear_kind(values) == LeafAnswers.kind else solve_links
    return solve(setup, proposed, measured, ranges, short)


def built_rear(
    setup: Setup,
    measured: RearAnswers,
    proposes: bool,
    stand_at: Standing,
    ranges: Ranges,
    short: bool,
) -> RearAnswers:
    """Solve the proposal on its wheels."""
    values = proposed_settings(setup) if proposes else setup.evidence
    if rear_kind(values) == LeafAnswers.kind:
        leaf, stand = stood_leaf(setup, measured, proposes, stand_at)
        if stand.is_as_measured and not proposes:
            return measured
        return leaf_answers(leaf, ranges, short, stand)
    built = stood_links(setup, measured, proposes, stand_at, ranges, short)
    return built if proposes or not built.stand.is_as_measured else measured


def rear_ranges(setup: Setup) -> Ranges:
    """Return the sweeps of a rear: its stops where given."""
    number = Numbers(proposed_settings(setup))
    bump, rebound = number.get("rear.travel.bump"), number.get("rear.travel.rebound")
    plain = Ranges()
    return replace(
        plain,
        travel=(
            plain.travel[0] if rebound is None else -rebound,
            plain.travel[1] if bump is None else bump,
            61,
        ),
        steer=(0.0, 0.0, 1),
    )


def missing_for(setup: Setup, car: RearAnswers) -> dict[str, tuple[str, ...]]:
    """Return, by result that a car lacks, the setup keys that it needs and that aren't given."""
    values = known_points(setup).updated(proposed_settings(setup))
    lacking = {}
    for result in car.results:
        lacking_keys = tuple(key for key in result.needs if key not in values)
        if lacking_keys and value_at_rest(car, result) is None:
            lacking[result.key] = lacking_keys
    return lacking

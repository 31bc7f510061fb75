"""Words on an axle on links: the force in each link, and the leaf axle beside it."""

from __future__ import annotations

from math import dist, radians
from typing import Final

from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import number_of, unit_of
from app.panels.bench.pair_rows import Pair, figure
from app.panels.figures import NOTHING, decimal_sign
from app.panels.text_table import Cell, TextRows
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.compare import at_rest, value_at
from app.systems.rear.shop.link_forces import SHEAR, link_force_tables
from app.words.lengths import length_words

LEAN: Final = radians(3.0)
BUMP: Final[dict[Units, float]] = {"mm": 50.0, "in": 2 * INCH}
_ROWS: Final = (  # title, kind, key, decimals
    ("Roll centre height", "length", "roll_centre_height", 0),
    ("Roll steer, + understeer", "angle per angle", "roll_steer", 3),
    ("Anti-squat", "percent", "anti_squat", 0),
    ("Anti-lift under braking", "percent", "anti_lift", 0),
    ("Wheel rate in bounce", "spring rate", "wheel_rate", None),
    ("Wheel rate in roll", "spring rate", "roll_wheel_rate", None),
    ("Ride frequency", "frequency", "ride_frequency", None),
    ("Hop", "frequency", "hop_frequency", 1),
    ("Hop, damping ratio", "ratio", "hop_damping", 2),
    ("Tramp", "frequency", "tramp_frequency", 1),
    ("Tramp, damping ratio", "ratio", "tramp_damping", 2),
    ("Wind-up", "frequency", "wind_up_frequency", 1),
)
_LEANING: Final = (
    ("Axle steer at 3° of roll", "angle", "axle_steer", 2),
    ("Axle shift at 3° of roll", "length", "axle_shift", 1),
)
_RISING: Final = (
    ("Pinion turns by, in {} of bump", "angle", "pinion_turn", 2),
    ("Wheelbase change, in {} of bump", "length", "wheelbase_change", 1),
)


def force_rows(study: Study[RearAnswers], units: Units) -> TextRows:
    """Return each link's length, rate, and what roll puts into it, as found and as built."""
    was, now = study.measured, study.proposed
    before, after = roll_forces(was), roll_forces(now)
    stiff, force, long = (unit_of(kind, units) for kind in ("spring rate", "force", "length"))
    heads = (
        "link",
        f"length\n{long}",
        f"bushes\n{stiff}",
        f"as found\n{force} per °",
        f"as built\n{force} per °",
    )
    if now.links is None:
        return TextRows(heads)
    rows = []
    for name, link in now.links.axle.links.items():
        length = dist(link.body, link.axle) if link.length is None else link.length
        figures = (
            number_of(length, "length", units, decimal=decimal_sign()),
            number_of(link.rate, "spring rate", units, decimal=decimal_sign(), places=0),
        )
        cells = [Cell(name), *(Cell(text) for text in figures)]
        cells += [Cell(_force(before.get(name), units), ink="second")]
        cells += [Cell(_force(after.get(name), units), "bold")]
        rows.append(tuple(cells))
    return TextRows(heads, tuple(rows))


def full_force_rows(study: Study[RearAnswers], units: Units) -> TextRows:
    """Return the force in each link standing, at full drive and at full braking, as built.

    As found where the car as built has no links.
    """
    tables = link_force_tables(study)
    if not tables:
        return TextRows(())
    force = unit_of("force", units)
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (Cell(line.name), *(Cell(_force(each, units)) for each in line.forces))
        for line in tables[-1].rows
    )
    if tables[-1].shear:
        name = f"{SHEAR}, {unit_of('stress', units)}"
        shears = [
            number_of(shear, "stress", units, decimal=decimal_sign()) for shear in tables[-1].shear
        ]
        rows = (*rows, (Cell(name), *map(Cell, shears)))
    whose = tables[-1].car if study.changed else ""
    return TextRows((whose, *(f"{case}\n{force}" for case in tables[-1].cases)), rows)


def roll_forces(car: RearAnswers) -> dict[str, float]:
    """Return the tension that a degree of roll puts into each link [N], at rest."""
    links = car.rest.links
    if car.links is None or links is None:
        return {}
    per_degree = links.rates.link_force_per_roll[0] * radians(1.0)
    return dict(zip(car.links.axle.links, per_degree.tolist(), strict=True))


def _force(value: float | None, units: Units) -> str:
    if value is None:
        return NOTHING
    return number_of(value, "force", units, decimal=decimal_sign(), plus=True)


def compare_rows(leaf: RearAnswers | None, links: RearAnswers | None, units: Units) -> TextRows:
    """Return the results of both kinds of axle side by side."""
    rows = [
        _row(title, kind, places, [at_rest(car, key) for car in (leaf, links)], units)
        for title, kind, key, places in _ROWS
    ]
    for title, kind, key, places in _RISING:
        values = [_rise(car, key, BUMP[units]) for car in (leaf, links)]
        title_words = title.format(length_words(BUMP[units], units))
        rows.append(_row(title_words, kind, places, values, units))
    for title, kind, key, places in _LEANING:
        values = [None if car is None else value_at(car.roll, key, LEAN) for car in (leaf, links)]
        rows.append(_row(title, kind, places, values, units))
    known_rows = [row for row in rows if any(cell.text != NOTHING for cell in row[1:3])]
    return TextRows(("", "leaf springs", "links", "differs by"), tuple(known_rows))


def _rise(car: RearAnswers | None, key: str, bump: float) -> float | None:
    """Return what a result changes by over the bump stated."""
    if car is None:
        return None
    up, level = value_at(car.travel, key, bump), at_rest(car, key)
    return None if up is None or level is None else up - level


def _row(
    title: str, kind: str, places: int | None, values: list[float | None], units: Units
) -> tuple[Cell, ...]:
    pair = Pair(title, kind, values[0], values[1], places)
    unit = unit_of(kind, units)
    leaf, links = values
    differs = None if leaf is None or links is None else links - leaf
    return (
        Cell(f"{title}, {unit}" if unit else title),
        Cell(figure(leaf, pair, units)),
        Cell(figure(links, pair, units), "bold"),
        Cell(figure(differs, pair, units, plus=True), ink="accent"),
    )

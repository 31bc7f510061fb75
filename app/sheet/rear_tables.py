"""Tables of an axle on leaves: under torque, and its hop by where the dampers are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import Setup
from app.document.units import MINUS, NO_VALUE, format_value, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, Face
from app.paper.flow import Block, kept, spaced
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.targets import knows_pinion
from app.systems.rear.words.hop import LOW
from geometry.leaf.hop import LAYOUTS, Modes
from geometry.leaf.wind_up import WindUp

ROW: Final = 4.6
MODES: Final = ((1, "Hop"), (2, "Tramp"), (3, "Wind-up"))
INDICATION: Final = (
    "A linear indication: grip and the leaves' friction are not in it. Bold: a damping ratio "
    "below 0.08, which hardly dies out (common practice, no source)."
)


def _cars(study: Study[RearAnswers]) -> list[tuple[str, RearAnswers]]:
    if not study.changed:
        return [("as measured", study.measured)]
    return [("as found", study.measured), ("as proposed", study.proposed)]


# Under torque


def torque_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the axle at full drive and full braking, of both cars."""
    units = study.setup.units
    rows = [
        (f"{what}, {name}", car, car.twist, place)
        for what, place in (("Full drive", -1), ("Full braking", 0))
        for name, car in _cars(study)
        if car.twist is not None
    ]
    if not rows:
        return []
    force, length = unit_of("force", units), unit_of("length", units)
    heads = ["", f"thrust, {force}", "wind-up", "pinion", f"body lifts, {length}"]
    heads += [f"front eye, {force}", f"rear eye, {force}", f"snubber, {force}"]
    columns = _torque_columns(paper)
    body = [row(columns, [(head, FINE) for head in heads], 4.4)]
    for name, car, twist, place in rows:
        body.append(
            row(columns, list(_torque_cells(name, car, twist, place, study.setup, decimal)), ROW)
        )
    head = heading("Under torque", paper.margin, "load held; + nose up", paper.right)
    told = paragraph(_torque_words(study, decimal), paper.margin, paper.inner, SMALL)
    return kept([head, *body]) + spaced(told, 0.8)


def _torque_columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    wide = (right - left - 48.0) / 7
    ends = [left + 48.0 + wide * (index + 1) for index in range(7)]
    return [Column(left, 47.0, "left"), *(Column(end, wide - 1.0) for end in ends)]


def _torque_cells(
    name: str, car: RearAnswers, twist: WindUp | None, place: int, setup: Setup, decimal: str
) -> Iterator[Cell]:
    units, pinions = setup.units, knows_pinion(setup)
    assert twist is not None
    face = SMALL_STRONG if name.endswith("proposed") else SMALL
    yield name, face

    def number(value: float, kind: str, plus: bool = False) -> Cell:
        return number_of(value, kind, units, decimal=decimal, plus=plus), face

    turn = float(twist.rotation[place])
    yield number(float(twist.thrust[place]), "force")
    yield f"{number(turn, 'angle', True)[0]}°", face
    pinion = _pinion(car) + turn
    yield (f"{number(pinion, 'angle', True)[0]}°" if pinions else NO_VALUE), face
    yield number(-float(twist.rise[place]) + 0.0, "length", True)
    for eye in (0, 1):
        yield number(float(twist.eye_load[eye, place]), "force")
    yield number(float(twist.snubber[place]), "force")


def _pinion(car: RearAnswers) -> float:
    sweep = car.settled or car.rest
    return float(sweep.values["pinion_angle"][0])


def _torque_words(study: Study[RearAnswers], decimal: str) -> str:
    units, told = study.setup.units, []
    for name, car in _cars(study):
        stiff = car.single.get("wind_up_stiffness")
        if stiff is not None:
            size = format_value(stiff, "torsional rate", units, decimal=decimal, places=0)
            told.append(f"{size} {name}")
    words = f"Wind-up stiffness of both springs: {', '.join(dict.fromkeys(told))}. "
    grip = study.proposed.by_grip
    words += "Full drive is what the tyres hold. " if grip else "Full drive is engine torque "
    words += "" if grip else "through the gears. "
    words += "Full braking is what the tyres hold. An eye's load below zero is reversed: the main "
    return f"{words}leaf and its clipped leaves alone then hold that half."


# Hop and tramp


def hop_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return frequency and damping as the dampers are and in the four layouts."""
    own = [(f"Dampers {name}", car.hop) for name, car in _cars(study) if car.hop is not None]
    if not own:
        return []
    last = own[-1][1]
    lines = [(name, hop.own) for name, hop in own]
    lines += list(zip((f"If {layout}" for layout in LAYOUTS), last.layouts, strict=True))
    columns = _hop_columns(paper)
    heads = [""] + [part for _, name in MODES for part in (f"{name}, Hz", "damping")]
    body = [row(columns, [(head, FINE) for head in heads], 4.4)]
    body += [row(columns, list(_hop_cells(name, modes, decimal)), ROW) for name, modes in lines]
    head = heading("Hop, tramp and wind-up by where the dampers are", paper.margin)
    told = paragraph(INDICATION, paper.margin, paper.inner, SMALL)
    return kept([head, *body]) + spaced(told, 0.8)


def _hop_columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    wide = (right - left - 62.0) / 6
    ends = [left + 62.0 + wide * (index + 1) for index in range(6)]
    return [Column(left, 61.0, "left"), *(Column(end, wide - 1.0) for end in ends)]


def _hop_cells(name: str, modes: Modes, decimal: str) -> Iterator[Cell]:
    yield name, SMALL_STRONG if name.endswith("proposed") else SMALL
    for index, _ in MODES:
        yield (
            number_of(float(modes.frequency[index]), "plain", "mm", decimal=decimal, places=1),
            SMALL,
        )
        ratio = float(modes.damping[index])
        face: Face = SMALL_STRONG if ratio < LOW else SMALL
        text = number_of(ratio, "plain", "mm", decimal=decimal, places=3)
        yield text if text.strip(f"{MINUS}0.,") else text.lstrip(MINUS), face

"""An alignment: jobs and tables for people, and an object for other programs."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees
from pathlib import Path

from app.cli.files import load
from app.cli.machine import UNITS
from app.cli.questions import unbuilt_words
from app.cli.refused import Refused
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.document.address import SIDES, Point, Side
from app.document.ends import name_in_end
from app.judge.align import aligned
from app.judge.alignment import AlignError, Alignment, WheelAlignment
from app.judge.alignment_words import (
    TITLES,
    aim_texts,
    angle_text,
    effect_words,
    jobs_of,
    sign_of,
)
from app.shop.alignment import NO_GAUGE
from geometry.errors import GeometryError


def align_file(path: Path) -> Alignment:
    """Return the alignment of the car in a file, or refuse with the reason."""
    setup = load(path)
    try:
        return aligned(setup)
    except AlignError as error:
        raise Refused(f"{path.name}: {error}") from None
    except GeometryError as error:
        words = "the front can't be built."
        raise Refused(unbuilt_words(words, error, setup, path, "front")) from None


def align_object(alignment: Alignment, path: Path) -> dict[str, object]:
    """Return both wheels, the order of work and the sensitivities; mm and degrees."""
    return {
        "title": alignment.setup.title,
        "file": path.name,
        "units": UNITS,
        "gauged": alignment.is_gauged,
        "targets": _degrees(alignment.aims.values),
        "within": _degrees(alignment.aims.within),
        **{side: _wheel(alignment, side) for side in SIDES},
        "order": [_bare(alignment, key) for key in alignment.order("left")],
        "sensitivities": [
            {
                "adjuster": _bare(alignment, each.knob),
                "per": each.per,
                "camber_deg": degrees(each.camber),
                "caster_deg": degrees(each.caster),
                "toe_deg": degrees(each.toe),
            }
            for each in alignment.sensitivities
        ],
    }


def _wheel(alignment: Alignment, side: Side) -> dict[str, object]:
    wheel = alignment.wheels[side]
    return {
        "read": _degrees(wheel.read),
        "packs_mm": {_bare(alignment, key): pack for key, pack in wheel.packs.items()},
        "turns": {_bare(alignment, key): turns for key, turns in wheel.turns.items()},
        "moves_mm": {_bare(alignment, key): move for key, move in wheel.moves.items()},
        "reached": _degrees(wheel.reached),
        "remaining": _degrees(wheel.remaining),
        "met": wheel.met,
    }


def _bare(alignment: Alignment, key: str) -> str:
    """Return a pack's bolt, or an adjuster's own name."""
    knob = alignment.knobs.get(key)
    is_bolt = knob is not None and alignment.is_pack(key)
    return Point.at(knob.point).name if knob and is_bolt else name_in_end(key)


def _degrees(angles: Mapping[str, float]) -> dict[str, float]:
    return {name: degrees(angle) for name, angle in angles.items()}


def align_text(alignment: Alignment, path: Path, terminal: Terminal) -> str:
    """Return what to do on each wheel, what it then reads, and what each shim and turn does."""
    page, units = Page(terminal), alignment.setup.units
    page.heading(alignment.setup.title)
    page.paragraph(f"{path.name} · the front, with the changes that are on done", indent="")
    if not alignment.is_gauged:
        page.paragraph(NO_GAUGE, "! ")
    for side in SIDES:
        wheel = alignment.wheels[side]
        page.heading(f"{side.capitalize()} wheel{'' if wheel.met else ': not all can be met'}")
        for number, (what, job) in enumerate(jobs_of(alignment, side, units), start=1):
            page.paragraph(f"{job} ({what})", f"{number} ")
        page.table(_heads(), [_row(alignment, wheel, name) for name in TITLES])
    page.heading("What one does, on both wheels alike, the toe before the tie rods are set")
    heads = [Column("", words=True), *(Column(f"{title}, °") for title in TITLES.values())]
    rows: list[Row] = []
    for each in alignment.effects:
        what, angles = effect_words(alignment, each, units)
        rows.append([what, *angles])
    page.table(heads, rows)
    return page.text()


def _heads() -> list[Column]:
    figures = ("read", "then", "target", "±", "left")
    return [Column("", words=True), *map(Column, figures), Column("then", words=True)]


def _row(alignment: Alignment, wheel: WheelAlignment, name: str) -> Row:
    reached = wheel.reached[name]
    target, within = aim_texts(alignment, name)
    left = angle_text(wheel.remaining[name]) if name in wheel.remaining else ""
    figures = [angle_text(wheel.read[name]), angle_text(reached), target, within, left]
    return [f"{TITLES[name]}, °", *figures, sign_of(name, reached)]

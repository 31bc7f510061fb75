"""Shims put in and rods turned from a point's menu: each a step of the alignment's own change."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QMenu

from app.document.address import SIDES, Side, is_right
from app.document.ends import name_in_end
from app.document.point_names import point_words
from app.document.units import unit_of
from app.judge.adjuster_words import AtPoint, knobs_at, refusal, where_words
from app.judge.aligning_work import turned
from app.judge.alignment_words import length_texts
from app.session.session import Session
from geometry.errors import GeometryError

Sides = tuple[Side, ...]

_WAYS: Final = {  # what + and - are called
    "pack": ("One shim more", "One shim less"),
    "eccentric": ("{step} inboard", "{step} outboard"),
    "rod": ("Half a turn longer", "Half a turn shorter"),
}


def offer_adjusters(menu: QMenu, session: Session, key: str) -> None:
    """Add what can be adjusted at a point; nothing where nothing can."""
    for knob in knobs_at(session.history.value, key, session.units):
        own = menu.addMenu(_title(session, knob, "right" if is_right(key) else "left"))
        for words, sides, step in _choices(session, knob, key):
            why = refusal(session.history.value, knob, sides, step)
            action = own.addAction(f"{words} ({why})" if why else words)
            action.setEnabled(not why)
            action.triggered.connect(_turner(session, knob, key, words, sides, step))


def _choices(session: Session, knob: AtPoint, key: str) -> Iterator[tuple[str, Sides, float]]:
    """Yield words, wheels and step of all that can be done."""
    kind = "pack" if knob.is_pack else "rod" if knob.is_rod else "eccentric"
    step = _length(session, knob.step)
    side: Side = "right" if is_right(key) else "left"
    for sides, where in ((SIDES, "both wheels"), ((side,), f"{side} wheel alone")):
        for words, way in zip(_WAYS[kind], (1.0, -1.0), strict=True):
            size = f" ({step})" if kind == "pack" else ""
            yield f"{words.format(step=step)}{size}, {where}", tuple(sides), way * knob.step


def _title(session: Session, knob: AtPoint, side: Side) -> str:
    name = "Shims" if knob.is_pack else "Eccentric"
    if knob.is_rod:
        name = name_in_end(knob.key).replace("_", " ").capitalize()
    decimal = QLocale().decimalPoint()
    try:
        now = where_words(session.history.value, knob, side, session.units, decimal)
    except GeometryError:
        return name
    return f"{name}, {side} {now}"


def _length(session: Session, length: float) -> str:
    (text,) = length_texts((length,), session.units, QLocale().decimalPoint())
    return f"{text} {unit_of('length', session.units)}"


def _turner(
    session: Session, knob: AtPoint, key: str, words: str, sides: Sides, step: float
) -> Callable[..., None]:
    def turn(*_: object) -> None:
        before = session.history.value
        after = turned(before, knob.key, sides, step)
        where = "" if knob.is_rod else f" at {point_words(key, before.evidence)}"
        session.commit(after, f"{words[:1].lower()}{words[1:]}{where}")

    return turn

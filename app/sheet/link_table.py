"""The links of an axle: how long they are, bush to bush, before and after."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from typing import Final

from app.document.units import NO_VALUE, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, STRONG, TEXT
from app.paper.flow import Block, kept, spaced
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from geometry.links.axle import Link

ROW: Final = 5.4
SEEN: Final = 0.05  # a smaller difference is none [mm]
SAME: Final = "same link"


def link_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the table of links; nothing for an axle that hangs on none."""
    before, after = _links(study.measured), _links(study.proposed)
    if not before and not after:
        return []
    columns = _columns(paper)
    unit = unit_of("length", study.setup.units)
    rate = unit_of("spring rate", study.setup.units)
    one = not (study.changed and after)
    heads = ("", *(("", "length") if one else ("as found", "to fit")), "", f"bushes, {rate}")
    rows = [row(columns, [(head, FINE) for head in heads], 4.4)]
    for name in after or before:
        links = (None if one else before.get(name), (after or before).get(name))
        rows.append(row(columns, list(_cells(name, *links, one, study, decimal)), ROW))
    note = f"{unit} · bush to bush, unloaded"
    told = "Set links to length before they are fitted; tighten their bolts with the car at ride "
    told += "height. A line without a side is for left and right."
    if not after:
        return kept([heading("Links that come off", paper.margin, note, paper.right), *rows])
    body = [heading("Links", paper.margin, note, paper.right), *rows]
    return kept(body) + spaced(paragraph(told, paper.margin, paper.inner, SMALL), 0.8)


def _columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    return [
        Column(left, 50.0, "left"),
        Column(left + 78.0, 26.0),
        Column(left + 108.0, 28.0),
        Column(left + 113.0, 40.0, "left"),
        Column(right, 27.0),
    ]


def _links(car: RearAnswers) -> dict[str, Link]:
    """Return the links there are; a pair of one length as one."""
    if car.links is None:
        return {}
    links = {name: link for name, link in car.links.axle.links.items() if link is not None}
    found = dict(links)
    for pair in ("lower", "upper"):
        both = [links.get(f"{pair} {side} link") for side in ("left", "right")]
        if both[0] is None or both[1] is None or abs(_length(both[0]) - _length(both[1])) > SEEN:
            continue
        del found[f"{pair} left link"], found[f"{pair} right link"]
        found[f"{pair} links"] = both[0]
    return dict(sorted(found.items(), key=lambda item: _ORDER.index(item[0].partition(" ")[0])))


_ORDER: Final = ("lower", "upper", "lateral")


def _length(link: Link) -> float:
    return dist(link.body, link.axle) if link.length is None else link.length


def _cells(
    name: str,
    before: Link | None,
    after: Link | None,
    one: bool,
    study: Study[RearAnswers],
    decimal: str,
) -> Iterator[Cell]:
    units, link = study.setup.units, after or before
    was, now = (None if each is None else _length(each) for each in (before, after))
    moves = "" if one else _moves(was, now, study, decimal)
    face = STRONG if moves not in ("", SAME) else TEXT
    texts = [
        NO_VALUE if each is None else number_of(each, "length", units, decimal=decimal)
        for each in (was, now)
    ]
    yield f"{name[:1].upper()}{name[1:]}", face
    yield ("" if one else texts[0]), TEXT
    yield texts[1], face
    yield moves, SMALL_STRONG if face is STRONG else SMALL
    rate = 0.0 if link is None else link.rate
    yield number_of(rate, "spring rate", units, decimal=decimal, places=0), SMALL


def _moves(was: float | None, now: float | None, study: Study[RearAnswers], decimal: str) -> str:
    if now is None:
        return ""
    if was is None:
        return "new"
    if abs(now - was) <= SEEN:
        return SAME
    size = number_of(abs(now - was), "length", study.setup.units, decimal=decimal)
    return f"{size} {'longer' if now > was else 'shorter'}"

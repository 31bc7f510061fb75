"""The links of an axle as rows: how long they are, bush to bush, before and after. No Qt."""

from __future__ import annotations

from math import dist
from typing import Final, Literal

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from geometry.dataclass import dataclass
from geometry.links.axle import Link

SEEN: Final = 0.05  # a smaller difference is none [mm]
_ORDER: Final = ("lower", "upper", "lateral")

Fate = Literal["stays", "longer", "shorter", "new", "comes off"]


@dataclass(frozen=True)
class LinkRow:
    """A link, or a pair of one length: its length as found and as it is to be fitted [mm].

    None is a link that there isn't. `rate` is that of its bushes [N/mm].
    """

    name: str
    found: float | None
    fitted: float | None
    rate: float

    @property
    def fate(self) -> Fate:
        """The words on the change of its length."""
        if self.fitted is None:
            return "comes off"
        if self.found is None:
            return "new"
        if abs(self.fitted - self.found) <= SEEN:
            return "stays"
        return "longer" if self.fitted > self.found else "shorter"


def link_rows(study: Study[RearAnswers]) -> tuple[LinkRow, ...]:
    """Return the links of the proposed car; of the measured one where all of them come off."""
    before, after = _links(study.measured), _links(study.proposed)
    for pair in ("lower", "upper"):
        if all(_is_pair(links, pair) for links in (before, after) if links):
            before, after = (_as_one(links, pair) for links in (before, after))
    names = sorted(after or before, key=lambda name: _ORDER.index(name.partition(" ")[0]))
    return tuple(
        LinkRow(
            name, _length(before.get(name)), _length(after.get(name)), (after or before)[name].rate
        )
        for name in names
    )


def _links(car: RearAnswers) -> dict[str, Link]:
    if car.links is None:
        return {}
    return {name: link for name, link in car.links.axle.links.items() if link is not None}


def _is_pair(links: dict[str, Link], pair: str) -> bool:
    """Tell whether a left and a right link are as long as each other."""
    left, right = (links.get(f"{pair} {side} link") for side in ("left", "right"))
    return (
        left is not None and right is not None and abs(length_of(left) - length_of(right)) <= SEEN
    )


def _as_one(links: dict[str, Link], pair: str) -> dict[str, Link]:
    pair_names = {f"{pair} left link", f"{pair} right link"}
    left = links.get(f"{pair} left link")
    other_links = {name: link for name, link in links.items() if name not in pair_names}
    return other_links if left is None else {**other_links, f"{pair} links": left}


def _length(link: Link | None) -> float | None:
    return None if link is None else length_of(link)


def length_of(link: Link) -> float:
    """Return a link's length, unloaded [mm]."""
    return dist(link.body, link.axle) if link.length is None else link.length

"""Reading envelopes of parts, and how near two of them may come to each other."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from app.document.address import is_right
from app.document.checks import MISSING, did_you_mean, found_words
from app.document.clearances import (
    BOX,
    EDGE,
    KINDS,
    SIDES,
    TYRE,
    WIDEST_GAP,
    Clearance,
    Envelope,
    Place,
    can_stand,
    envelopes_by_name,
)
from app.document.ends import BODY, END, key_in, name_in_end
from app.document.keys import KEYS, is_point
from app.document.plan_pieces import CLEARANCE_FIELDS, ENVELOPE_FIELDS, EndReader
from app.document.toml_layout import Path

A_NAME: Final = 'text in quotes, as "tyre"'
TWO_NAMES: Final = 'names of two envelopes, as ["tyre", "rail"]'
ANOTHER_NAME: Final = "another name"
ANOTHER_PAIR: Final = "another pair"
ANOTHER_PLACE: Final = "another place"
OF_ONE_SIDE: Final = "two of one side"
_SIZES: Final = {
    "capsule": ("radius",),
    "cylinder": ("radius",),
    BOX: ("width", "height"),
    TYRE: (),
    EDGE: (),
}
_A: Final = {BOX: "a box", EDGE: "an edge"}
_OF_A_TYRE: Final = ("radius", "width")
_END: Final = "the name of a point, or [x, y, z]"
_LARGEST: Final = 2000.0  # radius, width or height of a part [mm]
_NO_LENGTH: Final = 1e-6  # mm between the ends of a cylinder or a box that are one place


class ClearanceReader(EndReader):
    """Reads envelopes and clearances of one end of the car."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.named: set[str] = set()  # the names of all envelopes, sound or not

    def envelopes(self) -> tuple[Envelope, ...]:
        """Return the envelopes of this end."""
        rows = self._rows("envelope")
        read = [self._envelope(path, row) for path, row in rows]
        return tuple(envelope for envelope in read if envelope is not None)

    def clearances(self, envelopes: tuple[Envelope, ...]) -> tuple[Clearance, ...]:
        """Return the clearances between envelopes of this end."""
        names = envelopes_by_name(self.end, envelopes, self.values)
        pairs: set[frozenset[str]] = set()
        read = [self._clearance(path, row, names, pairs) for path, row in self._rows("clearance")]
        return tuple(clearance for clearance in read if clearance is not None)

    def _rows(self, name: str) -> list[tuple[Path, dict[str, Any]]]:
        if name not in self.table:
            return []
        return self.check.tables((self.end, name), self.table[name])

    def _envelope(self, path: Path, row: Mapping[str, Any]) -> Envelope | None:
        before = len(self.check.faults)
        self.refuse_strange(path, row, ENVELOPE_FIELDS)
        name = self._name((*path, "name"), row.get("name"))
        kind = self._kind((*path, "kind"), row.get("kind"))
        side = self.check.choice((*path, "side"), row.get("side", SIDES[0]), SIDES)
        with_part = row.get("moves_with", BODY)
        part = self.check.choice((*path, "moves_with"), with_part, END[self.end].parts)
        if kind is None:
            return None
        sizes = self._sizes(path, row, kind)
        ends: list[str | Place | None] = ["", ""]
        if kind == TYRE:
            self._refuse(path, row, ("from", "to", "moves_with"), kind)
        else:
            ends = [self._end(path, row, each, kind) for each in ("from", "to")]
        start, finish = ends
        if start is None or finish is None or before != len(self.check.faults):
            return None
        envelope = Envelope(
            self.end,
            name or "",
            kind,
            start,
            finish,
            sizes.get("radius"),
            sizes.get("width"),
            sizes.get("height"),
            part or BODY,
            side or SIDES[0],
        )
        return envelope if self._is_sound(path, envelope, row) else None

    def _name(self, path: Path, raw: object) -> str | None:
        name = None if raw is None else self.check.text(path, raw)
        if raw is None or name == "":
            found = MISSING if raw is None else "found an empty text"
            self.check.fault(path, found, A_NAME)
        elif name in self.named:
            self.check.fault(path, f"there is already an envelope named {name}", ANOTHER_NAME)
        elif name is not None:
            self.named.add(name)
        return name

    def _kind(self, path: Path, raw: object) -> str | None:
        if raw is None:
            choices = " or ".join(f'"{kind}"' for kind in KINDS)
            self.check.fault(path, MISSING, choices)
            return None
        return self.check.choice(path, raw, KINDS)

    def _sizes(self, path: Path, row: Mapping[str, Any], kind: str) -> dict[str, float | None]:
        """Return radius, width and height, as far as this kind has them."""
        needed = _SIZES[kind]
        possible = _OF_A_TYRE if kind == TYRE else needed
        self._refuse(path, row, {"radius", "width", "height"} - set(possible), kind)
        for name in needed:
            if name not in row:
                words = f"a number{self.unit_words('length')}"
                self.check.fault((*path, name), MISSING, words)
        return {n: self._size((*path, n), row.get(n), _LARGEST) for n in possible}

    def _size(self, path: Path, raw: object, most: float) -> float | None:
        """Return a size above 0, None where it isn't given."""
        return None if raw is None else self.check.number(path, raw, "length", over=0.0, most=most)

    def _refuse(
        self, path: Path, row: Mapping[str, Any], names: Collection[str], kind: str
    ) -> None:
        for name in sorted(names & row.keys()):
            has = ("from", "to", *_SIZES[kind], "moves_with") if kind != TYRE else _OF_A_TYRE
            hint = f"It has {', '.join(has)}."
            what = _A.get(kind, f"a {kind}")
            self.check.fault((*path, name), f"{what} has no {name}", "", hint)

    def _end(self, path: Path, row: Mapping[str, Any], which: str, kind: str) -> str | Place | None:
        at, raw = (*path, which), row.get(which)
        if raw is None:
            self.check.fault(at, MISSING, _END)
            return None
        if isinstance(raw, list):
            return self.check.vector(at, raw, "length")
        if kind in (BOX, EDGE) and isinstance(raw, str):
            words = f"the ends of {_A[kind]} are coordinates, no points that a change may move"
            self.check.fault(at, words, "[x, y, z]")
            return None
        key = key_in(self.end, raw)
        if not isinstance(raw, str) or not is_point(key) or is_right(key):
            points = (k for k in KEYS if is_point(k) and not is_right(k))
            names = [*map(name_in_end, points)]
            hint = did_you_mean(raw, names) if isinstance(raw, str) else ""
            self.check.fault(at, f"{found_words(raw)} is no point", _END, hint)
            return None
        self.refuse_unmeasured(at, key)
        return key

    def _is_sound(self, path: Path, envelope: Envelope, row: Mapping[str, Any]) -> bool:
        """Tell whether an envelope can be drawn, noting what keeps it from that."""
        if not can_stand(envelope, self.values):
            words = f"a number{self.unit_words('length')}, here or as {self.end}.tyre_width"
            self.check.fault((*path, "width"), MISSING, words)
            return False
        places = (envelope.start, envelope.finish)
        if envelope.kind == TYRE:
            return True
        if "moves_with" in row and all(isinstance(place, str) for place in places):
            words = "both ends are points, which go with parts of their own"
            self.check.fault((*path, "moves_with"), words, "", "Leave moves_with out.")
            return False
        if envelope.kind != "capsule" and _are_one(*places):
            self.check.fault((*path, "to"), "both ends are the same place", ANOTHER_PLACE)
            return False
        return True

    def _clearance(
        self,
        path: Path,
        row: Mapping[str, Any],
        envelopes: Mapping[str, Envelope],
        pairs: set[frozenset[str]],
    ) -> Clearance | None:
        before = len(self.check.faults)
        self.refuse_strange(path, row, CLEARANCE_FIELDS)
        between = self._between((*path, "between"), row.get("between"), envelopes, pairs)
        at_least = self._size((*path, "at_least"), row.get("at_least"), WIDEST_GAP)
        by = self.check.text((*path, "by"), row.get("by", ""))
        if between is None or before != len(self.check.faults):
            return None
        return Clearance(self.end, between, at_least, by or "")

    def _between(
        self,
        path: Path,
        raw: object,
        envelopes: Mapping[str, Envelope],
        pairs: set[frozenset[str]],
    ) -> tuple[str, str] | None:
        if not isinstance(raw, list) or len(raw) != 2:
            found = MISSING if raw is None else f"found {found_words(raw)}"
            self.check.fault(path, found, TWO_NAMES)
            return None
        for place, name in enumerate(raw):
            if not isinstance(name, str) or name not in envelopes:
                if name not in self.named:  # else what is wrong with it was said
                    self._unknown((*path, place), name, envelopes)
                return None
        first, second = raw
        sides = {envelopes[name].side for name in (first, second)}
        if first == second:
            self.check.fault(path, "both are the same envelope", TWO_NAMES)
        elif frozenset(raw) in pairs:
            self.check.fault(path, "this pair has a clearance already", ANOTHER_PAIR)
        elif sides == {"left", "right"}:
            words = "one is on the left alone, the other on the right alone"
            self.check.fault(path, words, OF_ONE_SIDE)
        else:
            pairs.add(frozenset(raw))
            return first, second
        return None

    def _unknown(self, path: Path, name: object, envelopes: Mapping[str, Envelope]) -> None:
        hint = did_you_mean(name, envelopes) if isinstance(name, str) else ""
        if name == TYRE:
            width = key_in(self.end, "tyre_width")
            own = f"{width}, or " if width in KEYS else ""
            hint = f"Give {own}an envelope of kind tyre with its width."
        words = f"{found_words(name)} is no envelope of the {self.end}"
        self.check.fault(path, words, "an envelope's name", hint)


def _are_one(start: str | Place, finish: str | Place) -> bool:
    if isinstance(start, str) or isinstance(finish, str):
        return start == finish
    return all(abs(a - b) < _NO_LENGTH for a, b in zip(start, finish, strict=True))

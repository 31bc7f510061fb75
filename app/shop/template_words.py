"""What a template says in words: its plane, its datum, its figures, its cautions. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from math import dist, hypot
from typing import Final

from app.document.address import mirrored
from app.document.model import Units, Vec
from app.document.moves import subtract
from app.document.plain_text import upper_first
from app.document.units import number_of
from app.shop.hole_gaps import gap_words
from app.shop.template import EDGE, Hole, Template
from app.systems.holes import AS_OLD
from app.words.drilling import drill_words
from app.words.lengths import bench_length
from app.words.moves import said_move
from geometry.dataclass import dataclass

SEEN: Final = 0.05  # a smaller distance is none [mm]
ASIDE: Final = 0.3  # so is what a slanting plane makes of a move straight across [mm]
TURNED: Final = 0.05  # so is a smaller turn [degrees]
MEASURE: Final = "Measure this before drilling"
CAUTION: Final = (
    "Paper shrinks and stretches, and printers scale: mark the first hole from the car, by the "
    "figures here, lay the sheet by that mark, and measure from hole to hole before drilling. "
    "A new hole weakens metal. Which holes may be moved, and how the old ones are closed, is for "
    "the workshop manual, local law and, where one is required, a licensed engineer or inspector "
    "to say."
)
LEGEND: Final = (
    "Old centres and holes dashed, new ones solid; chain lines: level and upright through the "
    "first old centre."
)
NEW_MOUNTS: Final = (
    "How the metal of a new mount lies can't be known from the figures: the plane is the usual one "
    "(common practice); where it lies otherwise, only the figures hold. There is no old hole: mark "
    "the centre from the car by the figures, lay the cross on it, chain lines and arrows as they "
    "lie on the car. The long-dashed line from a cross points to the link's other end."
)
NEW_SIZE: Final = (
    "Size of the hole: that of the bush or bolt that is fitted; measure it. No distance to edges "
    "is stated."
)
SEAT: Final = "The cross is no hole but the middle of the coil's seat, where it bears."
THAT_SIDE: Final = "that side of the car"
OTHER_SHEET: Final[dict[str, str]] = {
    "old": "The new one has a sheet of its own; the long-dashed line points to it.",
    "new": "The long-dashed line points back to the old one: a string over both centres covers it.",
}
PIVOTS: Final = (
    "The crosses are pivot centres: where a shaft or a bracket is held by bolts of its own, their "
    "holes move as the crosses do."
)
BRACKET: Final = (
    "The crosses are no holes but the joint or pivot that the part carries: the holes of its "
    "bolts move as the crosses do. Whether they are drilled, slotted or packed is for "
    "whoever does the work to say."
)


@dataclass(frozen=True)
class TemplateWords:
    """The words of templates in the units of a file."""

    units: Units
    decimal: str = "."

    def size(self, length: float) -> str:
        """Return a length to work to, with its unit."""
        return bench_length(length, self.units, self.decimal)

    def old_hole(self, hole: Hole, is_apart: bool = False) -> str:
        """Name an old centre, with the distance to a new one that is on another sheet."""
        stays = " (stays)" if hole.stays else ""
        far = f": {self.size(hole.step)} to NEW" if is_apart and not hole.stays else ""
        return f"old{stays}{_named(hole)}{far}"

    def new_hole(self, hole: Hole) -> str:
        """Name a new centre, with its distance from the old one where there is one."""
        if hole.old is None:
            return f"NEW{_named(hole)}"
        return f"NEW{_named(hole)}: {self.size(hole.step)} from old"

    def axle(self) -> str:
        """Name the axle's centre beside a new mount."""
        return "axle's centre"

    def level_line(self, template: Template) -> str:
        """Name the line that runs to the right through the first centre."""
        if template.plane.is_from_above:
            kind = "new" if template.shows == "new" else "old"
            return f"{kind} pivot axis" if len(template.shown) == 2 else "along the car"
        return f"level, {self.size(template.datum[2])} above the ground"

    def upright_line(self, template: Template) -> str:
        """Name the line that runs up through the first centre."""
        first = template.datum
        if template.plane.lie == "across":
            return f"upright, {self.size(abs(first[1]))} from the car's centre line"
        what = "across the car" if template.plane.is_from_above else "upright"
        return f"{what}, {self._along(template, first)}"

    def _along(self, template: Template, place: Vec) -> str:
        """Say how far a place is from the centre line of its own axle, along the car."""
        step = place[0] - template.axle[0]
        if abs(step) < SEEN:
            return f"level with the {template.end} axle"
        way = "ahead of" if step >= 0.0 else "behind"
        return f"{self.size(abs(step))} {way} the {template.end} axle"

    def right_arrow(self, template: Template) -> tuple[str, float]:
        """Return the words of the level arrow and which way it points on paper, +1 right."""
        if template.plane.lie == "across":
            return "outboard", 1.0 if self._is_outboard_right(template) else -1.0
        return "forward", 1.0 if template.plane.right[0] > 0.0 else -1.0

    def up_arrow(self, template: Template) -> str:
        """Return the words of the arrow that points up on paper."""
        return "inboard" if template.plane.is_from_above else "up"

    def _is_outboard_right(self, template: Template) -> bool:
        return template.plane.right[1] * (1.0 if template.is_left else -1.0) > 0.0

    def paragraphs(self, template: Template) -> tuple[str, ...]:
        """Return what stands beside the drawing, a paragraph each."""
        common = (NEW_MOUNTS,) if template.is_new else ()
        return *self.own_paragraphs(template), *common, CAUTION

    def own_paragraphs(self, template: Template) -> tuple[str, ...]:
        """Return the same without what all templates of a page have in common."""
        if template.shows == "old":
            return self.plane(template), *self._figures(template), *self.apart(template)
        legend = "" if template.is_new or template.shows == "new" else f" {LEGEND}"
        return (
            self.plane(template) + legend,
            *self._figures(template),
            *(self.check(template) if template.shows == "both" else self.apart(template)),
            self.hole_size(template),
            *([] if template.within is None else [self.within(template.within)]),
            *self.metal_left(template),
            *self.run_together(template),
        )

    def _figures(self, template: Template) -> Iterator[str]:
        for hole in template.shown:
            yield self.figures(template, hole)

    def apart(self, template: Template) -> Iterator[str]:
        """Yield what is measured between old and new centres that have sheets of their own."""
        moved = [hole for hole in template.holes if not hole.stays]
        for hole in moved:
            straight = f"{self.size(hole.straight)} straight from centre to centre"
            in_plane = self.size(hole.step)
            if in_plane != self.size(hole.straight):
                straight += f", {in_plane} of it in this plane"
            yield f"Old to new{_named(hole)}: {straight}. {OTHER_SHEET[template.shows]}"
        if len(template.holes) == 2:
            yield f"Across: {'; '.join(self._across(template))}."

    def _across(self, template: Template) -> Iterator[str]:
        """Yield the distances of a pair by which a trammel finds each new centre."""
        front, rear = template.holes
        yield f"old centres {self.size(dist(front.first, rear.first))} apart"
        yield f"new {self.size(dist(front.new, rear.new))} apart"
        for hole, other in ((front, rear), (rear, front)):
            if not hole.stays:
                far = self.size(dist(hole.new, other.first))
                yield f"new{_named(hole)} {far} from old{_named(other)}"

    def within(self, within: float) -> str:
        """Say how far the holes may be off [mm]."""
        return drill_words(within, self.units, self.decimal)

    def plane(self, template: Template) -> str:
        """Say in which plane the template lies, from where it is seen and how it is laid on."""
        plane = template.plane
        seen = f"seen from the car's {'left' if template.is_left else 'right'}"
        match plane.lie:
            case "lengthwise":
                words = f"Upright plane along the car, {seen}."
            case "along the pivots":
                turn = number_of_degrees(plane.yaw, self.decimal)
                turned = f", turned {turn} from the car's centre line," if turn else ","
                words = f"Upright plane through the old pivot axis{turned} {seen}."
            case "across":
                words = f"Upright plane across the car, seen from the {template.end}."
            case "level":
                words = "Level plane, seen from above."
            case _:
                lean = number_of_degrees(plane.lean, self.decimal)
                words = f"Plane through old and new pivots, {lean} from upright, {seen}."
        if template.is_new:
            return words
        level = "" if plane.is_from_above else ", the chain line level"
        way = self.right_arrow(template)[0]
        if template.shows == "new":
            centres = "the cross on the new centre as marked by the figures"
            if len(template.shown) > 1:
                centres = "the crosses on the new centres as marked by the figures"
        elif len(template.shown) > 1:
            centres = "the old crosses on the old centres"
        else:
            centres = "the old cross on the old centre"
        return f"{words} Lay {centres}{level}, the arrow {way}."

    def figures(self, template: Template, hole: Hole) -> str:
        """Say where a hole is and shall be, and what of its move no template shows."""
        name = upper_first(hole.name) or "Centre"
        new = self._place(template, hole, hole.new)
        if hole.old is None:
            return f"{name}, new, as found: {new}{self._from_axle(template, hole.new)}."
        if template.shows == "new":
            return f"{name}, new at {new}."
        words = f"{name}, old at {self._place(template, hole, hole.old)}"
        move = self._move(hole, subtract(hole.new, hole.old))
        if not move:
            return f"{words}; stays."
        words += f"; new at {new}: {move}."
        off = self._move(hole, hole.off, ASIDE)
        if off:
            words += f" Of that {off} is out of this plane: shims, a spacer or the bracket."
        return words

    def _from_axle(self, template: Template, place: Vec) -> str:
        """Say how high a new mount near the axle is from the axle's centre line."""
        if not template.is_near_axle:
            return ""
        up = place[2] - template.axle[2]
        return f"; {self.size(abs(up))} {'above' if up >= 0.0 else 'below'} the axle's centre line"

    def _place(self, template: Template, hole: Hole, place: Vec) -> str:
        _, y, z = place
        across = f"{self.size(abs(y))} from the car's centre line"
        if template.side is None and abs(y) >= SEEN:
            across += f", on its {'left' if y > 0.0 else 'right'}"
        if y * hole.first[1] < 0.0 and abs(y) >= SEEN:
            side = "left" if y > 0.0 else "right"
            across = f"{self.size(abs(y))} past the car's centre line, on its {side}"
        return f"{self._along(template, place)}, {across}, {self.size(z)} above the ground"

    def _move(self, hole: Hole, move: Vec, least: float = SEEN) -> str:
        left = mirrored(move) if hole.first[1] < 0.0 else move
        return said_move(left, self.size, lambda step: abs(step) >= least)

    def check(self, template: Template) -> Iterator[str]:
        """Yield the distances that are measured on the car, of a pair on the sheet too."""
        if template.is_new:
            yield from self._to_far_end(template)
        if len(template.holes) < 2:
            return
        front, rear = template.holes
        olds, news = dist(front.first_at, rear.first_at), dist(front.new_at, rear.new_at)
        parts = [f"old centres {self.size(olds)} apart", f"new {self.size(news)} apart"]
        parts += [
            f"old to new{_named(hole)} {self.size(hole.step)}"
            for hole in template.holes
            if not hole.stays
        ]
        yield f"To measure, on the sheet and on the car: {'; '.join(parts)}."

    def _to_far_end(self, template: Template) -> Iterator[str]:
        """Yield where the other end of a new link is, and how long the link is between centres."""
        if template.far_end is None:
            return
        new = template.holes[0].new
        step = subtract(template.far_end, new)
        own = mirrored(step) if new[1] < 0.0 else step
        way = said_move(own, self.size, lambda part: abs(part) >= SEEN)
        if template.far_end[1] * new[1] < 0.0:
            way = way.replace("inboard", f"to the car's {'right' if new[1] > 0.0 else 'left'}")
        yield (f"The link's other end is {way}: {self.size(hypot(*step))} from centre to centre.")

    def hole_size(self, template: Template) -> str:
        """Say how large the hole is and what to keep clear, or that it isn't known."""
        if template.is_new:
            return self._new_size(template)
        if not template.is_hole:
            return BRACKET
        if template.diameter is None or template.edge is None:
            return f"{AS_OLD} Centres only, and no distance to edges is stated. {PIVOTS}"
        return (
            f"Hole {self.size(template.diameter)}, as given for the front arms' pivots: measure "
            "the bolt. From its centre at least "
            f"{self.size(template.edge)}, {EDGE:g} diameters, to any edge or other hole (dashed "
            f"ring; common practice). {PIVOTS}"
        )

    def _new_size(self, template: Template) -> str:
        """Say for which bolt a new mount is, or that it isn't known; a coil's seat has none."""
        if not template.is_hole:
            return SEAT
        if template.diameter is None or template.edge is None:
            return NEW_SIZE
        return (
            f"Hole for the links' bolts: {self.size(template.diameter)}; measure the bolt. "
            f"{self.size(template.edge)} or more (dashed ring) to any edge or other hole."
        )

    def metal_left(self, template: Template) -> Iterator[str]:
        """Say how much metal new holes leave to the old ones and to stated edges."""
        words = gap_words(template, self.units, self.decimal)
        if words:
            yield words

    def run_together(self, template: Template) -> Iterator[str]:
        """Say where the old hole is too near to the new one."""
        if template.diameter is None or template.edge is None or template.is_new:
            return
        least = template.edge - SEEN
        near = [hole for hole in template.holes if not hole.stays and hole.step < least]
        if not near:
            return
        meet = any(hole.step < template.diameter for hole in near)
        what = "run into each other" if meet else "are nearer to each other than that"
        yield f"Old and new hole {what}: the old one must be closed first, as the manual allows."


def both_sides(left: Sequence[str], right: Sequence[str]) -> Iterator[str]:
    """Yield the paragraphs of a mount's two templates: those that are alike once."""
    for one, other in zip_longest(left, right, fillvalue=""):
        alike = one.replace("the car's left", THAT_SIDE)
        if alike == other.replace("the car's right", THAT_SIDE):
            yield alike
        else:
            yield from (
                f"{side}: {text}" for side, text in (("Left", one), ("Right", other)) if text
            )


def number_of_degrees(turn: float, decimal: str) -> str:
    """Return an angle in words, empty where it is none."""
    if abs(turn) < TURNED:
        return ""
    return f"{number_of(turn, 'plain', 'mm', decimal=decimal, places=1)}°"


def _named(hole: Hole) -> str:
    return f", {hole.name}" if hole.name else ""

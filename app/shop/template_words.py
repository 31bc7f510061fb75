"""What a template says in words: its plane, its datum, its figures, its cautions. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from typing import Final

from app.document.address import mirrored
from app.document.model import Units, Vec
from app.document.moves import subtract
from app.document.plain_text import upper_first
from app.document.units import number_of
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

    def old_hole(self, hole: Hole) -> str:
        """Name an old centre."""
        stays = " (stays)" if hole.stays else ""
        return f"old{stays}{_named(hole)}"

    def new_hole(self, hole: Hole) -> str:
        """Name a new centre, with its distance from the old one."""
        return f"NEW{_named(hole)}: {self.size(hole.step)} from old"

    def level_line(self, template: Template) -> str:
        """Name the line that runs to the right through the first old centre."""
        if template.plane.is_from_above:
            return "old pivot axis" if len(template.holes) == 2 else "along the car"
        return f"level, {self.size(template.holes[0].old[2])} above the ground"

    def upright_line(self, template: Template) -> str:
        """Name the line that runs up through the first old centre."""
        x, y, _ = template.holes[0].old
        if template.plane.lie == "across":
            return f"upright, {self.size(abs(y))} from the car's centre line"
        way = "ahead of" if x >= 0.0 else "behind"
        what = "across the car" if template.plane.is_from_above else "upright"
        return f"{what}, {self.size(abs(x))} {way} the front axle"

    def right_arrow(self, template: Template) -> tuple[str, float]:
        """Return the words of the level arrow and which way it points on paper, +1 right."""
        if template.plane.lie == "across":
            return "outboard", 1.0 if self._is_outboard_right(template) else -1.0
        return "forward", 1.0 if template.plane.right[0] > 0.0 else -1.0

    def up_arrow(self, template: Template) -> str:
        """Return the words of the arrow that points up on paper."""
        return "inboard" if template.plane.is_from_above else "up"

    def _is_outboard_right(self, template: Template) -> bool:
        y = template.holes[0].old[1]
        return template.plane.right[1] * (1.0 if y >= 0.0 else -1.0) > 0.0

    def paragraphs(self, template: Template) -> tuple[str, ...]:
        """Return what stands beside the drawing, a paragraph each."""
        return (
            f"{self.plane(template)} {LEGEND}",
            *(self.figures(hole) for hole in template.holes),
            self.check(template),
            self.hole_size(template),
            *([] if template.within is None else [self.within(template.within)]),
            *self.run_together(template),
            CAUTION,
        )

    def within(self, within: float) -> str:
        """Say how far the holes may be off [mm]."""
        return drill_words(within, self.units, self.decimal)

    def plane(self, template: Template) -> str:
        """Say in which plane the template lies, from where it is seen and how it is laid on."""
        plane = template.plane
        seen = f"seen from the car's {'left' if template.holes[0].old[1] >= 0.0 else 'right'}"
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
        centres = "cross on the old centre"
        if len(template.holes) > 1:
            centres = "crosses on the old centres"
        level = "" if plane.is_from_above else ", the chain line level"
        way = self.right_arrow(template)[0]
        return f"{words} Lay the old {centres}{level}, the arrow {way}."

    def figures(self, hole: Hole) -> str:
        """Say where a hole is and shall be, and what of its move no template shows."""
        name = upper_first(hole.name) or "Centre"
        words = f"{name}, old at {self._place(hole, hole.old)}"
        move = self._move(hole, subtract(hole.new, hole.old))
        if not move:
            return f"{words}; stays."
        words += f"; new at {self._place(hole, hole.new)}: {move}."
        off = self._move(hole, hole.off, ASIDE)
        if off:
            words += f" Of that {off} is out of this plane: shims, a spacer or the bracket."
        return words

    def _place(self, hole: Hole, place: Vec) -> str:
        x, y, z = place
        way = "ahead of" if x >= 0.0 else "behind"
        across = f"{self.size(abs(y))} from the car's centre line"
        if y * hole.old[1] < 0.0 and abs(y) >= SEEN:
            side = "left" if y > 0.0 else "right"
            across = f"{self.size(abs(y))} past the car's centre line, on its {side}"
        return (
            f"{self.size(abs(x))} {way} the front axle, {across}, {self.size(z)} above the ground"
        )

    def _move(self, hole: Hole, move: Vec, least: float = SEEN) -> str:
        left = mirrored(move) if hole.old[1] < 0.0 else move
        return said_move(left, self.size, lambda step: abs(step) >= least)

    def check(self, template: Template) -> str:
        """Return the distances that are measured on the car and on the sheet."""
        parts = []
        if len(template.holes) == 2:
            front, rear = template.holes
            olds, news = dist(front.old_at, rear.old_at), dist(front.new_at, rear.new_at)
            parts = [f"old centres {self.size(olds)} apart", f"new {self.size(news)} apart"]
        parts += [
            f"old to new{_named(hole)} {self.size(hole.step)}"
            for hole in template.holes
            if not hole.stays
        ]
        return f"To measure, on the sheet and on the car: {'; '.join(parts)}."

    def hole_size(self, template: Template) -> str:
        """Say how large the hole is and what to keep clear, or that it isn't known."""
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

    def run_together(self, template: Template) -> Iterator[str]:
        """Say where the old hole is too near to the new one."""
        if template.diameter is None or template.edge is None:
            return
        least = template.edge - SEEN
        near = [hole for hole in template.holes if not hole.stays and hole.step < least]
        if not near:
            return
        meet = any(hole.step < template.diameter for hole in near)
        what = "run into each other" if meet else "are nearer to each other than that"
        yield f"Old and new hole {what}: the old one must be closed first, as the manual allows."


def number_of_degrees(turn: float, decimal: str) -> str:
    """Return an angle in words, empty where it is none."""
    if abs(turn) < TURNED:
        return ""
    return f"{number_of(turn, 'plain', 'mm', decimal=decimal, places=1)}°"


def _named(hole: Hole) -> str:
    return f", {hole.name}" if hole.name else ""

"""The pack drawn as a stack on the bench: lengths to scale, thicknesses larger, front at right."""

from __future__ import annotations

from math import sqrt
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.document.ends import ENDS
from app.document.model import Leaf
from app.document.moves import proposed_settings
from app.document.units import number_of
from app.paint.palette import PALETTES, Inks
from app.panels.bench.pack_table import PackModel
from app.panels.figures import decimal_sign
from app.panels.writing import Faces, Writing
from app.qt.border import fenced
from app.session.session import Session
from app.systems.rear.pack_edits import Leaves
from geometry.dataclass import dataclass

SIDE: Final = 30  # free paper at each end [px]
GAP: Final = 3.0  # between leaves that touch [px]
HELPER_GAP: Final = 10.0  # above a helper [px]
THICK: Final = (6.0, 15.0)  # least and most that the thickest leaf is drawn [px]
LOW: Final = 420  # a page no higher than this gets a flat stack [px]
EYE: Final = 6.0  # radius of an eye [px]
ENDS_SHOWN: Final = ENDS[::-1]  # of the car, at the left and at the right
TAPER_STEPS: Final = 12


@dataclass(frozen=True)
class Place:
    """Where a leaf is drawn: its box from tip to tip, the bolt's x in it."""

    box: QRectF
    bolt: float


@fenced
class PackStack(QWidget):
    """The drawing; a click chooses a leaf."""

    leaf_chosen = Signal(int)

    def __init__(self, session: Session, pack: PackModel) -> None:
        super().__init__()
        self.session, self.pack = session, pack
        self.inks: Inks = PALETTES["light"]
        self.faces = Faces()
        self.leaf = 0
        self.page_height = 600
        self.setAccessibleName("The pack, drawn")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(160)
        pack.modelReset.connect(self._follow)
        pack.dataChanged.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        self.setFixedHeight(self.sizeHint().height())
        self.update()

    def take_inks(self, inks: Inks) -> None:
        """Draw in other inks."""
        self.inks = inks
        self.update()

    def suit(self, page_height: int) -> None:
        """Draw the stack flat on a low page, so that its table is in view with it."""
        self.page_height = page_height
        self._follow()

    def choose(self, leaf: int) -> None:
        """Show a leaf as chosen."""
        self.leaf = leaf
        self.update()

    # Where things are

    @property
    def scale(self) -> float:
        """Return the pixels to a millimetre of length."""
        packs = (self.pack.leaves, self.pack.measured)
        longest = [max(x.front for x in p) + max(x.rear for x in p) for p in packs if p]
        return (self.width() - 2 * SIDE) / max(longest, default=1000.0)

    @property
    def thickness_scale(self) -> float:
        """Return the pixels to a millimetre of thickness."""
        leaves = self.pack.leaves
        thickest = max((leaf.thickness for leaf in leaves), default=6.0)
        room = 120.0 if self.page_height > LOW else 60.0
        scale = (room - GAP * len(leaves)) / max(sum(x.thickness for x in leaves), 1.0)
        low, high = (size / thickest for size in THICK)
        return min(max(scale, low), high)

    @property
    def bolt(self) -> float:
        """Return where the centre bolt stands."""
        packs = (self.pack.leaves, self.pack.measured)
        rear = max((max(x.rear for x in p) for p in packs if p), default=500.0)
        return SIDE + rear * self.scale

    def places(self, leaves: Leaves) -> list[Place]:
        """Return where each leaf of a pack is drawn, the main leaf on top."""
        top, stack_places = self._top(), []
        for leaf in leaves:
            top += HELPER_GAP - GAP if leaf.contact is not None else 0.0
            high = leaf.thickness * self.thickness_scale
            left = self.bolt - leaf.rear * self.scale
            wide = (leaf.rear + leaf.front) * self.scale
            stack_places.append(Place(QRectF(left, top, wide, high), self.bolt))
            top += high + GAP
        return stack_places

    def _top(self) -> float:
        return 2.0 * self.faces.small_line + 2 * EYE

    def leaf_at(self, spot: QPointF) -> int | None:
        """Return the leaf under a place."""
        for index, place in enumerate(self.places(self.pack.leaves)):
            if place.box.adjusted(-4, -GAP / 2, 4, GAP / 2).contains(spot):
                return index
        return None

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the clamp, the leaves, the bolt, and the chosen leaf's lengths."""
        leaves = self.pack.leaves
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self.inks.colour("paper"))
            if not leaves:
                return
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            places, words = self.places(leaves), Writing(self.faces)
            self._paint_clamp(painter, places)
            self._paint_measured(painter)
            for index, (leaf, place) in enumerate(zip(leaves, places, strict=True)):
                self._paint_leaf(painter, index, leaf, place)
            self._paint_eyes(painter, places[0])
            self._paint_bolt(painter, places)
            self._write(words, leaves, places)
            words.write(painter, self.inks)

    def _paint_clamp(self, painter: QPainter, places: list[Place]) -> None:
        clamp = proposed_settings(self.session.setup).get("rear.pack.clamp_length")
        if not isinstance(clamp, float) or not clamp:
            return
        half = clamp / 2 * self.scale
        top, bottom = places[0].box.top() - 4, places[-1].box.bottom() + 4
        painter.fillRect(
            QRectF(self.bolt - half, top, 2 * half, bottom - top), self.inks.colour("grid_heavy")
        )

    def _paint_measured(self, painter: QPainter) -> None:
        """Outline the measured leaves that the proposal changes."""
        measured, leaves = self.pack.measured, self.pack.leaves
        if measured == leaves or len(measured) != len(leaves):
            return
        pen = QPen(self.inks.colour("second"), 1.2)
        pen.setDashPattern([5.0, 3.0])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        places = zip(self.places(leaves), measured, leaves, strict=True)
        for place, was, now in places:
            if (was.front, was.rear) != (now.front, now.rear):
                left = self.bolt - was.rear * self.scale
                wide = (was.front + was.rear) * self.scale
                painter.drawRect(QRectF(left, place.box.top(), wide, place.box.height()))

    def _paint_leaf(self, painter: QPainter, index: int, leaf: Leaf, place: Place) -> None:
        chosen = index == self.leaf
        painter.setPen(QPen(self.inks.colour("ink"), 2.2 if chosen else 1.2))
        painter.setBrush(self.inks.colour("grid_heavy" if chosen else "wash"))
        painter.drawPolygon(_outline(leaf, place))
        if leaf.clipped and index:
            self._paint_clips(painter, place)

    def _paint_clips(self, painter: QPainter, place: Place) -> None:
        """Draw the clips near a leaf's tips: brackets up to the main leaf."""
        top = self._top() - 3
        painter.setPen(QPen(self.inks.colour("ink"), 1.6))
        for x in (place.box.left() + 7, place.box.right() - 7):
            low = place.box.bottom() + 3
            painter.drawPolyline(
                QPolygonF(
                    [
                        QPointF(x - 3, top),
                        QPointF(x - 3, low),
                        QPointF(x + 3, low),
                        QPointF(x + 3, top),
                    ]
                )
            )

    def _paint_eyes(self, painter: QPainter, main: Place) -> None:
        values = proposed_settings(self.session.setup)
        painter.setPen(QPen(self.inks.colour("ink"), 2))
        painter.setBrush(self.inks.colour("paper"))
        ends = (("rear.pack.rear_eye", main.box.left()), ("rear.pack.front_eye", main.box.right()))
        for key, x in ends:
            rolled = values.get(key)
            y = main.box.top() - EYE + 1
            y = main.box.bottom() + EYE - 1 if rolled == "downturned" else y
            y = main.box.center().y() if rolled == "central" else y
            painter.drawEllipse(QPointF(x, y), EYE, EYE)

    def _paint_bolt(self, painter: QPainter, places: list[Place]) -> None:
        pen = QPen(self.inks.colour("second"), 1)
        pen.setDashPattern([10.0, 3.0, 2.0, 3.0])
        painter.setPen(pen)
        top, bottom = places[0].box.top() - 14, places[-1].box.bottom() + 10
        painter.drawLine(QPointF(self.bolt, top), QPointF(self.bolt, bottom))

    def _write(self, words: Writing, leaves: Leaves, places: list[Place]) -> None:
        line = self.faces.small_line
        words.put("small", "second", 6, line, ENDS_SHOWN[0])
        words.put_right("small", "second", self.width() - 6, line, ENDS_SHOWN[1])
        low = int(places[-1].box.bottom()) + line + 6
        scale = f"thickness drawn ×{self.thickness_scale / self.scale:.0f}"
        words.put("small", "second", 6, low, scale)
        if self.leaf < len(leaves):
            self._write_chosen(words, leaves[self.leaf], places[self.leaf])

    def _write_chosen(self, words: Writing, leaf: Leaf, place: Place) -> None:
        """Write the chosen leaf's name and lengths in a row above the stack."""
        units, line = self.session.units, self.faces.small_line
        numbers = [
            number_of(value, "length", units, decimal=decimal_sign())
            for value in (leaf.rear, leaf.front, leaf.thickness)
        ]
        name = "main leaf" if self.leaf == 0 else f"leaf {self.leaf + 1}"
        side = 12 + max(map(self._small_width, ENDS_SHOWN))
        choices = (
            f"{numbers[0]} ← {name}, {numbers[2]} {units} thick → {numbers[1]}",
            f"{numbers[0]} ← {name} → {numbers[1]}",
            name,
        )
        room = self.width() - 2 * side
        fitting = (text for text in choices if self.faces.width("small bold", text) <= room)
        text = next(fitting, "")  # narrower, the table alone tells which leaf is chosen
        wide = self.faces.width("small bold", text)
        left = min(max(int(place.bolt) - wide // 2, side), self.width() - side - wide)
        words.put("small bold", "ink", left, line, text)

    def _small_width(self, text: str) -> int:
        return self.faces.width("small", text)

    # The hand

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a leaf."""
        leaf = self.leaf_at(event.position())
        if leaf is not None:
            self.leaf_chosen.emit(leaf)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stop the mouse release from reaching the page."""
        event.accept()

    def sizeHint(self) -> QSize:
        """Return the room of the stack and its words."""
        places = self.places(self.pack.leaves)
        bottom = places[-1].box.bottom() if places else 40.0
        return QSize(320, int(bottom + self.faces.small_line + 14))


def _outline(leaf: Leaf, place: Place) -> QPolygonF:
    """Return a leaf's outline: a bar, or one that thins with the root of the way to the tip."""
    box = place.box
    if leaf.taper != "parabolic":
        return QPolygonF([box.topLeft(), box.topRight(), box.bottomRight(), box.bottomLeft()])
    points = [box.topLeft(), box.topRight()]
    shares = [step / TAPER_STEPS for step in range(TAPER_STEPS + 1)]
    for end, way in ((box.right(), -1.0), (box.left(), 1.0)):
        long = abs(place.bolt - end)
        steps = shares if way < 0 else shares[::-1]
        points += [
            QPointF(end + way * share * long, box.top() + max(sqrt(share), 0.12) * box.height())
            for share in steps
        ]
    return QPolygonF(points)

"""A sheet of drafting paper with a drawing on it: painting, panning, zooming, fitting."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPixmap, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from app.board.cards import (
    banner_box,
    paint_banner,
    paint_empty,
    paint_note,
    paint_title,
    title_box,
)
from app.board.hit_test import Aim, Item
from app.drawing.labels import looking_again
from app.drawing.shapes import Area
from app.drawing.stops import sign_place
from app.drawing.strokes import Bounds, Drawing, Handle, Stop
from app.drawing.views import Frame, View, centred_frame, fitting_scale
from app.paint.grid import BOTTOM_MARGIN, LEFT_MARGIN, Units, paint_grid
from app.paint.handles import Attention
from app.paint.lettering import screen_lettering
from app.paint.painter import Medium, paint_drawing
from app.paint.palette import PALETTES
from app.paint.stops import paint_stops
from app.qt.border import fenced

FIT_MARGIN: Final = (34.0, 40.0)  # free paper beside and above a fitted drawing [px]
SCALES: Final = (0.02, 40.0)  # [px/mm]
CHECKED: Final = 4  # every so many drawings labels are checked; between, they stay in their slots
LOOK_AGAIN: Final = 12  # drawings after which labels without good room look for some
REST: Final = 60  # ms after the last drawing labels are checked in any case
START: Final = Frame(0.5, 200.0, 400.0)


@fenced
class Canvas(QWidget):
    """The paper of one view; the drawing is set from outside, the visible part by the view."""

    view_changed = Signal(object)  # Frame

    def __init__(self, view: View, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.view = view
        self.title = view.title
        self.frame = START
        self.fitter: Callable[[], None] = self.fit_alone
        self.drawing = Drawing()
        self.aim = Aim(self.drawing)
        self.attention = Attention()
        self.is_fitted = True
        self._units: Units = "mm"
        self._medium = Medium(PALETTES["light"], screen_lettering(), on_screen=True)
        self._faded = Medium(PALETTES["light"].faded(), self._medium.lettering, on_screen=True)
        self._slots: Mapping[str, int] = {}
        self._drawings_since_look = 0  # drawings since labels last looked for better places
        self._turn = list(View).index(view) % CHECKED  # sibling views check in frames of their own
        self._check = QTimer(self, singleShot=True, interval=REST)
        self._check.timeout.connect(self._check_labels)
        self._at_rest = True  # the next drawing has time to disentangle its labels
        self._ground: tuple[object, QPixmap] | None = None
        self._unreachable = self._note = self._held_note = ""
        self.dropped: str | None = None  # what was just dragged: its note would hide where it went

    # What is shown

    def set_drawing(self, drawing: Drawing) -> None:
        """Show a drawing; the first one is fitted to the paper."""
        first = self.drawing.bounds is None and drawing.bounds is not None
        self.drawing, self.aim = drawing, Aim(drawing)
        if first:
            self.fit()
        self.update()

    def clear(self) -> None:
        """Show nothing; the next drawing is fitted to the paper."""
        self.drawing, self._slots, self.is_fitted = Drawing(), {}, True
        self.aim = Aim(self.drawing)
        self.update()

    def set_title(self, title: str) -> None:
        """Name the view on its paper, and for who can't see it."""
        self.title = title
        self.setAccessibleName(title)
        self.update()

    def set_selection(self, keys: Iterable[str]) -> None:
        """Show which points are selected."""
        self._attend(Attention(frozenset(keys), self.attention.hovered, self.attention.focused))

    def set_palette_name(self, name: str) -> None:
        """Take the inks "light", "dark" or "print"."""
        inks = PALETTES[name]
        self._medium = Medium(inks, self._medium.lettering, on_screen=True)
        self._faded = Medium(inks.faded(), self._medium.lettering, on_screen=True)
        self.update()

    def set_units(self, units: Units) -> None:
        """Rule the paper in millimetres or inches."""
        self._units = units
        self.update()

    def set_unreachable(self, text: str) -> None:
        """Grey the drawing and say why it no longer holds; an empty text ends that."""
        if text != self._unreachable:
            self._unreachable = text
            self.forget_slots()  # the banner pushed labels away, or will

    def set_note(self, text: str) -> None:
        """Show a note beside the point under the pointer; an empty text ends that."""
        self._note = text
        self.update()

    def set_held_note(self, text: str) -> None:
        """Show a note beside what is being dragged; an empty text ends that."""
        if text != self._held_note:
            self._held_note = text
            self.update()

    def forget_slots(self) -> None:
        """Place all labels anew, as after a drag."""
        self._slots = {}
        self.update()

    def _check_labels(self) -> None:
        self._look_again()
        self._at_rest = True
        self.update()

    def _look_again(self) -> None:
        """Have the next drawing check all labels and look for room for those that have none."""
        self._slots, self._drawings_since_look = looking_again(self._slots), 0

    def _attend(self, attention: Attention) -> None:
        if attention != self.attention:
            self.attention = attention
            self.update()

    # Where it looks

    def show_frame(self, frame: Frame) -> None:
        """Look at another part of the paper; tells the sibling views."""
        if frame != self.frame:
            if frame.scale != self.frame.scale:
                self._slots = {}
            self.frame = frame
            self.update()
            self.view_changed.emit(frame)

    def pan(self, dx: float, dy: float) -> None:
        """Push the paper by pixels."""
        self.is_fitted = False
        self.show_frame(self.frame.moved(dx, dy))

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom about a pixel, or about the middle."""
        at = self.paper_area().center() if at is None else at
        low, high = SCALES
        factor = min(max(factor, low / self.frame.scale), high / self.frame.scale)
        self.is_fitted = False
        self.show_frame(self.frame.zoomed(factor, at.x(), at.y()))

    def fit(self) -> None:
        """Show the whole drawing, in step with the sibling views."""
        self.is_fitted = True
        self.fitter()

    def fit_alone(self) -> None:
        """Show the whole drawing in this view."""
        if self.drawing.bounds is not None:
            self.show_frame(self.centred(self.drawing.bounds, self.fit_scale()))

    def fit_scale(self) -> float:
        """Return the scale at which the whole drawing fits."""
        area, (beside, above) = self.paper_area(), FIT_MARGIN
        width, height = area.width() - 2 * beside, area.height() - 2 * above
        bounds = self.drawing.bounds or Bounds(0, 0, 1, 1)
        return min(max(fitting_scale(bounds, width, height), SCALES[0]), SCALES[1])

    def centred(self, bounds: Bounds, scale: float) -> Frame:
        """Return the frame with the bounds in the middle of the paper."""
        area = self.paper_area()
        frame = centred_frame(bounds, scale, area.width(), area.height())
        return frame.moved(area.left(), area.top())

    def paper_area(self) -> QRectF:
        """Return the part of the widget that the drawing may use."""
        return QRectF(self.rect()).adjusted(LEFT_MARGIN, 0, 0, -BOTTOM_MARGIN)

    def sizeHint(self) -> QSize:
        """Return a comfortable size."""
        return QSize(520, 420)

    def minimumSizeHint(self) -> QSize:
        """Return the least size at which a drawing can be read."""
        return QSize(160, 130)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep a fitted drawing fitted, and the middle of any other where it was."""
        if self.is_fitted:
            self.fitter()
        elif event.oldSize().isValid():
            grown = event.size() - event.oldSize()
            self.show_frame(self.frame.moved(grown.width() / 2, grown.height() / 2))

    def showEvent(self, event: QShowEvent) -> None:
        """Fit what was set before the size was known."""
        if self.is_fitted:
            self.fitter()
        super().showEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Take the desktop's new font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange):
            lettering = screen_lettering()
            self._medium = Medium(self._medium.inks, lettering, on_screen=True)
            self._faded = Medium(self._faded.inks, lettering, on_screen=True)
        super().changeEvent(event)

    def is_dragging(self) -> bool:
        """Tell whether something of the drawing is being dragged."""
        return False

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint ruled paper, drawing, words about it, and the ring of the keyboard's focus."""
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._ruled_paper())
            self._paint_drawing(painter)
            self._paint_words(painter)
            if self.hasFocus():
                self._paint_focus(painter)

    def _ruled_paper(self) -> QPixmap:
        """Return the grid, kept until size, zoom, inks, units or screen change."""
        medium, ratio = self._medium, self.devicePixelRatioF()
        state = (self.size(), self.frame, medium, self._units, ratio, self.title)
        if self._ground is None or self._ground[0] != state:
            pixmap = QPixmap(self.size() * ratio)
            pixmap.setDevicePixelRatio(ratio)
            size = self.width(), self.height()
            with QPainter(pixmap) as painter:
                painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
                paint_grid(painter, self.frame, size, medium.inks, medium.lettering, self._units)
            self._ground = state, pixmap
        return self._ground[1]

    def _paint_drawing(self, painter: QPainter) -> None:
        area, title = self.paper_area(), self.title_rect()
        medium = self._faded if self._unreachable else self._medium
        trusting = (
            self._drawings_since_look > 0 and self._drawings_since_look % CHECKED != self._turn
        )
        moving = bool(self._slots) and not self._at_rest
        layout = paint_drawing(
            painter,
            self.drawing,
            self.frame,
            _area(area),
            medium,
            self.attention,
            self._slots,
            [_area(box) for box in (title, self._banner_box()) if box.isValid()],
            trusting,
            moving,
        )
        painter.setClipRect(area)
        paint_stops(painter, self.aim.stops, self.frame, medium.pens, self.attention)
        painter.setClipping(False)
        self._at_rest = False
        self._slots, self._drawings_since_look = layout.slots, self._drawings_since_look + 1
        if self._drawings_since_look >= LOOK_AGAIN + self._turn:
            self._look_again()
        if trusting or moving:
            self._check.start()
        else:
            self._check.stop()
        paint_title(painter, self.title, title, self._medium.inks, medium.lettering)

    def title_rect(self) -> QRectF:
        """Return where the title stands."""
        return title_box(self.title, self._medium.lettering, LEFT_MARGIN)

    def _banner_box(self) -> QRectF:
        if not self._unreachable:
            return QRectF()
        return banner_box(self._unreachable, self.paper_area(), self._medium.lettering)

    def _paint_words(self, painter: QPainter) -> None:
        area, inks, lettering = self.paper_area(), self._medium.inks, self._medium.lettering
        if not self.drawing.strokes:
            paint_empty(painter, "Nothing to draw yet.", area, inks, lettering)
        if self._unreachable:
            paint_banner(painter, self._unreachable, self._banner_box(), inks, lettering)
        hovered = self.aim.find(self.attention.hovered)
        is_quiet = self.attention.hovered == self.dropped
        note = self._held_note if self.is_dragging() else "" if is_quiet else self._note
        if note and hovered is not None:
            paint_note(painter, note, self.place_of(hovered), area, inks, lettering)

    def place_of(self, item: Item) -> QPointF:
        """Return the pixel of a handle or of a stop's sign, or of the middle of a grip."""
        if isinstance(item, Stop):
            return QPointF(*sign_place(item, self.frame))
        at = item.at if isinstance(item, Handle) else tuple(item.outline.mean(axis=0).tolist())
        return QPointF(*self.frame.to_device(at))

    def _paint_focus(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(self._medium.inks.colour("ink"), 2))
        painter.drawRect(self.rect().adjusted(1, 1, -1, -1))


def _area(box: QRectF) -> Area:
    return box.x(), box.y(), box.width(), box.height()

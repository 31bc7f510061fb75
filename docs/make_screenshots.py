"""Make the pictures of the docs: `python docs/make_screenshots.py [name …]`, from the root.

Drawn offscreen, with settings of their own, always of the same invented cars: no picture shows
what is on the screen of whoever makes it. Look at each one before it is kept.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from math import radians
from pathlib import Path
from typing import Final

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ.pop("QT_SCALE_FACTOR", None)
ROOT: Final = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from picture_files import keep  # noqa: E402
from pictured_cars import (  # noqa: E402
    FIRST,
    SAMPLES,
    half_measured,
    mended,
    read,
    to_align,
    with_only,
)
from PySide6.QtCore import QLocale, QPointF, QRectF, QSettings, QStandardPaths, Qt  # noqa: E402
from PySide6.QtGui import QImage, QPainter, QPalette, QPen, QPolygonF  # noqa: E402
from PySide6.QtWidgets import QApplication, QWidget  # noqa: E402

from app.desk.finding.window import FindWindow  # noqa: E402
from app.desk.main import application, open_window  # noqa: E402
from app.desk.theme import apply  # noqa: E402
from app.desk.window import Window  # noqa: E402
from app.document.model import FrozenMap  # noqa: E402
from app.document.plans import Room, Want  # noqa: E402
from app.drawing.views import View  # noqa: E402
from app.panels.lists.clearance_rows import nearest_pose  # noqa: E402
from app.session.session import Session  # noqa: E402
from app.sheet.pages import setup_sheet  # noqa: E402
from app.systems.answers import Pose  # noqa: E402
from app.systems.clearance.results import key_of_clearance  # noqa: E402
from app.systems.front.system import FRONT  # noqa: E402
from app.systems.rear.system import REAR  # noqa: E402
from app.systems.shown import Overlay  # noqa: E402
from geometry.modes.modes import MODE_NAMES  # noqa: E402
from tests.helpers.hands import Hand  # noqa: E402

IMAGES: Final = ROOT / "docs" / "images"
DAY: Final = date(2026, 10, 14)  # printed on the sheets
SIZE: Final = (1600, 1000)
DOTS_PER_MM: Final = 4.6  # of the sheet's pages
REAR_JOBS: Final = ("Right damper behind the axle", "Leaf 4 out")


def board() -> QImage:
    """Show the sample as it opens, without the hint."""
    return grab(sample())


def first_start() -> QImage:
    """Show the sample as it opens for the first time."""
    return grab(sample(hint=True))


def dark() -> QImage:
    """Show the sample on dark paper."""
    return grab(sample("dark"))


def drag() -> QImage:
    """Show both upper pivots under the hand, 22 mm below where they were measured."""
    window = sample()
    session = window.session
    session.commit(session.setup.having(changes=()), "no changes")
    session.set_active(None)
    session.select(("front.upper_front", "front.upper_rear"))
    return dragged(window, "front.upper_front", 0.0, -22.0)


def draw_result() -> QImage:
    """Show the roll centre under the hand, 24 mm higher, the pivots following."""
    window = sample()
    session, upper = window.session, "front.upper_front"
    room = {upper: Room(z=(-40.0, 10.0)), "front.upper_rear": Room(alike=upper)}
    room["front.lower_rear"] = Room(z=(-12.0, 12.0))
    session.commit(session.setup.having(changes=(), rooms=FrozenMap(room)), "room")
    session.set_active(None)
    return dragged(window, "result:roll_centre_height", 0.0, 24.0)


def unreachable() -> QImage:
    """Show a pivot dragged to where its parts can't reach."""
    return dragged(sample(), "front.upper_front", -260.0, 0.0)


def settled() -> QImage:
    """Show the proposal held at its measured height."""
    window = sample()
    window.session.choose_height("as measured")
    return grab(window)


def inches() -> QImage:
    """Show the same car in inches."""
    window = sample()
    window.session.set_units("in")
    return grab(window)


def curves() -> QImage:
    """Show the curves alone, at 40 mm of bump."""
    window = sample()
    window.fill_with_bench()
    wait(0.5)
    window.session.set_pose(Pose(travel=40.0))
    return grab(window)


def align() -> QImage:
    """Show shims and turns worked out from a gauge's readings."""
    from app.desk.aligning import AlignDialog

    apply(application(), "light")
    session = Session(with_only(to_align(read(FIRST)), "Upper pivots 22 mm lower"))
    dialog = AlignDialog(session)
    dialog.resize(1240, 700)
    dialog.show()
    while dialog.alignment is None:
        wait(0.1)
    return grab(dialog)


def definition() -> QImage:
    """Show a result opened, and on the drawing what it is measured between."""
    window = sample()
    window.results.show_result("roll_centre_height")
    return grab(window)


def clearing() -> QImage:
    """Show the parts and pairs of the front of a sample, as they are typed."""
    from app.desk.clearing.window import ClearancesWindow

    asked = ClearancesWindow(sample(file="taped_saloon.toml"))
    asked.resize(760, 640)
    return grab(asked)


def second_car() -> QImage:
    """Show the car of the guide's job, lowered, with the mended one over it."""
    window = sample()
    window.session.second.lay("mended.toml, as built", mended())
    return grab(window)


def compare() -> QImage:
    """Show the proposals of the guide's job side by side."""
    from app.desk.comparing import ComparingDialog
    from app.judge.compare import comparison
    from app.judge.compare_bands import banded
    from app.judge.known_comparison import remember

    remember(banded(comparison(mended(), ()), which=lambda row: row.is_first))
    dialog = ComparingDialog(Session(mended()))
    dialog.resize(1180, 700)
    return grab(dialog)


def finding() -> QImage:
    """Show an answer on the drawing, beside the window in which it was sought."""
    window = sample()
    session = window.session
    pivots = {"front.upper_front": Room(z=(-40.0, 10.0)), "front.tie_outer": Room(z=(-12.0, 12.0))}
    rooms = {**pivots, "front.upper_rear": Room(alike="front.upper_front")}
    wants = (
        Want("front.camber_gain", radians(-0.8) / 25.0, kind="angle per length"),
        Want("front.bump_steer_range", at_most=radians(0.1), kind="angle"),
    )
    session.commit(session.setup.having(wants=wants, rooms=rooms), "wants and room")
    window.find_where()
    asked = window.findChild(FindWindow)
    asked.resize(760, 620)
    asked.seek.click()
    while not asked.tables:
        wait(0.1)
    asked.answers.setCurrentCell(1, asked.answers.columnCount() - 1)
    wait(1.0)
    image = window.grab().toImage()
    with QPainter(image) as painter:
        at = QPointF(10.0, SIZE[1] - asked.height() - 10.0)
        painter.drawPixmap(at, asked.grab())
        painter.drawRect(QRectF(at, asked.size()))
    window.hide()
    return image


def clearances() -> QImage:
    """Show the pose in which the tyre comes nearest to the chassis leg, and its row opened."""
    window = sample(file="taped_saloon.toml")
    session = window.session
    key = key_of_clearance(session.setup.clearances[0])
    window.results.show_result(key)
    pose = nearest_pose(session, key)
    if pose is not None:
        session.set_pose(pose)
    wait(1.0)
    return grab(window)


def new_car() -> QImage:
    """Show the guide to a new car at one of its points, all before it entered."""
    from app.entry.guide import MeasureWindow

    with tempfile.TemporaryDirectory() as folder:
        guide = MeasureWindow(
            half_measured(), at="front.upper_rear", folder=Path(folder), paper="light"
        )
        guide.resize(1440, 860)
        return grab(guide)


def rear_pack() -> QImage:
    """Show the rear with its leaf pack, leaf 4 left out."""
    return grab(rear("Leaf pack", "Leaf 4 out"))


def rear_wind_up() -> QImage:
    """Show the rear wound up by full drive, with traction bars."""
    window = rear("Wind-up", "Traction bars")
    window.session.lay_over(Overlay(thrust=1.0))
    return grab(window)


def rear_hop() -> QImage:
    """Show the rear swinging in its hop mode, one damper moved behind the axle."""
    window = rear("Hop and tramp", "Right damper behind the axle")
    window.session.lay_over(Overlay(mode=MODE_NAMES.index("hop")))
    return grab(window)


def rear_links() -> QImage:
    """Show a rear on links, at 3° of roll."""
    window = rear("Links", "", "hillclimb_special.toml")
    window.session.set_pose(Pose(roll=radians(3.0)))
    return grab(window)


def sheet(section: str, part: str, *changes: str) -> Callable[[], QImage]:
    """Return a painter of the first page with a part of a section, of the first sample's sheet."""

    def paint() -> QImage:
        setup = with_only(read(FIRST), *changes) if changes else read(FIRST)
        pages = setup_sheet([FRONT.study(setup), REAR.study(setup)], today=DAY, source=FIRST)
        number = [section in name and part in name for name, _ in pages.pages].index(True)
        paper = pages.paper
        size = round(paper.width * DOTS_PER_MM), round(paper.height * DOTS_PER_MM)
        image = QImage(*size, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        with QPainter(image) as painter:
            pages.paint(painter, number, DOTS_PER_MM)
        return image

    return paint


SHOTS: Final[dict[str, Callable[[], QImage]]] = {
    "board": board,
    "first-start": first_start,
    "dark": dark,
    "drag": drag,
    "draw-result": draw_result,
    "unreachable": unreachable,
    "settled": settled,
    "inches": inches,
    "curves": curves,
    "definition": definition,
    "align": align,
    "second-car": second_car,
    "clearing": clearing,
    "compare": compare,
    "finding": finding,
    "clearances": clearances,
    "new-car": new_car,
    "rear-pack": rear_pack,
    "rear-wind-up": rear_wind_up,
    "rear-hop": rear_hop,
    "rear-links": rear_links,
    "sheet-1": sheet("Work order", ""),
    "sheet-2": sheet("Front suspension", "drawing"),
    "sheet-3": sheet("Front suspension", "results"),
    "template": sheet("Drill template · Upper arm pivots, left", ""),
    "spring-order": sheet("Spring order · Front coil", "", "Spring 70 N/mm"),
    "sheet-rear-1": sheet("Work order", "", *REAR_JOBS),
    "sheet-rear-2": sheet("Rear suspension", "drawing", *REAR_JOBS),
    "sheet-rear-3": sheet("Rear suspension", "leaves", *REAR_JOBS),
}


# The window


def sample(paper: str = "light", hint: bool = False, file: str = "") -> Window:
    """Return a window on the first sample, or another one, as it looks when all is there."""
    window = open_window(SAMPLES / file if file else None)
    window.set_paper("dark" if paper == "dark" else "light")
    window.hint.setVisible(hint)
    window.resize(*SIZE)
    window.show()
    wait(1.0)
    return window


def rear(tab: str, change: str = "", file: str = "") -> Window:
    """Return a window on the rear, a tab of its bench in front, only that change on."""
    window = sample(file=file)
    session = window.session
    if change:
        session.commit(with_only(session.setup, change), "one change on")
        session.set_active([each.name for each in session.setup.changes].index(change))
    session.show(REAR)
    window.bench.show_tab(tab)
    wait(0.5)
    return window


def dragged(window: Window, key: str, right: float, up: float) -> QImage:
    """Return a picture of a point of the front view held by the hand, by so many mm."""
    hand = Hand(window.board.views[View.FRONT])
    hand.press(key)
    hand.move_mm(right, up)
    at = hand.view.mapTo(window, hand.at.toPoint()).toPointF()
    return with_pointer(grab(window), at)


def wait(seconds: float) -> None:
    """Let the window work."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QApplication.processEvents()


def grab(window: QWidget) -> QImage:
    """Return a picture of a window."""
    window.show()
    wait(0.7)
    image = window.grab().toImage()
    window.hide()
    return image


def with_pointer(image: QImage, at: QPointF) -> QImage:
    """Draw the mouse's arrow, which a grabbed window lacks."""
    shape = [(0, 0), (0, 17), (4, 13), (7, 20), (10, 19), (7, 12), (12, 12)]
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QPalette().color(QPalette.ColorRole.Base), 1.5))
        painter.setBrush(Qt.GlobalColor.black)
        painter.drawPolygon(QPolygonF([at + QPointF(*each) for each in shape]))
    return image


def main(names: list[str]) -> None:
    """Make the pictures that are named, or all of them."""
    unknown = sorted(set(names) - set(SHOTS))
    if unknown:
        sys.exit(f"No picture is called {', '.join(unknown)}. There are {', '.join(SHOTS)}.")
    IMAGES.mkdir(exist_ok=True)
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    QStandardPaths.setTestModeEnabled(True)
    with tempfile.TemporaryDirectory() as folder:
        for style in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
            QSettings.setPath(style, QSettings.Scope.UserScope, folder)
        application()
        for name in names or SHOTS:
            keep(SHOTS[name](), IMAGES / f"{name}.png")
            print(f"docs/images/{name}.png")
    sys.stdout.flush()
    os._exit(0)  # the windows were only ever drawn: none need closing, or asks about its work


if __name__ == "__main__":
    main(sys.argv[1:])

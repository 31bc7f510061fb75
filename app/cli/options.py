"""The options of each command, and the words of their help."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final, NamedTuple, NoReturn

from app import NAME, VERSION
from app.cli.refused import WRONG_CALL, Refused
from app.document.ends import ENDS
from app.document.plain_text import upper_first
from app.shop.extras import ASKED, EXTRAS

VIEWS: Final = ("all", "front", "side", "top")
_FURTHEST: Final = 1e6  # mm or degrees; nobody means more
_SIGNS: Final = {"mm": "mm", "in": "in", '"': "in", "deg": "deg", "°": "deg"}
_HELP: Final = """\
commands:
  wishboard [FILE]          open the board; without a display, write sheet and report instead
  wishboard report FILE     every result, measured and proposed, with units and limits
  wishboard curves FILE     every result over a sweep of travel, roll or steer
  wishboard bands FILE      how far each result may be off, and what to measure again
  wishboard drawing FILE -o FILE.pdf
                            all views or one to a stated scale, as PDF, SVG or PNG
  wishboard sheet FILE -o FILE.pdf
                            the setup sheet for the shop
  wishboard template FILE -o FILE.pdf or FILE.dxf
                            holes to drill anew, old and new, at full size
  wishboard compare FILE --with JOB [JOB ...] [--with ...] [OTHER.toml]
                            sets of changes, or another car, side by side
  wishboard align FILE      shims and turns from what a gauge read
  wishboard find FILE [--want ...] [--room ...]
                            the least change that brings about what is wanted
  wishboard clearance FILE  how near parts come to each other over travel and steer
  wishboard import FILE LIST.csv --datum POINT POINT POINT
                            points that somebody else measured, laid over these
  wishboard survey FILE     how coordinates and tapes agree, and which reading is doubtful
  wishboard check FILE      say what is wrong with a file

`wishboard COMMAND --help` says more. A file that is named like a command: ./report
"""
_WHICH: Final = {
    "report": "only this end of the car",
    "curves": "which end of the car; the front unless there is only a rear",
    "bands": "which end of the car; the front unless there is only a rear",
    "clearance": "only this end of the car",
    "drawing": "which end of the car; the front unless there is only a rear",
}


class _Parser(argparse.ArgumentParser):
    """A parser that answers a wrong command line in this program's own way."""

    def error(self, message: str) -> NoReturn:
        """Refuse with a sentence and how the call goes."""
        text = upper_first(message)
        raise Refused(f"{text.rstrip('.')}.\n{self.format_usage().strip()}", WRONG_CALL)


def opener() -> _Parser:
    """Return the parser of a call without a command."""
    parser = _Parser(
        prog=NAME,
        usage=f"{NAME} [FILE]",
        description="A sketchpad for the suspension of classic cars.",
        epilog=_HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("file", metavar="FILE", nargs="?", type=Path, help="a setup file")
    parser.add_argument("--version", action="version", version=f"Wishboard {VERSION}")
    return parser


def parser_of(command: str) -> _Parser:
    """Return the parser of a command's options."""
    about = {
        "report": "Every result of the car as found and as built, each on its wheels.",
        "curves": "Every result over a sweep, measured and proposed.",
        "bands": "How far every result may be off, of the car as found, as built, and of the move.",
        "drawing": "The drawing of both cars to a stated scale, all views or one.",
        "sheet": "The setup sheet for the shop, as PDF.",
        "template": "The holes that changes that are on move, old and new, at full size: as PDF, "
        "over several sheets where larger than the paper, or as DXF in mm.",
        "compare": "Sets of changes side by side, each car as it will stand; as found first.",
        "align": "What to shim and turn on each wheel, from what a gauge read to the targets.",
        "find": "The least change that brings about what is wanted, where the metal lets it.",
        "clearance": "How near the envelopes of parts come to each other, over travel and steer.",
        "import": "Points that somebody else measured (name, x, y, z, ±, in axes of their own), "
        "turned and shifted as a whole onto datum points of the car, and taken over as measured.",
        "survey": "How measured coordinates and tapes agree: the points adjusted, residuals, which "
        "reading is doubtful, and what each tape could hide.",
        "check": "Say what is wrong with a setup file. Exit status 0: nothing, 1: something.",
    }
    parser = _Parser(prog=f"{NAME} {command}", description=about[command])
    parser.add_argument("file", metavar="FILE", type=Path, help="a setup file")
    if command == "import":
        _add_list(parser)
    if command == "curves":  # the file first: --at takes all that follows it
        parser.usage = (
            f"{NAME} curves FILE [--axle {{{','.join(ENDS)}}}] [--over {{travel,roll,steer}}] "
            "[--at V [V ...]] [--steer V] [--json] [-o FILE.csv|.pdf|.svg|.png] "
            "[--paper {a4,letter}]"
        )
    if command == "compare":
        parser.add_argument(
            "others", metavar="OTHER.toml", nargs="*", type=Path, help="another setup beside it"
        )
        parser.add_argument(
            "--with",
            dest="sets",
            metavar="JOB",
            nargs="+",
            action="append",
            help="changes by their names, done together; said again for each set; without it "
            "the proposals that the file names, or else each change alone",
        )
    if command == "find":
        _add_search(parser)
    if command == "bands":
        parser.usage = (
            f"{NAME} bands FILE [--axle {{{','.join(ENDS)}}}] [--over {{travel,roll,steer}}] "
            "[--at V [V ...]] [--steer V] [--samples N] [--json] [-o FILE.csv]"
        )
    if command in (
        "report",
        "curves",
        "bands",
        "import",
        "compare",
        "align",
        "find",
        "survey",
        "clearance",
    ):
        parser.add_argument("--json", action="store_true", help="machine-readable, mm and degrees")
    if command in _WHICH:
        parser.add_argument("--axle", choices=ENDS, help=_WHICH[command])
    if command in ("curves", "bands"):
        _add_sweep(parser)
    if command in ("report", "compare"):
        parser.add_argument(
            "--within",
            action="store_true",
            help="how far each figure may be off beside it, where the file says how well it was "
            "measured; works up to half a minute" + (" a car" if command == "compare" else ""),
        )
    if command == "bands":
        parser.add_argument(
            "--samples",
            metavar="N",
            type=int,
            help="cars by which ranges and centres far off are sampled; 2000 if not said, 0 leaves "
            "them out",
        )
    if command == "drawing":
        parser.add_argument("--view", choices=VIEWS, default="all")
    if command in ("drawing", "sheet"):
        parser.add_argument("-o", "--output", metavar="FILE.pdf", type=Path, required=True)
    if command in ("curves", "drawing", "sheet"):
        parser.add_argument("--paper", choices=("a4", "letter"), default="a4")
    if command == "sheet":
        parser.add_argument(
            "--without",
            choices=EXTRAS,
            action="append",
            help="leave these pages out, which follow where springs change, holes move or the "
            "front is aligned; may be said twice",
        )
        parser.add_argument(
            "--with",
            dest="pages",
            choices=ASKED,
            action="append",
            help="add a page for the owner: the proposals that the file names, side by side",
        )
        ends = (*ENDS, "both")
        parser.add_argument("--axle", choices=ends, help="instead of the ends that have work")
    if command == "survey":
        parser.add_argument(
            "-o",
            "--output",
            metavar="FILE.csv",
            type=Path,
            help="every reading as CSV, - for standard output",
        )
    if command == "template":
        parser.add_argument("-o", "--output", metavar="FILE.pdf|FILE.dxf", type=Path, required=True)
        parser.add_argument(
            "--paper", choices=("a4", "letter"), default="a4", help="of the PDF; a4 if not said"
        )
        parser.add_argument("--side", choices=("left", "right"), help="only this side of the car")
    return parser


def _add_list(parser: _Parser) -> None:
    parser.usage = (
        f"{NAME} import FILE LIST.csv --datum POINT POINT POINT [POINT ...] "
        "[--name LISTED=POINT ...] [--unit {mm,cm,m,in}] "
        "[--despite-misfit] [--json] [-o NEW.toml]"
    )
    parser.add_argument("list_file", metavar="LIST.csv", type=Path, help="a list of points")
    parser.add_argument(
        "--datum",
        metavar="POINT",
        nargs="+",
        action="extend",
        required=True,
        help="three or more points or marks of the car that the list has too: front.lower_front, "
        "mark.A; they stay as they are",
    )
    parser.add_argument(
        "--name",
        metavar="LISTED=POINT",
        dest="names",
        nargs="+",
        action="extend",
        default=[],
        help="what a point of the list is, where its name doesn't say so: P12=front.upper_ball",
    )
    parser.add_argument(
        "--unit", choices=("mm", "cm", "m", "in"), default="mm", help="of a list that names none"
    )
    parser.add_argument(
        "--despite-misfit",
        action="store_true",
        help="take over a list that misses its datum points by more than list and car allow",
    )
    parser.add_argument("-o", "--output", metavar="NEW.toml", type=Path, help="the car with them")


def _add_search(parser: _Parser) -> None:
    parser.usage = (
        f"{NAME} find FILE [--want NAME=VALUE|NAME>=VALUE|NAME<=VALUE|NAME=found ...] "
        "[--room POINT.AXIS=FROM:TO ...] [--alike POINT,POINT ...] [--step S] [--json] "
        "[-o NEW.toml]"
    )
    parser.add_argument(
        "--want",
        dest="wanted",
        metavar="NAME=VALUE",
        nargs="+",
        action="extend",
        default=[],
        help="a result, named and in units as in report --json, beside those of the file",
    )
    parser.add_argument(
        "--room",
        dest="room",
        metavar="POINT.AXIS=FROM:TO",
        nargs="+",
        action="extend",
        default=[],
        help="how far a point may be from its measured place, mm, or a value, as in JSON",
    )
    parser.add_argument(
        "--alike",
        metavar="POINT,POINT",
        nargs="+",
        action="extend",
        default=[],
        help="points that move alike",
    )
    parser.add_argument(
        "--step", metavar="S", help="that a shop can make, in the file's unit: 0.5, 1/32"
    )
    parser.add_argument("-o", "--output", metavar="NEW.toml", type=Path, help="the car with it")


def _add_sweep(parser: _Parser) -> None:
    parser.add_argument("--over", choices=("travel", "roll", "steer"))
    parser.add_argument(
        "--at",
        metavar="V",
        nargs="+",
        action="extend",
        type=_place,
        help="exactly these: travel or steer as 90mm or 3.5in, roll as 1.5deg; bare numbers are "
        "mm and degrees, whatever the file's units",
    )
    parser.add_argument(
        "--steer",
        metavar="V",
        type=_place,
        help="hold the rack there, + to the car's left: 20mm, 0.75in; a bare number is mm",
    )
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE.csv",
        type=Path,
        help="numbers as CSV, - for standard output; or curves drawn, as PDF, SVG or PNG",
    )


class Place(NamedTuple):
    """A number that was typed, and its unit: "mm", "in", "deg" or none."""

    number: float
    unit: str


def _place(word: str) -> Place:
    """Read a number with or without a unit."""
    number, unit = word.replace("−", "-"), ""
    for sign, name in _SIGNS.items():
        if number.lower().endswith(sign):
            number, unit = number[: -len(sign)].strip(), name
            break
    try:
        value = float(number)
    except ValueError:
        hint = " (FILE comes before --at)" if Path(word).suffix or Path(word).exists() else ""
        comma = " (the decimal sign is a point)" if "," in word else ""
        raise argparse.ArgumentTypeError(f"{word} is no number{comma or hint}") from None
    if not abs(value) <= _FURTHEST:
        raise argparse.ArgumentTypeError(f"{word} is no number that a wheel can go to")
    return Place(value, unit)

"""What was typed after `wishboard`, checked and put in order."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, Literal, NamedTuple, NoReturn, cast

from app import NAME, VERSION
from app.cli.refused import WRONG_CALL, Refused
from app.document.plain_text import upper_first
from app.document.quantities import INCH
from app.document.schema import ENDS
from app.shop.extras import EXTRAS, Extra
from geometry.dataclass import dataclass

Command = Literal[
    "open",
    "report",
    "curves",
    "bands",
    "drawing",
    "sheet",
    "template",
    "compare",
    "align",
    "find",
    "import",
    "survey",
    "check",
]
Over = Literal["travel", "roll", "steer"]
Paper = Literal["a4", "letter"]
Side = Literal["left", "right"]

COMMANDS: Final = (
    "report",
    "curves",
    "bands",
    "drawing",
    "sheet",
    "template",
    "compare",
    "align",
    "find",
    "import",
    "survey",
    "check",
)
VIEWS: Final = ("all", "front", "side", "top")
PICTURES: Final = (".pdf", ".svg", ".png")  # endings of a drawing's file, and of curves drawn
MOST_POSES: Final = 2000
MOST_SAMPLES: Final = 100_000
_FURTHEST: Final = 1e6  # mm or degrees; nobody means more
_SIGNS: Final = {"mm": "mm", "in": "in", '"': "in", "deg": "deg", "°": "deg"}
_MEASURE: Final = re.compile(r"\d*\.?\d+\s*(mm|in|\"|deg|°)", re.IGNORECASE)
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
    "drawing": "which end of the car; the front unless there is only a rear",
}


@dataclass(frozen=True)
class Call:
    """A command with all that was asked of it; travel and steer in mm, roll in degrees."""

    command: Command
    file: Path | None = None
    json: bool = False
    axle: str | None = None
    over: Over | None = None  # travel where nothing is said
    at: tuple[float, ...] | None = None
    is_bare: bool = False  # a travel or steer was typed without its unit
    steer: float = 0.0
    samples: int | None = None
    output: Path | None = None
    paper: Paper = "a4"
    side: Side | None = None
    without: tuple[Extra, ...] = ()
    view: str = "all"
    list_file: Path | None = None
    datum: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    unit: str = "mm"
    sets: tuple[tuple[str, ...], ...] = ()
    others: tuple[Path, ...] = ()
    wanted: tuple[str, ...] = ()
    room: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    step: str | None = None


class _Parser(argparse.ArgumentParser):
    """A parser that answers a wrong command line in this program's own way."""

    def error(self, message: str) -> NoReturn:
        """Refuse with a sentence and how the call goes."""
        text = upper_first(message)
        raise Refused(f"{text.rstrip('.')}.\n{self.format_usage().strip()}", WRONG_CALL)


def parse_call(arguments: Sequence[str]) -> Call:
    """Return the call; refuse what isn't one."""
    if not arguments:  # a start from the desktop waits for no parser
        return Call("open")
    words = [_plain_number(word) for word in arguments]
    if words and words[0] in COMMANDS:
        return _checked(_parser(words[0]).parse_args(words[1:]), cast(Command, words[0]))
    if len(words) > 1 and not words[0].startswith("-"):
        if words[0].lower().endswith(".toml"):
            raise Refused(
                f"wishboard opens one file; after {words[0]} nothing follows.", WRONG_CALL
            )
        import difflib  # only for a mistake: each start loads this file

        near = difflib.get_close_matches(words[0], COMMANDS, 1)
        advice = f"Did you mean {near[0]}?" if near else f"There are {', '.join(COMMANDS)}."
        raise Refused(f"There is no command {words[0]}. {advice}", WRONG_CALL)
    return _checked(_opener().parse_args(words), "open")


def _opener() -> _Parser:
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


def _parser(command: str) -> _Parser:
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
    if command in ("report", "curves", "bands", "import", "compare", "align", "find", "survey"):
        parser.add_argument("--json", action="store_true", help="machine-readable, mm and degrees")
    if command in _WHICH:
        parser.add_argument("--axle", choices=ENDS, help=_WHICH[command])
    if command in ("curves", "bands"):
        _add_sweep(parser)
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
            help="leave these pages out, which follow where springs change or holes move; may be "
            "said twice",
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
        "[--name LISTED=POINT ...] [--unit {mm,cm,m,in}] [--json] [-o NEW.toml]"
    )
    parser.add_argument("list_file", metavar="LIST.csv", type=Path, help="a list of points")
    parser.add_argument(
        "--datum",
        metavar="POINT",
        nargs="+",
        required=True,
        help="three or more points or marks of the car that the list has too: front.lower_front, "
        "mark.A; they stay as they are",
    )
    parser.add_argument(
        "--name",
        metavar="LISTED=POINT",
        dest="names",
        nargs="+",
        default=(),
        help="what a point of the list is, where its name doesn't say so: P12=front.upper_ball",
    )
    parser.add_argument(
        "--unit", choices=("mm", "cm", "m", "in"), default="mm", help="of a list that names none"
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
        default=(),
        help="a result, named and in units as in report --json, beside those of the file",
    )
    parser.add_argument(
        "--room",
        dest="room",
        metavar="POINT.AXIS=FROM:TO",
        nargs="+",
        default=(),
        help="how far a point may be from its measured place, mm, or a value, as in JSON",
    )
    parser.add_argument(
        "--alike", metavar="POINT,POINT", nargs="+", default=(), help="points that move alike"
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


def _checked(arguments: argparse.Namespace, command: Command) -> Call:
    """Return the call, or refuse what doesn't go together."""
    values = {name: value for name, value in vars(arguments).items() if value is not None}
    at, steer = values.get("at"), values.get("steer")
    is_roll = values.get("over") == "roll"
    if at is not None:
        values["at"] = tuple(_inside(place, "--at", is_roll) for place in at)
        values["is_bare"] = not is_roll and any(place.number and not place.unit for place in at)
    if steer is not None:
        values["steer"] = _inside(steer, "--steer", False)
    if at is not None and len(at) > MOST_POSES:
        raise Refused(f"--at takes up to {MOST_POSES} values; {len(at)} came.", WRONG_CALL)
    if values.get("over") == "steer" and "steer" in values:
        raise Refused(
            "--steer holds the rack during a travel or roll sweep; over steer, ask for places of "
            "the rack with --at.",
            WRONG_CALL,
        )
    if command == "compare":
        values |= _compared(values)
    for name in ("without", "datum", "names", "wanted", "room", "alike"):
        if name in values:
            values[name] = tuple(values[name])
    samples = values.get("samples", 0)
    if samples and not 40 <= samples <= MOST_SAMPLES:
        raise Refused(f"--samples takes 0, or 40 to {MOST_SAMPLES}; {samples} came.", WRONG_CALL)
    call = Call(command, **values)
    if call.axle is not None and (call.over == "steer" or call.steer):
        from app.systems.every import BY_KEY  # loaded only where it is asked for

        if "steer" not in BY_KEY[call.axle].drivers:
            refuse_steer(call)
    if command == "sheet" and call.output is not None and call.output.suffix.lower() != ".pdf":
        raise Refused(
            f"The sheet is a PDF and can't be called {call.output}: name a file, as in "
            "-o sheet.pdf.",
            WRONG_CALL,
        )
    if (
        command == "template"
        and call.output is not None
        and call.output.suffix.lower() not in (".pdf", ".dxf")
    ):
        raise Refused(
            f"A template is a PDF or a DXF and can't be called {call.output}: name a file, as in "
            "-o template.pdf or -o template.dxf.",
            WRONG_CALL,
        )
    if command == "drawing" and call.output is not None and not is_picture(call.output):
        raise Refused(
            f"A drawing is a PDF, SVG or PNG and can't be called {call.output}: name a file, as in "
            "-o drawing.pdf.",
            WRONG_CALL,
        )
    if command == "curves" and is_picture(call.output) and (call.at or call.steer or call.json):
        raise Refused(
            "Curves are drawn over the whole range: --at, --steer and --json go with -o FILE.csv.",
            WRONG_CALL,
        )
    if call.output is not None and call.file is not None and _same(call.output, call.file):
        raise Refused(
            f"{call.output} is the setup file itself: it isn't overwritten. Name another file.",
            WRONG_CALL,
        )
    return call


def _compared(values: dict[str, Any]) -> dict[str, Any]:
    """Return sets and other files: a file's name that follows the jobs of a set is a file."""
    sets, others = [], list(values.get("others", ()))
    for words in values.get("sets", ()):
        jobs = [word for word in words if not word.lower().endswith(".toml")]
        others += [Path(word) for word in words if word not in jobs]
        if not jobs:
            raise Refused("--with needs the name of a change.", WRONG_CALL)
        sets.append(tuple(jobs))
    return {"sets": tuple(sets), "others": tuple(others)}


def is_picture(path: Path | None) -> bool:
    """Tell whether a file is to be a picture, by its ending."""
    return path is not None and path.suffix.lower() in PICTURES


def refuse_steer(call: Call) -> None:
    """Refuse steer of a rear."""
    if call.over == "steer" or call.steer:
        raise Refused("A rear isn't steered: --over travel or --over roll.", WRONG_CALL)


def _same(a: Path, b: Path) -> bool:
    try:
        return a.exists() and b.exists() and a.samefile(b)
    except (OSError, ValueError):
        return False


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


def _inside(place: Place, option: str, is_roll: bool) -> float:
    """Return a place in mm, of roll in degrees; refuse a unit that doesn't fit."""
    if place.unit and (place.unit == "deg") != is_roll:
        fits = "roll is in degrees: 1.5deg" if is_roll else "that is a length: 90mm or 3.5in"
        raise Refused(f"{option} {place.number:g}{place.unit}: {fits}.", WRONG_CALL)
    return place.number * (INCH if place.unit == "in" else 1.0)


def _plain_number(word: str) -> str:
    """Return a negative number as argparse can tell it from an option; any other word as it is."""
    if not word.startswith(("-", "−")):
        return word
    try:
        return repr(float(word.replace("−", "-"))) if "e" not in word.lower() else _long(word)
    except ValueError:
        return f"−{word[1:]}" if _MEASURE.fullmatch(word[1:]) else word


def _long(word: str) -> str:
    return format(float(word.replace("−", "-")), ".30f")

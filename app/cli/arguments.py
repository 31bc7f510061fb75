"""What was typed after `wishboard`, checked and put in order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal, cast, get_args

from app.cli.refused import WRONG_CALL, Refused
from app.document.quantities import INCH
from app.shop.extras import Extra
from geometry.dataclass import dataclass

if TYPE_CHECKING:
    from argparse import Namespace

    from app.cli.options import Place

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
    "clearance",
    "import",
    "survey",
    "check",
]
Over = Literal["travel", "roll", "steer"]
Paper = Literal["a4", "letter"]
Side = Literal["left", "right"]

COMMANDS: Final = tuple(each for each in get_args(Command) if each != "open")
PICTURES: Final = (".pdf", ".svg", ".png")  # endings of a drawing's file, and of curves drawn
MOST_POSES: Final = 2000
MOST_SAMPLES: Final = 100_000
_MEASURE: Final = re.compile(r"\d*\.?\d+\s*(mm|in|\"|deg|°)", re.IGNORECASE)


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
    within: bool = False
    output: Path | None = None
    paper: Paper = "a4"
    side: Side | None = None
    without: tuple[Extra, ...] = ()
    pages: tuple[Extra, ...] = ()
    view: str = "all"
    list_file: Path | None = None
    datum: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    despite_misfit: bool = False
    unit: str = "mm"
    sets: tuple[tuple[str, ...], ...] = ()
    others: tuple[Path, ...] = ()
    wanted: tuple[str, ...] = ()
    room: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    step: str | None = None


def parse_call(arguments: Sequence[str]) -> Call:
    """Return the call; refuse what isn't one."""
    if not arguments:  # a start from the desktop waits for no parser
        return Call("open")
    from app.cli.options import opener, parser_of

    words = [_plain_number(word) for word in arguments]
    if words and words[0] in COMMANDS:
        return _checked(parser_of(words[0]).parse_args(words[1:]), cast(Command, words[0]))
    if len(words) > 1 and not words[0].startswith("-"):
        if words[0].lower().endswith(".toml"):
            raise Refused(
                f"wishboard opens one file; after {words[0]} nothing follows.", WRONG_CALL
            )
        import difflib  # only for a mistake: each start loads this file

        near = difflib.get_close_matches(words[0], COMMANDS, 1)
        advice = f"Did you mean {near[0]}?" if near else f"There are {', '.join(COMMANDS)}."
        raise Refused(f"There is no command {words[0]}. {advice}", WRONG_CALL)
    return _checked(opener().parse_args(words), "open")


def _checked(arguments: Namespace, command: Command) -> Call:
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
    for name in ("without", "pages", "datum", "names", "wanted", "room", "alike"):
        if name in values:
            values[name] = tuple(values[name])
    samples = values.get("samples", 0)
    if samples and not 40 <= samples <= MOST_SAMPLES:
        raise Refused(f"--samples takes 0, or 40 to {MOST_SAMPLES}; {samples} came.", WRONG_CALL)
    call = Call(command, **values)
    if call.within and call.json and command == "report":
        raise Refused(
            "report --json gives the figures alone: wishboard bands --json says how far each may "
            "be off.",
            WRONG_CALL,
        )
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

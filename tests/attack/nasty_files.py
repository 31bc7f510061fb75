"""Small files that once did harm, or could: each with what must become of it.

Most are a whole car with one place spoilt, made here so that they keep in step with the samples;
those that took more to find stand in the folder `nasty`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from app.document.samples import first_sample
from tests.attack.files import Kind

FOLDER: Final = Path(__file__).parent / "nasty"
_SAMPLES: Final = first_sample().parent
SALOON: Final = first_sample().read_text(encoding="utf-8")
SPECIAL: Final = (_SAMPLES / "hillclimb_special.toml").read_text(encoding="utf-8")
COUPE: Final = (_SAMPLES / "torsion_coupe.toml").read_text(encoding="utf-8")

TITLE: Final = "Ferncote Linnet 1500, four-door saloon, 1963"
REAR_BUMP: Final = (
    "bump = 75.0                        # to the rubber stop squeezed flat\nrebound = 90.0"
)


@dataclass(frozen=True)
class Nasty:
    """A file, and its fate: read and studied, or refused at a line, with a key in the fault."""

    name: str
    text: str
    fate: Kind = "studied"
    line: int | None = None  # None: any
    key: str = ""

    @property
    def data(self) -> bytes:
        """The file's bytes; a surrogate stands for a byte that is no UTF-8."""
        return self.text.encode("utf-8", "surrogateescape")


def spoilt(name: str, old: str, new: str, key: str = "", of: str = SALOON) -> Nasty:
    """Return a whole car with one place spoilt; with a key, it must be refused there."""
    before, found, after = of.partition(old)
    assert found, f"{name}: {old!r} stands in the sample no more"
    line = before.count("\n") + 1 + (len(old) - len(old.lstrip("\n")))
    text = f"{before}{new}{after}"
    return Nasty(name, text, "refused", line, key) if key else Nasty(name, text)


def renamed(name: str, new: str) -> Nasty:
    """Return a whole car whose first change has another name, wherever the file says it."""
    return Nasty(name, SALOON.replace("Upper pivots 22 mm lower", new))


def added(name: str, text: str, key: str = "", of: str = SALOON) -> Nasty:
    """Return a whole car with lines at its end, of which the last must be refused."""
    whole = f"{of.rstrip()}\n\n{text}\n"
    return Nasty(name, whole, "refused", whole.count("\n"), key)


def _numbers() -> Iterator[Nasty]:
    """Numbers that no car has."""
    rate, mass = "rate = 63.0", "mass = 1080.0 "
    yield spoilt("spring-rate-1e30", rate, "rate = 1e30", "front.spring.rate")
    yield spoilt("spring-rate-1e300", rate, "rate = 1e300", "front.spring.rate")
    yield spoilt("spring-rate-1e-300", rate, "rate = 1e-300", "front.spring.rate")
    yield spoilt("mass-1e300", mass, "mass = 1e300 ", "car.mass")
    yield spoilt("mass-300-digits", mass, f"mass = {'9' * 300} ", "car.mass")
    yield spoilt("mass-4400-digits", mass, f"mass = {'9' * 4400} ", "mass")
    yield spoilt("wheelbase-1e-300", "wheelbase = 2490.0", "wheelbase = 1e-300", "car.wheelbase")
    yield spoilt("cg-height-1e9", "cg_height = 545.0", "cg_height = 1e9", "car.cg_height")
    yield spoilt("tyre-radius-1e-9", "tyre_radius = 292.0", "tyre_radius = 1e-9", "tyre_radius")
    yield spoilt("place-1e300", "[98.0, 372.0, 560.0]", "[1e300, 372.0, 560.0]", "upper_front")
    yield spoilt("limit-1e300", "camber = { min = -1.5", "camber = { min = -1e300", "camber")
    yield spoilt("leaf-1e6-thick", "thickness = 5.5", "thickness = 1e6", "rear.pack.leaf")
    yield spoilt("modulus-1e-9", "modulus = 206000.0", "modulus = 1e-9", "rear.pack.modulus")
    yield spoilt("pitch-inertia-1e-300", "pitch_inertia = 3.2", "pitch_inertia = 1e-300", "pitch")
    yield spoilt("pinion-angle-1e9", "pinion_angle = 2.0", "pinion_angle = 1e9", "pinion_angle")
    yield spoilt("damper-rate-1e300", "rate = 1.3 ", "rate = 1e300 ", "rear.damper.rate")
    yield spoilt("damper-rate-1e308", "rate = 1.25 ", "rate = 1e308 ", "rear.damper.rate", of=COUPE)
    yield spoilt("rear-bump-1e6", REAR_BUMP, "bump = 1e6\nrebound = 90.0", "rear.travel.bump")
    yield spoilt(
        "rate-in-a-change-1e30", '"front.spring.rate" = 70.0', '"front.spring.rate" = 1e30', "rate"
    )
    yield spoilt("move-1e300", "[0.0, 0.0, -22.0]", "[0.0, 0.0, -1e300]", "upper_front")
    digits = "0x" + "F" * 5000
    yield spoilt("title-5000-digits", f'"{TITLE}"', digits, "title")
    yield spoilt("format-5000-digits", "format = 2", f"format = {digits}", "format")
    yield spoilt("on-5000-digits", "on = false", f"on = {digits}", "on")


def _lines_and_keys() -> Iterator[Nasty]:
    """Text that is no TOML, and names that no setup has: the line and the key are named."""
    yield spoilt("no-value", "cg_height = 545.0", "cg_height =", "cg_height")
    yield spoilt("no-equals", "cg_height = 545.0", "cg_height 545.0", "cg_height")
    yield spoilt("decimal-comma", "camber = 0.5 ", "camber = 0,5 ", "camber")
    yield spoilt("unit-behind-a-number", "tyre_rate = 175.0", "tyre_rate = 175 N/mm", "tyre_rate")
    yield spoilt(
        "text-not-closed", 'lower_arm = "link and strut rod"', 'lower_arm = "link', "lower_arm"
    )
    unclosed = spoilt("list-not-closed", "[98.0, 372.0, 560.0]", "[98.0, 372.0, 560.0", "upper_")
    yield replace(unclosed, line=None)  # that a list goes on is only seen behind it
    yield spoilt("header-not-closed", "[front.points]", "[front.points", "front.points")
    yield spoilt("no-utf-8", 'lower_arm = "link', 'lower_arm = "\udce9link', "lower_arm")
    yield spoilt("key-twice", "tyre_rate = 175.0", "tyre_radius = 292.0", "tyre_radius")
    yield added("table-twice", "[car]", "car")
    yield added("lists-nested-800", f"[x]\na = {'[' * 800}{']' * 800}")
    yield added("dotted-key-5000-deep", f"{'.'.join('a' * 5000)} = 1")
    yield added(
        "dotted-key-2000-deep-in-a-change",
        f'[[change]]\nname = "q"\n[change.move]\n{".".join("a" * 2000)} = [0, 0, 1]',
    )
    yield added("key-of-control-characters", '"\\u001b[2J" = 1')
    yield added("two-unknown-names", '[[change]]\nname = "q"\nzip = 1\nzap = 2', "zap")
    names = "\n".join(f'"front.x{at}" = [0, 0, 1]' for at in range(5000))
    many = added("five-thousand-unknown-names", f'[[change]]\nname = "q"\n[change.move]\n{names}')
    yield replace(many, line=None, key="x0")
    yield spoilt("word-of-control-characters", 'kind = "rack"', 'kind = "\\u001b[2Jrack"', "kind")


def _texts() -> Iterator[Nasty]:
    """Titles and names that are no plain text: they are shown as they are, or refused."""
    yield spoilt("title-of-rich-text", TITLE, r"<img src=\"file:///red.png\"> <h1>Saved</h1>")
    yield spoilt("title-of-control-characters", TITLE, r"\u001b]0;x\u0007\u001b[2J Linnet\u0000")
    yield spoilt("title-turned-round", TITLE, r"\u202e1963 Linnet")
    yield renamed("name-of-rich-text", "<b>22</b> &amp; <img src='x'>")
    yield renamed("name-of-control-characters", r"\u001b[2J\u009b31m")
    yield spoilt("note-of-control-characters", "Drill four new holes", r"\u001b[2J\u0000 Drill")


def _cars() -> Iterator[Nasty]:
    """Cars that are rare, or no car at all."""
    no_clip = SALOON.replace(", clipped = true", "")
    yield Nasty("no-leaf-clipped", no_clip)
    half = SPECIAL.partition("[rear.spring]")
    rest = half[2].partition("[rear.links]")
    without = f"{half[0]}[rear.links]{rest[2]}"
    lower_end = "spring_axle   = [-2252.0, 468.0, 242.0]\n"
    assert lower_end in without
    yield Nasty("half-spring", without.replace(lower_end, ""), "refused", None, "spring_axle")
    snubber = '[[change]]\nname = "q"\n[change.move]\n"rear.bar_snubber" = [0, 0, 5]'
    yield replace(added("move-of-what-a-job-that-is-off-fits", snubber), fate="studied", line=None)
    yield spoilt("rear-bump-200", REAR_BUMP, "bump = 200.0\nrebound = 90.0")
    yield _unbuilt("move-out-of-reach", "[0.0, 0.0, -22.0]", "[0.0, -400.0, -22.0]", "upper_front")
    yield _unbuilt(
        "pivots-at-one-place", "[-112.0, 378.0, 553.0]", "[98.0, 372.0, 560.0]", "upper_"
    )
    eye, shackle = "[-1890.0, 535.0, 229.0]", "[-3184.0, 535.0, 342.0]"
    yield _unbuilt("shackle-at-the-front-eye", shackle, eye, "shackle_body")
    yield spoilt("wheel-on-the-centreline", "[-2490.0, 655.0, 292.0]", "[-2490.0, 0.0, 292.0]")
    for path in sorted(FOLDER.glob("*.toml")):
        fate, token, key = _STORED[path.stem]
        text = path.read_text(encoding="utf-8")
        line = text[: text.index(token)].count("\n") + 1 if token else None
        yield Nasty(path.stem, text, fate, line, key)


def _unbuilt(name: str, old: str, new: str, key: str) -> Nasty:
    made = spoilt(name, old, new, key)
    return Nasty(name, made.text, "unbuilt", made.line, key)


_STORED: Final[dict[str, tuple[Kind, str, str]]] = {
    "ball-joint-far-behind-on-lock": ("studied", "", ""),
    "half-spring-and-little-else": ("refused", "", "spring_axle"),
    "leaf-1e150": ("refused", "1e+150", "rear.pack.leaf"),
    "link-end-1e150": ("refused", "1e+150", "lower_axle"),
    "shackle-far-in-roll": ("studied", "", ""),
    "single-leaf": ("studied", "", ""),
    "single-leaf-and-little-else": ("studied", "", ""),
}

NASTY: Final = (*_numbers(), *_lines_and_keys(), *_texts(), *_cars())

"""Values as TOML text: short, exact enough to read back, in the style of what stood there."""

from __future__ import annotations

import re
from typing import Final

CLOSE: Final = 1e-12  # relative; what a number may differ when it is read back
_ZERO: Final = 1e-12  # in the file's units; what is left of a sum that should be nothing
_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_BY_HAND: Final = re.compile(r"[+-]?[\d_]+\.\d{1,4}")  # more decimals were never chosen
_CLOSING: Final = re.compile(r'"(?=""|\Z)')  # quotes that would end a text too early
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_SHORT_ESCAPES: Final = {"\r": "\\r", "\b": "\\b", "\f": "\\f"}


def close(a: float, b: float, tolerance: float = CLOSE) -> bool:
    """Tell whether two numbers of a file are the same for all purposes."""
    return abs(a - b) <= max(tolerance * 1.001 * max(abs(a), abs(b)), _ZERO)


def number_text(number: float, like: str = "", tolerance: float = CLOSE) -> str:
    """Return the shortest text that reads back as the number, with at least the decimals of `like`.

    Text that stood there without a decimal point stays without where the number allows it.
    """
    if abs(number) <= _ZERO:
        number = 0.0
    short = number
    for digits in range(1, 17):
        short = float(f"{number:.{digits}g}")
        if abs(short - number) <= tolerance * 1.001 * abs(number):
            break
    else:
        short = number
    whole = like.strip("+-").replace("_", "").isdigit()
    if whole and short == int(short) and abs(short) < 1e15:
        return str(int(short))
    return _with_decimals(repr(short + 0.0), like)


def _with_decimals(text: str, like: str) -> str:
    if "e" in text or "n" in text:
        return text
    places = len(like.partition(".")[2]) if _BY_HAND.fullmatch(like) else 1
    return text + "0" * (places - len(text.partition(".")[2]))


def key_text(name: str) -> str:
    """Return a key as it is written: bare where it can be, else in quotes."""
    return name if _BARE.fullmatch(name) else string_text(name)


def string_text(text: str, like: str = "") -> str:
    """Return a text in quotes; one of several lines between triple quotes."""
    escaped = text.replace("\\", "\\\\")
    if "\n" not in text and not like.startswith('"""'):
        quoted = _without_controls(escaped).replace('"', '\\"')
        return f'"{quoted}"'
    escaped = _without_controls(_CLOSING.sub(r"\\\g<0>", escaped))
    opening = '"""\n' if like.startswith(('"""\n', '"""\r')) or text.startswith("\n") else '"""'
    return f'{opening}{escaped}"""'


def _without_controls(text: str) -> str:
    def escape(match: re.Match[str]) -> str:
        return _SHORT_ESCAPES.get(match[0], f"\\u{ord(match[0]):04x}")

    return _CONTROL.sub(escape, text)

"""What is said of readings that agree or don't, in plain words and the reader's units."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot
from typing import Final

from app.document.adjusting import TOO_BAD, adjusted
from app.document.edits import tapes_without
from app.document.ends import end_of
from app.document.model import MARK, Setup, Tape
from app.document.plain_text import lower_first
from app.document.point_names import point_title
from app.document.units import format_value, number_of
from app.judge.survey import TOO_GOOD, Doubt, Gain, PointRow, Survey, TapeRow, gain_of, survey_of
from geometry.survey.adjustment import MOST_MISCLOSURE

_DIRECTIONS: Final = ("how far forward", "how far across", "how high")
_ALONG: Final = ("lengthways", "across", "in height")
_WAYS: Final = (("far forward", "far back"), ("far left", "far right"), ("high", "low"))
_NEITHER: Final = ""  # of a tape between marks
_MOST: Final = 4  # readings named one by one
_POINTS: Final = 3  # named of those that a further tape makes surer


def adjusted_words(setup: Setup) -> str:
    """Return what every page says of a car whose points were adjusted: "adjusted with 7 tapes"."""
    count = len(adjusted(setup).numbers) if setup.tapes else 0
    return f"adjusted with {tapes_words(count)}" if count else ""


def tapes_words(count: int) -> str:
    """Return a number of tapes in words."""
    return f"{count} tape{'' if count == 1 else 's'}"


def end_title(setup: Setup, end: str) -> str:
    """Return what an end of a tape is called."""
    if end.startswith(MARK):
        return f"Mark {end.removeprefix(MARK)}"
    return point_title(end, setup.readings)


def tape_title(setup: Setup, tape: Tape) -> str:
    """Return what a tape is called: its two ends."""
    first, second = (end_title(setup, end) for end in tape.between)
    return f"{first} – {_inside(second)}"


def gone_tapes_words(before: Setup, after: Setup) -> str:
    """Return which tapes went because a point that they end at isn't measured any more."""
    points = before.readings.keys() - after.readings.keys()
    tapes = tapes_without(before, *points)
    lost_tapes = [tape_title(before, tape) for tape in before.tapes if tape not in tapes]
    if not lost_tapes:
        return ""
    count, titles = tapes_words(len(lost_tapes)), _joined(lost_tapes)
    return f"{count} went with a point that is measured no more: {titles}."


def survey_sentences(setup: Setup, survey: Survey, decimal: str = ".") -> tuple[str, ...]:
    """Return what the readings say together: doubts first, then how they agree."""
    say = _Say(setup, decimal)
    return (*say.far(survey.far), *say.doubts(survey), *say.together(survey))


def look_again_words(setup: Setup, decimal: str = ".") -> tuple[str, ...]:
    """Return what has to be looked at again of the whole car, nothing where all agree."""
    survey, say = survey_of(setup), _Say(setup, decimal)
    return (*say.far(survey.far), *say.doubts(survey))


def doubts_words(setup: Setup, end: str, decimal: str = ".") -> tuple[str, ...]:
    """Return what has to be looked at again of one end's readings, nothing where all agree."""
    survey, say = survey_of(setup), _Say(setup, decimal)
    far = [row for row in survey.far if _end_of_tape(row.tape) in (end, _NEITHER)]
    worst = survey.doubts[0] if survey.doubts else None
    if worst is None:
        return tuple(say.far(far))
    where = _end_of_tape(survey.tapes[worst.tape - 1].tape) if worst.tape else end_of(worst.key)
    is_here = where in (end, _NEITHER)
    return (*say.far(far), *(say.doubts(survey) if is_here else ()))


def _end_of_tape(tape: Tape) -> str:
    """Return the end of the car whose points a tape is about, the first of them."""
    ends = [end_of(end) for end in tape.between if not end.startswith(MARK)]
    return ends[0] if ends else _NEITHER


def hidden_words(setup: Setup, row: TapeRow, decimal: str = ".") -> str:
    """Return what a tape could hide."""
    if row.hidden is None:
        return "nothing checks it"
    return f"misread by less than {_Say(setup, decimal).length(row.hidden)}: not seen"


def gain_words(setup: Setup, gain: Gain, decimal: str = ".") -> str:
    """Return what one more tape would bring."""
    return _Say(setup, decimal).gain(gain)


def misclosure_words(setup: Setup, tape: Tape, decimal: str = ".") -> str:
    """Return how far a reading is off what the points and the other tapes say."""
    say, gain = _Say(setup, decimal), gain_of(setup, tape.between, tape.within)
    off = tape.length - gain.length
    if abs(off) > MOST_MISCLOSURE:
        return (
            f"It is {say.length(abs(off))} off, too far to be adjusted: a digit, or a wrong point?"
        )
    most = hypot(gain.within, tape.within)
    verdict = "more than their ± explain: read it once more" if abs(off) > most else "which agrees"
    return f"It reads {say.length(abs(off))} {'more' if off > 0 else 'less'}, {verdict}."


class _Say:
    """Words in a setup's units."""

    def __init__(self, setup: Setup, decimal: str) -> None:
        self.setup, self.decimal = setup, decimal

    def length(self, value: float) -> str:
        return format_value(value, "length", self.setup.units, decimal=self.decimal)

    def far(self, rows: Sequence[TapeRow]) -> Iterator[str]:
        for row in rows:
            assert row.adjusted is not None  # it has a length between the points
            yield (
                f"Look again: tape {row.number} ({tape_title(self.setup, row.tape)}) reads "
                f"{self.length(row.tape.length)}; the points are {self.length(row.adjusted)} "
                "apart. That is too far off to be adjusted, so it is left out: was a digit or "
                "the wrong point read?"
            )

    def doubts(self, survey: Survey) -> Iterator[str]:
        """Yield what is doubtful, what can't be told from it, and what would tell."""
        if not survey.doubts:
            return
        worst, *others = sorted(survey.doubts, key=lambda doubt: (-_rounded(doubt), not doubt.tape))
        size = number_of(worst.size, "plain", "mm", decimal=self.decimal, places=1)
        yield f"Look again: {self.off(survey, worst)}, {size} standard deviations off."
        if others:
            named = [self.reading(survey, doubt) for doubt in others[:_MOST]]
            more = len(others) - len(named)
            if more:
                named.append(f"{more} more")
            yield f"It can't be told from {_joined(named)}: any one of them may be off instead."
            yield self.telling(survey.telling)

    def telling(self, gain: Gain | None) -> str:
        if gain is None:
            return "Read them again; no further tape between these points would tell which."
        first, second = (_inside(end_title(self.setup, end)) for end in gain.between)
        return f"One more tape would tell which: {first} – {second}."

    def reading(self, survey: Survey, doubt: Doubt) -> str:
        if doubt.tape:
            tape = survey.tapes[doubt.tape - 1].tape
            return f"tape {doubt.tape} ({tape_title(self.setup, tape)})"
        return f"{_DIRECTIONS[doubt.axis]} the {_inside(end_title(self.setup, doubt.key))} is"

    def off(self, survey: Survey, doubt: Doubt) -> str:
        size, is_more = self.length(abs(doubt.off)), doubt.off > 0
        if doubt.tape:
            way = "more" if is_more else "less"
            return f"{self.reading(survey, doubt)} reads {size} {way} than all other readings say"
        point = _inside(end_title(self.setup, doubt.key))
        way = _WAYS[doubt.axis][0 if is_more else 1]
        return f"the {point} was read {size} too {way} for all other readings"

    def together(self, survey: Survey) -> Iterator[str]:
        """Yield how all readings agree by their uncertainties."""
        count = survey.degrees_of_freedom
        if not count:
            return
        chance = _percent(survey.probability)
        what = f"{tapes_words(count)} and the points"
        if survey.probability > TOO_GOOD:
            yield (
                f"{what} agree better than chance allows ({chance}): all “within” are probably "
                "given too wide."
            )
        elif survey.probability < TOO_BAD:
            yield (
                f"{what} disagree more than their “within” explain ({chance}): something was "
                "misread, or all “within” are given too small."
            )
        else:
            yield f"{what} agree as their “within” let expect: {chance} of such cars agree less."

    def gain(self, gain: Gain) -> str:
        words = (
            f"It should read {self.length(gain.length)} ± {self.length(gain.within)}. "
            f"Misread by less than {self.length(gain.hidden)} it would not be seen."
        )
        figures = [
            (key, _ALONG[axis], self.length(was), self.length(now))
            for key, axis, was, now in gain.points
        ]
        named = [
            f"{_inside(end_title(self.setup, key))} {along} ± {now} (now {was})"
            for key, along, was, now in figures
            if now != was
        ][:_POINTS]
        if named:
            words += f" Surer with it: {_joined(named)}."
        else:
            words += " It makes no point much surer."
        if gain.tells is not None:
            words += (
                " The doubtful readings could be told apart."
                if gain.tells
                else " The doubtful readings still couldn't be told apart."
            )
        return words


def point_rows_shown(survey: Survey) -> tuple[PointRow, ...]:
    """Return the points that tapes end at: the others are as they were read."""
    return tuple(row for row in survey.points if row.is_taped)


def _rounded(doubt: Doubt) -> float:
    return round(doubt.size, 1)  # among equals a tape comes first: it is read again more easily


def _inside(title: str) -> str:
    return lower_first(title)


def _percent(share: float) -> str:
    if share > TOO_GOOD:
        return "over 99.9 %"
    return "under 0.1 %" if share < TOO_BAD else f"{100.0 * share:.0f} %"


def _joined(words: Sequence[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last

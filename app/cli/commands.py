"""The commands: each reads a file, studies it and says or writes what was asked for."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.arguments import Call, is_picture, parse_call, refuse_steer
from app.cli.refused import WRONG_FILE, Refused
from app.cli.terminal import terminal_of, write_json, write_text
from app.words.unforeseen import unforeseen_words

if TYPE_CHECKING:
    from app.systems.answers import Study

OpenBoard = Callable[[Path | None], int]


def run(arguments: Sequence[str], open_board: OpenBoard) -> int:
    """Run a command and return its exit status: 0 done, 1 the file was wrong, 2 the call was."""
    try:
        status = _answer(parse_call(arguments), open_board)
        if sys.stdout is not None:
            sys.stdout.flush()
    except Refused as refused:
        write_text(refused.words, sys.stderr)
        return refused.status
    except BrokenPipeError:
        return _output_closed(0)
    except OSError as error:  # of standard output: files are answered where they are opened
        write_text(f"The output can't be written: {error.strerror or error}.", sys.stderr)
        return _output_closed(WRONG_FILE)
    except KeyboardInterrupt:
        return 130
    return status


def _answer(call: Call, open_board: OpenBoard) -> int:
    """Run a call; an unexpected exception becomes a sentence that names the file."""
    try:
        return _run(call, open_board)
    except (Refused, OSError):
        raise
    except Exception as error:
        if sys.flags.dev_mode:  # python -X dev: developers want the traceback
            raise
        name = call.file.name if call.file is not None else "This"
        raise Refused(unforeseen_words(name, error)) from None


def _run(call: Call, open_board: OpenBoard) -> int:
    if call.command == "open" or call.file is None:
        from app.cli.opening import open_or_write

        return open_or_write(call.file, open_board)
    commands = {
        "report": _report,
        "curves": _curves,
        "bands": _bands,
        "drawing": _drawing,
        "sheet": _sheet,
        "template": _template,
        "compare": _compare,
        "align": _align,
        "find": _find,
        "import": _import,
        "clearance": _clearance,
        "survey": _survey,
        "check": _check,
    }
    return commands[call.command](call, call.file)


def _report(call: Call, path: Path) -> int:
    from app.cli.files import load, solve
    from app.cli.report_json import report_object
    from app.cli.report_text import report_text

    ends = solve(load(path), path, call.axle)
    if call.within:
        from app.cli.report_bands import ends_with_bands

        ends = ends_with_bands(ends, path)
    if call.json:
        write_json(report_object(ends, path))
    else:
        write_text(report_text(ends, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _curves(call: Call, path: Path) -> int:
    from app.cli.curves import curves_csv, curves_object, curves_of
    from app.cli.curves_text import curves_text
    from app.cli.files import load, solve, write_file
    from app.cli.machine import name
    from app.systems.naming import title_of

    end = solve(load(path), path, call.axle)[0]
    if "steer" not in end.study.system.drivers:
        refuse_steer(call)
    if is_picture(call.output):
        return _picture(end.study, call, path)
    curves = curves_of(end, call, name if call.json else title_of)
    if call.output == Path("-"):
        sys.stdout.write(curves_csv(curves))
        return 0
    if call.output is not None:
        write_file(call.output, curves_csv(curves).encode())
        count = curves.measured.at.size
        write_text(f"{call.output} written: {count} pose{'s' if count > 1 else ''}.", sys.stderr)
    if call.json:
        write_json(curves_object(curves, path))
    elif call.output is None:
        write_text(curves_text(curves, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _bands(call: Call, path: Path) -> int:
    from app.cli.bands import answer_of, bands_csv, bands_object
    from app.cli.bands_text import bands_text
    from app.cli.files import load, solve, write_file

    end = solve(load(path), path, call.axle)[0]
    if "steer" not in end.study.system.drivers:
        refuse_steer(call)
    answer = answer_of(end, call, path)
    if call.output == Path("-"):
        sys.stdout.write(bands_csv(answer))
        return 0
    if call.output is not None:
        write_file(call.output, bands_csv(answer).encode())
        write_text(f"{call.output} written.", sys.stderr)
    if call.json:
        write_json(bands_object(answer, path))
    elif call.output is None:
        write_text(bands_text(answer, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _drawing(call: Call, path: Path) -> int:
    from app.cli.files import load, solve

    return _picture(solve(load(path), path, call.axle)[0].study, call, path)


def _picture(study: Study[Any], call: Call, path: Path) -> int:
    from app.cli.pictures import write_picture

    write_picture(study, call, path.name)
    write_text(f"{call.output} written.", sys.stderr)
    return 0


def _sheet(call: Call, path: Path) -> int:
    from app.cli.files import load, solve
    from app.cli.sheet import chosen_extras, covered_ends, write_sheet_file

    assert call.output is not None  # the parser asks for it
    covers, ends = covered_ends(call.axle), solve(load(path), path)
    extras = chosen_extras(call.pages, call.without)
    write_sheet_file(ends, call.output, call.paper, path.name, covers, extras)
    write_text(f"{call.output} written.", sys.stderr)
    return 0


def _template(call: Call, path: Path) -> int:
    from app.cli.files import load, solve
    from app.cli.template import write_template_file

    assert call.output is not None  # the parser asks for it
    setup = load(path)
    ends = solve(setup, path)  # holes of a car that can't be built aren't drilled
    write_text(write_template_file(ends, setup, call, call.output, path.name), sys.stderr)
    return 0


def _compare(call: Call, path: Path) -> int:
    from app.cli.compare import compare_files, compare_object, compare_text

    compared = compare_files(path, call.sets, call.others)
    if call.within:
        from app.cli.compare import with_bands

        compared = with_bands(compared, path)
    if call.json:
        write_json(compare_object(compared, path))
    else:
        write_text(compare_text(compared, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _align(call: Call, path: Path) -> int:
    from app.cli.align import align_file, align_object, align_text

    alignment = align_file(path)
    if call.json:
        write_json(align_object(alignment, path))
    else:
        write_text(align_text(alignment, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _find(call: Call, path: Path) -> int:
    from app.cli.find import find_in, find_object, find_text, write_found

    search = find_in(call, path)
    if call.output is not None:
        write_found(search, path, call.output)
        write_text(f"{call.output} written.", sys.stderr)
    if call.json:
        write_json(find_object(search, path))
    else:
        write_text(find_text(search, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _clearance(call: Call, path: Path) -> int:
    from app.cli.clearance import clearance_object, clearance_text
    from app.cli.files import load, solve

    ends = solve(load(path), path, call.axle)
    if call.json:
        write_json(clearance_object(ends, path))
    else:
        write_text(clearance_text(ends, path, terminal_of(sys.stdout)), laid_out=True)
    return 0


def _import(call: Call, path: Path) -> int:
    from app.cli.point_list import import_points

    import_points(call, path)
    return 0


def _survey(call: Call, path: Path) -> int:
    from app.cli.survey import survey

    survey(call, path)
    return 0


def _check(call: Call, path: Path) -> int:
    from app.cli.checking import check_words

    write_text(check_words(path))
    return 0


def _output_closed(status: int) -> int:
    """Redirect an output whose reader closed the pipe, so that nothing more is written to it."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return status

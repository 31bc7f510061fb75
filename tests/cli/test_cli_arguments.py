"""What is typed after `wishboard`: taken as meant, or refused with a sentence and status 2."""

from pathlib import Path

import pytest

from app.cli.arguments import MOST_POSES, Call, parse_call
from app.cli.refused import Refused

FILE = Path("car.toml")


@pytest.mark.parametrize(
    ("words", "call"),
    [
        ("", Call("open")),
        ("car.toml", Call("open", FILE)),
        ("./report", Call("open", Path("report"))),
        ("report car.toml", Call("report", FILE)),
        ("report car.toml --json", Call("report", FILE, json=True)),
        ("report --axle front car.toml", Call("report", FILE, axle="front")),
        ("curves car.toml", Call("curves", FILE)),
        ("curves car.toml --over roll", Call("curves", FILE, over="roll")),
        ("curves car.toml --steer -12.5", Call("curves", FILE, steer=-12.5)),
        ("curves car.toml -o out.csv", Call("curves", FILE, output=Path("out.csv"))),
        ("sheet car.toml -o s.pdf", Call("sheet", FILE, output=Path("s.pdf"))),
        (
            "sheet car.toml -o s.pdf --axle both",
            Call("sheet", FILE, axle="both", output=Path("s.pdf")),
        ),
        (
            "sheet car.toml -o s.pdf --paper letter",
            Call("sheet", FILE, output=Path("s.pdf"), paper="letter"),
        ),
        (
            "sheet car.toml -o s.pdf --without template --without spring-order",
            Call("sheet", FILE, output=Path("s.pdf"), without=("template", "spring-order")),
        ),
        (
            "sheet car.toml -o s.pdf --with proposals",
            Call("sheet", FILE, output=Path("s.pdf"), pages=("proposals",)),
        ),
        (
            "template car.toml -o t.DXF --side right",
            Call("template", FILE, output=Path("t.DXF"), side="right"),
        ),
        (
            "find car.toml --want a=1 b=2 --want c=3 --room x.z=0:1 --room y.z=0:1 --alike x,y",
            Call(
                *("find", FILE),
                wanted=("a=1", "b=2", "c=3"),
                room=("x.z=0:1", "y.z=0:1"),
                alike=("x,y",),
            ),
        ),
        (
            "curves car.toml --at 10 20 --at 30",
            Call("curves", FILE, at=(10.0, 20.0, 30.0), is_bare=True),
        ),
        ("check car.toml", Call("check", FILE)),
    ],
)
def test_a_call_is_taken_as_it_is_meant(words, call):
    assert parse_call(words.split()) == call


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        ("-40 0 40", (-40.0, 0.0, 40.0)),
        ("-.5 +3", (-0.5, 3.0)),
        ("-40. 1e1", (-40.0, 10.0)),
        ("-1e-3", (-0.001,)),
        ("−12.5", (-12.5,)),
    ],
)
def test_negative_numbers_are_no_options(typed, values):
    call = parse_call(["curves", "car.toml", "--at", *typed.split()])
    assert call.at == pytest.approx(values, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "values", "is_bare"),
    [
        ("3.5in -1in 90mm", (88.9, -25.4, 90.0), False),
        ('-.5" 0', (-12.7, 0.0), False),
        ("3.5", (3.5,), True),
        ("--over roll 1.5deg -1° 2", (1.5, -1.0, 2.0), False),
    ],
)
def test_a_place_may_have_its_unit(typed, values, is_bare):
    *over, numbers = ("--over roll", typed[12:]) if "roll" in typed else (typed,)
    words = ["curves", "car.toml", *" ".join(over).split(), "--at", *numbers.split()]
    call = parse_call(words)
    assert call.at == pytest.approx(values, rel=1e-12)  # an inch has 25.4 mm
    assert call.is_bare is is_bare


def test_the_rack_may_be_held_in_inches():
    assert parse_call(["curves", "car.toml", "--steer", "-0.5in"]).steer == pytest.approx(-12.7)


def test_the_usage_is_in_an_order_that_works():
    with pytest.raises(Refused, match=r"usage: wishboard curves FILE .*--at V"):
        parse_call(["curves", "car.toml", "--at"])


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("curves car.toml --over roll --at 3in", "roll is in degrees: 1.5deg"),
        ("curves car.toml --at 3deg", "that is a length: 90mm or 3.5in"),
        ("sheet car.toml -o x.txt", "The sheet is a PDF and can't be called x.txt"),
        ("sheet car.toml -o -", "The sheet is a PDF"),
        ("sheet car.toml -o s.pdf --without holes", "holes"),
        ("template car.toml", "required: -o"),
        ("template car.toml -o t.dxf --side both", "both"),
        ("report", "arguments are required: FILE"),
        ("reprot car.toml", "Did you mean report"),
        (
            "frobnicate car.toml",
            "There are report, curves, bands, drawing",
        ),
        ("car.toml other.toml", "opens one file"),
        ("--jsn", "Unrecognized arguments: --jsn"),
        ("curves car.toml --at", "--at: expected at least one argument"),
        ("curves car.toml --at 1 two", "two is no number"),
        ("curves --at 1 car.toml", r"FILE comes before --at"),
        ("curves car.toml --at 1,5", "decimal sign is a point"),
        ("curves car.toml --at nan", "no number that a wheel can go to"),
        ("curves car.toml --at -inf", "--at"),
        ("curves car.toml --at 1e9", "no number that a wheel can go to"),
        ("curves car.toml --at -1e300", "no number that a wheel can go to"),
        ("curves car.toml --over yaw", "choose from"),
        ("curves car.toml --over steer --steer 5", "--steer holds the rack"),
        ("sheet car.toml", "required: -o"),
        ("sheet car.toml -o s.pdf --paper a3", "a3"),
        ("report car.toml --axle middle", "middle"),
        ("drawing car.toml -o d.txt", "A drawing is a PDF, SVG or PNG"),
        ("drawing car.toml -o d.pdf --view back", "back"),
        ("curves car.toml --at 10 -o c.pdf", "drawn over the whole range"),
    ],
)
def test_a_wrong_call_is_answered_in_a_sentence(words, answer):
    with pytest.raises(Refused, match=answer) as refused:
        parse_call(words.split())
    assert refused.value.status == 2


def test_more_poses_than_anybody_asks_for_are_refused():
    many = [str(value) for value in range(MOST_POSES + 1)]
    with pytest.raises(Refused, match="up to 2000 values; 2001 came"):
        parse_call(["curves", "car.toml", "--at", *many])


def test_the_setup_file_is_not_overwritten(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text("format = 1")
    with pytest.raises(Refused, match="is the setup file itself"):
        parse_call(["curves", str(path), "-o", str(tmp_path / "." / "car.toml")])

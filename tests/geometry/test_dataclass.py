"""The house's frozen dataclasses against the standard library's: the same source, made by both."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, field, fields, replace
from typing import Any

import pytest

from geometry.dataclass import dataclass

MAKERS: dict[str, Callable[..., Any]] = {"house": dataclass, "standard": dataclasses.dataclass}


def kinds(name: str) -> dict[str, type[Any]]:
    """Return one class of each shape, made by one of the two."""
    make = MAKERS[name]

    @make(frozen=True)
    class Plain:
        a: int
        b: str = "b"
        seen: list[int] = field(default_factory=list, compare=False, repr=False)

    @make(frozen=True, slots=True)
    class Slotted:
        a: int
        b: float = 2.0

    @make(frozen=True, kw_only=True)
    class Named:
        later: int = 3
        first: str

    @make(frozen=True, eq=False)
    class Itself:
        a: int

    @make(frozen=True)
    class Derived(Plain):
        c: int = 4
        total: int = field(init=False)
        held: list[int] = field(init=False, default_factory=list, compare=False)

        def __post_init__(self) -> None:
            object.__setattr__(self, "total", self.a + self.c)

    @make(frozen=True)
    class Empty:
        pass

    @make(frozen=True)
    class One:
        a: object

    made: tuple[type[Any], ...] = (Plain, Slotted, Named, Itself, Derived, Empty, One)
    return {kind.__name__: kind for kind in made}


CALLS: tuple[tuple[str, tuple[object, ...], dict[str, object]], ...] = (
    ("Plain", (1,), {}),
    ("Plain", (1, "c"), {"seen": [7]}),
    ("Plain", (), {"b": "x", "a": 2}),
    ("Plain", (), {}),  # a is missing
    ("Plain", (1, "b", [], 4), {}),  # one too many
    ("Slotted", (1,), {}),
    ("Slotted", (1,), {"c": 2}),  # there is no c
    ("Named", (), {"first": "f"}),
    ("Named", ("f",), {}),  # only by name
    ("Itself", (1,), {}),
    ("Derived", (1,), {"c": 5}),
    ("Derived", (1,), {"total": 5}),  # isn't set from outside
    ("Empty", (), {}),
    ("One", ((1, 2),), {}),
)


def outcome(
    made_by: str, kind_name: str, arguments: tuple[object, ...], named: dict[str, object]
) -> tuple[object, ...]:
    """Return what a class made by one of the two does with a call."""
    kind = kinds(made_by)[kind_name]
    try:
        instance = kind(*arguments, **named)
    except TypeError as error:
        return ("refused", str(error).rpartition("__init__")[2])
    twin = kind(*arguments, **named)
    states = [getattr(instance, each.name) for each in fields(instance)]
    compared = (instance == twin, instance != twin, hash(instance) == hash(twin), instance == 1)
    printed = repr(instance).rpartition("<locals>.")[2].split(" object at ")[0]
    return (states, compared, printed, kind.__match_args__, replace(instance) == instance)


@pytest.mark.parametrize(("kind_name", "arguments", "named"), CALLS)
def test_a_class_of_the_house_does_what_the_standard_one_does(
    kind_name: str, arguments: tuple[object, ...], named: dict[str, object]
) -> None:
    ours, standard = (outcome(name, kind_name, arguments, named) for name in MAKERS)
    assert ours == standard


@pytest.mark.parametrize("kind_name", ["Plain", "Slotted", "Derived"])
def test_no_field_can_be_changed_or_removed(kind_name: str) -> None:
    for name in MAKERS:
        instance = kinds(name)[kind_name](1)
        with pytest.raises(FrozenInstanceError, match="cannot assign to field 'a'"):
            instance.a = 2
        with pytest.raises(FrozenInstanceError, match=r"cannot \w+ (to )?field 'a'"):
            del instance.a
        assert instance.a == 1


def test_instances_differ_where_one_field_does() -> None:
    kind = kinds("house")["Plain"]
    assert kind(1, "b") != kind(2, "b")
    assert kind(1, "b") != kind(1, "c")
    assert kind(1, seen=[1]) == kind(1, seen=[2])  # not compared
    assert kinds("house")["Derived"](1) != kind(1)  # of another class


def test_each_instance_gets_a_list_of_its_own() -> None:
    kind = kinds("house")["Plain"]
    kind(1).seen.append(5)
    assert kind(1).seen == []


@dataclass(frozen=True, slots=True)
class Held:
    """A class that pickle can find."""

    a: int
    b: tuple[int, ...] = ()


def test_an_instance_with_slots_is_copied_and_pickled() -> None:
    held = Held(1, (2, 3))
    assert not hasattr(held, "__dict__")
    assert pickle.loads(pickle.dumps(held)) == copy.deepcopy(held) == copy.copy(held) == held

"""Which public names of the program nothing of the program reaches, read from its source.

A name counts as reached when code other than its own definition mentions it: its module by itself,
another by importing it or through its module. What only unreached names mention isn't reached.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

Name = tuple[str, str]  # module, name in it
Imported = dict[str, set[Name]]
Trees = Mapping[str, ast.Module]


@dataclass
class Module:
    """A module's names, and what each of its top statements mentions."""

    defined: set[str] = field(default_factory=set)
    mentions: list[tuple[frozenset[str], set[Name]]] = field(default_factory=list)


def sources(root: Path, packages: tuple[str, ...]) -> dict[str, str]:
    """Return the text of every module of some packages, by its dotted name."""
    found = {}
    for package in packages:
        for path in sorted((root / package).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            found[".".join(parts).removesuffix(".__init__")] = path.read_text()
    return found


def parsed(texts: Mapping[str, str]) -> Trees:
    """Return modules as Python reads them."""
    return {name: ast.parse(text) for name, text in texts.items()}


def unreached_names(trees: Trees) -> set[Name]:
    """Return the functions, classes and constants at the top of modules that nothing reaches."""
    imports = {name: _imported(tree, trees) for name, tree in trees.items()}
    modules = {name: _module(name, tree, imports) for name, tree in trees.items()}
    every = {(module, name) for module, read in modules.items() for name in read.defined}
    dead: set[Name] = set()
    while True:
        reached = set()
        for module, read in modules.items():
            for names, mentioned in read.mentions:
                own = {(module, name) for name in names}
                if not own or not own <= dead:
                    reached |= mentioned - own
        if every - reached == dead:
            return dead
        dead = every - reached


def unreached_methods(trees: Trees) -> set[Name]:
    """Return the public methods, by class and name, that no attribute of the program is called.

    Also the fields that no attribute is called, and no text, as getattr asks for.
    """
    read: set[str] = set()
    asked_for: set[str] = set()
    methods: set[Name] = set()
    fields: set[Name] = set()
    for tree in trees.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and not isinstance(node.ctx, ast.Store):
                read.add(node.attr)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                asked_for.add(node.value)
            elif isinstance(node, ast.ClassDef):
                own = (each for each in node.body if isinstance(each, ast.FunctionDef))
                methods |= {(node.name, each.name) for each in own if each.name[0] != "_"}
                fields |= {
                    (node.name, each.target.id)
                    for each in node.body
                    if isinstance(each, ast.AnnAssign) and isinstance(each.target, ast.Name)
                }
    unread_fields = {each for each in fields if each[1] not in read | asked_for}
    return {each for each in methods if each[1] not in read} | unread_fields


def _module(name: str, tree: ast.Module, imports: Mapping[str, Imported]) -> Module:
    read = Module()
    for node in tree.body:
        names = frozenset(_defined(node))
        read.defined |= {each for each in names if each.strip("_") and not each.endswith("__")}
        if isinstance(node, ast.Import | ast.ImportFrom) or names == {"__all__"}:
            continue
        read.mentions.append((names, set(_mentioned(name, node, imports))))
    return read


def _defined(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        yield node.name
    elif isinstance(node, ast.Assign | ast.AnnAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        for target in targets:
            yield from (part.id for part in ast.walk(target) if isinstance(part, ast.Name))


def _imported(tree: ast.Module, trees: Trees) -> Imported:
    """Return what names of a module stand for elsewhere; a whole module has no name in it."""
    imported: Imported = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                imported.setdefault(alias.asname or alias.name, set()).add((alias.name, ""))
        elif isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                target = (whole, "") if whole in trees else (node.module, alias.name)
                imported.setdefault(alias.asname or alias.name, set()).add(target)
    return imported


def _mentioned(module: str, node: ast.stmt, imports: Mapping[str, Imported]) -> Iterator[Name]:
    imported = imports[module]
    for part in ast.walk(node):
        if isinstance(part, ast.Name):
            yield module, part.id
            for target in imported.get(part.id, ()):
                yield from _followed(target, imports)
        elif isinstance(part, ast.Attribute):
            owners = imported.get(_dotted(part.value), ())
            for owner, name in owners:
                if not name:
                    yield from _followed((owner, part.attr), imports)
        elif isinstance(part, ast.Constant) and isinstance(part.value, str):
            yield module, part.value  # an annotation in quotes


def _dotted(node: ast.expr) -> str:
    """Return a name with its dots, "" for what is no name."""
    if isinstance(node, ast.Name):
        return node.id
    owner = _dotted(node.value) if isinstance(node, ast.Attribute) else ""
    return f"{owner}.{node.attr}" if owner and isinstance(node, ast.Attribute) else ""


def _followed(target: Name, imports: Mapping[str, Imported]) -> Iterator[Name]:
    """Yield a name, and those it is passed on from."""
    yield target
    module, name = target
    for further in imports.get(module, {}).get(name, ()):
        if further != target:
            yield from _followed(further, imports)

"""Every pattern of the package: what its modules hold, however deep, what the reader of the demo club is built of, and those that stand in
a call alone.
"""

import ast
import importlib
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import dataclass
from inspect import getsource
from types import FunctionType, ModuleType
from typing import Any

import regex

import clubbot
from clubbot.texting.patterns import Pattern

_CALLS = {"compile", "search", "match", "fullmatch", "finditer", "findall", "sub", "subn", "split"}
# These read the club's own files, which nobody from outside writes.
_OUR_OWN_FILES = ("clubbot.transcripts", "clubbot.handbook.", "clubbot.settings")
_DATA = (str, bytes, int, float, complex, type(None), type, ModuleType)


@dataclass(frozen=True, slots=True)
class Found:
    """A pattern and the module where it was found first."""

    where: str
    pattern: str
    flags: int


def modules() -> list[ModuleType]:
    """All modules of the package that may read what somebody wrote."""
    names = [one.name for one in pkgutil.walk_packages(clubbot.__path__, "clubbot.")]
    left_out = (*_OUR_OWN_FILES, "clubbot.__main__", "clubbot.store.migrations.")
    return [importlib.import_module(name) for name in names if not name.startswith(left_out)]


def every_pattern(*built: object) -> list[Found]:
    """Each pattern once."""
    found: dict[tuple[str, int], str] = {}
    seen: set[int] = set()
    for module in modules():
        for value in [*vars(module).values()]:
            for pattern, flags in _held(value, seen):
                found.setdefault((pattern, flags), module.__name__)
        for pattern, flags in _standing_alone(module):
            found.setdefault((pattern, flags), module.__name__)
    for one in built:
        for pattern, flags in _held(one, seen):
            found.setdefault((pattern, flags), type(one).__name__)
    return [Found(where, pattern, flags) for (pattern, flags), where in found.items()]


def _held(root: Any, seen: set[int]) -> Iterator[tuple[str, int]]:
    waiting = [root]
    while waiting:
        value = waiting.pop()
        if id(value) in seen or isinstance(value, _DATA):
            continue
        seen.add(id(value))
        if isinstance(value, Pattern | re.Pattern | regex.Pattern):
            text = value.pattern if isinstance(value.pattern, str) else value.pattern.decode("latin-1")
            yield text, value.flags & (re.IGNORECASE | re.DOTALL | re.MULTILINE | re.VERBOSE)
        elif isinstance(value, dict):
            waiting += [*value.keys(), *value.values()]
        elif isinstance(value, list | tuple | set | frozenset):
            waiting += value
        elif isinstance(value, FunctionType):
            waiting += [*(value.__defaults__ or ()), *(cell.cell_contents for cell in value.__closure__ or ())]
        elif type(value).__module__.startswith("clubbot."):
            waiting += vars(value).values() if hasattr(value, "__dict__") else ()
            slots = [name for kind in type(value).__mro__ for name in getattr(kind, "__slots__", ())]
            waiting += [getattr(value, name, None) for name in slots]


def _standing_alone(module: ModuleType) -> Iterator[tuple[str, int]]:
    """Patterns written where they are used: `patterns.search(r"...", text)`. One made of what only a function knows is a fault."""
    for node in ast.walk(ast.parse(getsource(module))):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in _CALLS):
            continue
        if not (isinstance(node.func.value, ast.Name) and node.func.value.id in {"re", "regex", "patterns"}):
            continue
        if node.func.attr == "compile" or module.__name__ == "clubbot.texting.patterns":
            continue
        flags = 0
        for word in node.keywords:
            if word.arg == "flags":
                flags = _value(word.value, module)
        try:
            yield _value(node.args[0], module), flags
        except NameError as fault:
            raise AssertionError(f"{module.__name__}, line {node.lineno}: no test can see this pattern") from fault


def _value(node: ast.expr, module: ModuleType) -> Any:
    return eval(compile(ast.Expression(node), module.__name__, "eval"), dict(vars(module)))

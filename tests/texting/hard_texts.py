"""Hard texts for a pattern: what comes before a repeat in it, then what it repeats, again and again, then what stops it from matching."""

import re
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Any, cast

# What stands for a class of letters; the first that fits. One that is in no class of ours stops what was begun.
_LETTERS = "a1 A,.e'?!-:#_é"
_STOPS = ("~", "")
_MOST_WAYS = 8  # of writing one piece of a pattern
_MOST_TEXTS = 240  # of one pattern
_WORD_LIST = """
a i w x no not and or to the of on for my is it me et pas non de la le un une au est avec 1st 2nd 3rd 4th 11 at 5 5pm wed sat fri jeu lun
"""
_WORDS = _WORD_LIST.split()

_parse = cast("Any", re)._parser  # the only parser of patterns there is; a test may look inside
_code = cast("Any", re)._constants
_REPEATS = (_code.MAX_REPEAT, _code.MIN_REPEAT, _code.POSSESSIVE_REPEAT)
_Node = tuple[Any, Any]


def common(length: int) -> list[str]:
    """Hard texts that have nothing to do with any pattern: rows of one sign, of one short word, of ordinals, of pairs."""
    rows = [
        " ",
        "a",
        "A",
        "1",
        '"',
        "'",
        ",",
        ", ",
        ".",
        "-",
        "?",
        "\n",
        "a ",
        "A ",
        "1 ",
        "a,",
        "a, ",
        "1, ",
        "a'",
        "Aa ",
        "é",
        "'a' ",
        '"a ',
    ]
    rows += ["the 4th the 5th ", "5pm ", "wed 5 ", "a1", "a b ", "no no, ", "(a", "1:1", "12 ", "a-", ". ", "👍", "🥏 "]
    rows += [f"{word} " for word in _WORDS]
    texts = [_row(row, length) + stop for row in rows for stop in _STOPS]
    return [*texts, f'"{" " * (length - 3)}"1', f"a{' ' * (length - 2)}1"]


def against(pattern: str, flags: int, length: int) -> list[str]:
    """Hard texts for this pattern, some hundreds at most."""
    tree = _parse.parse(pattern.replace(r"\X", "."), flags)  # a whole grapheme: only `regex` knows it
    texts: dict[str, None] = {}
    for before, node in _repeats(list(tree), [""]):
        _, most, body = node
        if most < 2:
            continue
        bodies = _ways(list(body))
        mixed = "".join(bodies[:4])
        for one in dict.fromkeys([*bodies, mixed]):
            if not one:
                continue
            for lead in before[:2]:
                for stop in _STOPS:
                    texts[lead + _row(one, length - len(lead)) + stop] = None
                    texts[_row(lead + one * min(most, 3), length) + stop] = None
            texts[_row(one + " ", length)] = None
    for way in _ways(list(tree)):
        texts[_row(way + " ", length)] = None
        texts[_row(way, length)] = None
    return _spread(list(texts), _MOST_TEXTS)


def lengthened(text: str, length: int) -> str:
    """A hard text made longer: its middle, where the repeats are, again and again."""
    lead, middle, last = text[: len(text) // 4], text[len(text) // 4 : -1], text[-1:]
    return lead + _row(middle, length - len(lead) - 1) + last


def _spread(texts: Sequence[str], most: int) -> list[str]:
    """As many as are allowed, from all over."""
    step = max(1, -(-len(texts) // most))
    return list(texts[::step])


def _row(one: str, length: int) -> str:
    return (one * (length // max(1, len(one)) + 1))[: max(0, length)]


def _repeats(nodes: Sequence[_Node], before: list[str]) -> Iterator[tuple[list[str], tuple[int, int, Any]]]:
    """Every repeat, with ways of writing what comes before it."""
    for index, (code, value) in enumerate(nodes):
        lead = _joined(before, _ways(nodes[:index]))[:_MOST_WAYS]
        if code in _REPEATS:
            yield lead, value
            yield from _repeats(list(value[2]), lead)
        elif code is _code.BRANCH:
            for branch in value[1]:
                yield from _repeats(list(branch), lead)
        elif code is _code.SUBPATTERN:
            yield from _repeats(list(value[3]), lead)
        elif code is _code.ATOMIC_GROUP:
            yield from _repeats(list(value), lead)
        elif code in (_code.ASSERT, _code.ASSERT_NOT):
            yield from _repeats(list(value[1]), lead if value[0] > 0 else before)


def _joined(firsts: Sequence[str], seconds: Sequence[str]) -> list[str]:
    """Each first with a second, so that all ways occur, not every pair of them."""
    if not firsts or not seconds:
        return list(firsts or seconds)
    longest = max(len(firsts), len(seconds))
    pairs = [firsts[i % len(firsts)] + seconds[i % len(seconds)] for i in range(longest)]
    return list(dict.fromkeys(pairs))


def _ways(nodes: Sequence[_Node]) -> list[str]:
    """Some ways of writing what these nodes match; look-arounds are left to luck, but for what must stand before."""
    ways = [""]
    for code, value in nodes:
        ways = list(islice(_joined(ways, _ways_of(code, value)), _MOST_WAYS))
    return ways


def _ways_of(code: Any, value: Any) -> list[str]:
    if code is _code.LITERAL:
        return [chr(value)]
    if code is _code.NOT_LITERAL:
        return [next(letter for letter in _LETTERS if ord(letter) != value)]
    if code is _code.ANY:
        return ["a", " "]
    if code is _code.IN:
        return [letter for letter in _LETTERS if _within(letter, value)][:3] or [_listed(value)]
    if code is _code.BRANCH:
        each = [_ways(list(branch)) for branch in value[1]]
        ways = [way for branch in each for way in branch[:1]] + [way for branch in each for way in branch[1:2]]
        return list(dict.fromkeys([*ways[: _MOST_WAYS // 2], *_spread(ways, _MOST_WAYS // 2)]))
    if code is _code.SUBPATTERN:
        return _ways(list(value[3]))
    if code is _code.ATOMIC_GROUP:
        return _ways(list(value))
    if code in _REPEATS:
        least, most, body = value
        ways = _ways(list(body))
        counts = dict.fromkeys((max(least, 1), least, min(most, max(least, 1) + 1)))
        return list(dict.fromkeys(way * count for count in counts for way in ways))[:_MOST_WAYS]
    if code is _code.ASSERT and value[0] < 0:
        return [*_ways(list(value[1]))[:1], ""]
    return [""]


def _within(letter: str, kinds: Sequence[_Node]) -> bool:
    negated = kinds[0][0] is _code.NEGATE
    found = any(_is_of(letter, code, value) for code, value in kinds if code is not _code.NEGATE)
    return found != negated


def _is_of(letter: str, code: Any, value: Any) -> bool:
    if code is _code.LITERAL:
        return bool(ord(letter) == value)
    if code is _code.RANGE:
        least, most = cast("tuple[int, int]", value)
        return least <= ord(letter) <= most
    kinds = {"DIGIT": letter.isdigit(), "WORD": letter.isalnum() or letter == "_", "SPACE": letter.isspace()}
    name = str(value).removeprefix("CATEGORY_")
    return not kinds[name.removeprefix("NOT_")] if name.startswith("NOT_") else kinds[name]


def _listed(kinds: Sequence[_Node]) -> str:
    code, value = next((code, value) for code, value in kinds if code is not _code.NEGATE)
    return chr(value if code is _code.LITERAL else value[0])

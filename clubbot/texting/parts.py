"""How many parts a text is sent in, and where it is cut.

Rules: 3GPP TS 23.040, 9.2.3.24.1. A single part holds 160 septets or 70 UCS-2 units; each of several holds 153 or 67,
because the header that joins them takes 6 octets. No cut goes through an escape pair or a surrogate pair; we cut no
grapheme either (a letter with its marks, an emoji with its skin tone), unless one alone is larger than a part.
"""

from functools import lru_cache

import regex

from clubbot.texting.alphabet import Coding, coding, plain_letters, plain_marks, septets, units

SINGLE: dict[Coding, int] = {"7-bit": 160, "UCS-2": 70}
JOINED: dict[Coding, int] = {"7-bit": 153, "UCS-2": 67}

# Characters that one text brings at most: ten parts, far more than a phone sends unasked. What is longer is not read whole.
LONGEST_TEXT = 1600

_GRAPHEMES = regex.compile(r"\X")


@lru_cache(maxsize=512)  # the same text is counted while it is made, when it is written down and when it is sent
def split(text: str) -> tuple[str, ...]:
    """The parts of a text, in order; joined they give the text again. An empty text has one empty part."""
    alphabet = coding(text)
    if units(text, alphabet) <= SINGLE[alphabet]:
        return (text,)
    return tuple(_fill(_pieces(text, alphabet), JOINED[alphabet]))


def count(text: str) -> int:
    """How many parts the text takes."""
    return len(split(text))


def as_sent(text: str, *, shorten_letters: bool) -> str:
    """The text as it goes out: plain marks unless they cost a part, plain letters where `shorten_letters` and a part is saved by it."""
    plain = plain_marks(text)
    ways = (plain, text, plain_letters(plain)) if shorten_letters else (plain, text)
    return min(ways, key=count)  # the first of the shortest


def _pieces(text: str, alphabet: Coding) -> list[tuple[str, int]]:
    """What is not cut, with its size: graphemes; one larger than a whole part is given letter by letter, as it has to be cut somewhere."""
    if alphabet == "7-bit" and "\r" not in text:  # no two letters of this alphabet but CR LF make one grapheme
        return [(letter, septets(letter) or 0) for letter in text]
    pieces: list[tuple[str, int]] = []
    for grapheme in _GRAPHEMES.findall(text):
        size = units(grapheme, alphabet)
        whole = size <= JOINED[alphabet]
        pieces += [(grapheme, size)] if whole else [(letter, units(letter, alphabet)) for letter in grapheme]
    return pieces


def _fill(pieces: list[tuple[str, int]], room: int) -> list[str]:
    parts: list[str] = []
    part: list[str] = []
    used = 0
    for piece, size in pieces:
        if used + size > room:
            parts.append("".join(part))
            part, used = [], 0
        part.append(piece)
        used += size
    return [*parts, "".join(part)]

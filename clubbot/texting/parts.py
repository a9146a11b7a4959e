"""How many parts a text is sent in, and where it is cut.

Rules: 3GPP TS 23.040, 9.2.3.24.1. A single part holds 160 septets or 70 UCS-2 units; each of several holds 153 or 67,
because the header that joins them takes 6 octets. No cut goes through an escape pair or a surrogate pair; we cut no
grapheme either (a letter with its marks, an emoji with its skin tone), unless one alone is larger than a part.
"""

import regex  # the package ships no types

from clubbot.texting.alphabet import Coding, coding, plain_letters, plain_marks, units

SINGLE: dict[Coding, int] = {"7-bit": 160, "UCS-2": 70}
JOINED: dict[Coding, int] = {"7-bit": 153, "UCS-2": 67}

_GRAPHEMES = regex.compile(r"\X")


def split(text: str) -> tuple[str, ...]:
    """The parts of a text, in order; joined they give the text again. An empty text has one empty part."""
    alphabet = coding(text)
    if units(text, alphabet) <= SINGLE[alphabet]:
        return (text,)
    return tuple(_fill(_pieces(text, alphabet), alphabet))


def count(text: str) -> int:
    """How many parts the text takes."""
    return len(split(text))


def as_sent(text: str, *, shorten_letters: bool) -> str:
    """The text as it goes out: plain marks unless they cost a part, plain letters where `shorten_letters` and a part is saved by it."""
    plain = plain_marks(text)
    ways = (plain, text, plain_letters(plain)) if shorten_letters else (plain, text)
    return min(ways, key=count)  # the first of the shortest


def _pieces(text: str, alphabet: Coding) -> list[str]:
    """Graphemes; one that is larger than a whole part is given letter by letter, since it has to be cut somewhere."""
    pieces: list[str] = []
    for grapheme in _GRAPHEMES.findall(text):
        fits = units(grapheme, alphabet) <= JOINED[alphabet]
        pieces.extend([grapheme] if fits else list(grapheme))
    return pieces


def _fill(pieces: list[str], alphabet: Coding) -> list[str]:
    parts: list[str] = []
    part, used = "", 0
    for piece in pieces:
        size = units(piece, alphabet)
        if used + size > JOINED[alphabet]:
            parts.append(part)
            part, used = "", 0
        part += piece
        used += size
    return [*parts, part]

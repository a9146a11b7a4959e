"""A text as it is read: its words with their places, put into form once. What is looked for in a text is looked for in these words.

A word is folded (lower case, no accents), what is joined or short is written out by the lexicon of the language ("dont" is "do not",
"j'ai" is "j ai"), and a slip of the thumb is mended. Words are spelled for each language by itself, since "on" and "pt" are other
words in the other one.
"""

import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from clubbot.model.messages import Language
from clubbot.texting import patterns
from clubbot.texting.emoji import in_words

# What stands between a word and the next: nothing, a short pause, or the end of a sentence.
Pause = Literal["", ",", ".", "?"]

_PIECE = patterns.compile(r"\d+(?:[:./]\d+)*|[^\W\d_]+(?:['’`][^\W\d_]+)*|[^\w\s]|\n")
_RUN = patterns.compile(r"\w+")
_STRETCHED = patterns.compile(r"([a-z])\1{2,}")
_PAUSES: Mapping[str, Pause] = {
    ",": ",",
    "(": ",",
    ")": ",",
    ";": ".",
    ".": ".",
    "!": ".",
    "\n": ".",
    "?": "?",
    "…": ".",
}
SENTENCE_ENDS: frozenset[Pause] = frozenset({".", "?"})
_SIGNS = frozenset("+&$€£#@=%")
# Texts of one turn, with what was taken from them.
_KEPT = 64


@dataclass(frozen=True, slots=True)
class Word:
    """One word in its form, where it stands in what was written (letters from `start` up to `end`), and the pause behind it.
    `slip` is what was written where that was mended, `number` what a figure or a word for a number is worth.
    """

    form: str
    start: int
    end: int
    pause: Pause = ""
    slip: str | None = None
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Spelling:
    """How a language's words are put into form: `written_out` gives the words that a joined or short one stands for, `endings` those of
    what stands behind an apostrophe ("'ll" is "will"), `mend` mends a slip, `numbers` tells what a word for a number is worth.
    """

    written_out: Mapping[str, tuple[str, ...]]
    endings: Mapping[str, tuple[str, ...]]
    mend: Callable[[str], str]
    numbers: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Text:
    """What was written, and its words as each language spells them."""

    written: str
    spelled: Mapping[Language, tuple[Word, ...]]

    def words(self, language: Language) -> tuple[Word, ...]:
        """The words as the language spells them."""
        return self.spelled.get(language, ())

    def forms(self, language: Language) -> tuple[str, ...]:
        """The bare forms of these words."""
        return tuple(word.form for word in self.words(language))

    def said(self, words: tuple[Word, ...]) -> str:
        """The stretch of what was written that these neighbouring words are."""
        return self.written[words[0].start : words[-1].end] if words else ""


def put_into_form(written: str, spellings: Mapping[Language, Spelling]) -> Text:
    """The text of what somebody wrote. Emoji that stand for a word count as that word."""
    return Text(written, {language: spelled(written, spelling) for language, spelling in spellings.items()})


def spelled(written: str, spelling: Spelling) -> tuple[Word, ...]:
    """The words of what somebody wrote, as one spelling has them."""
    return tuple(_spelled(_pieces(written), spelling))


def folded(word: str) -> str:
    """Lower case without accents; œ and æ as two letters, typographic apostrophes as plain ones, a stretched letter twice."""
    spelled = word.casefold().replace("œ", "oe").replace("æ", "ae").replace("’", "'").replace("`", "'")
    plain = unicodedata.normalize("NFKD", spelled).encode("ascii", "ignore").decode()
    return _STRETCHED.sub(r"\1\1", plain)


@lru_cache(maxsize=_KEPT)
def _pieces(written: str) -> tuple[Word, ...]:
    """Words, numbers and signs in folded form; a pause goes with the word before it. Made once, whatever spellings ask for them."""
    return tuple(_cut_with_pauses(written))


def _cut_with_pauses(written: str) -> Iterator[Word]:
    waiting: Word | None = None
    for form, start, end in _cut(written):
        if form in _PAUSES:
            if waiting is not None:
                waiting = Word(waiting.form, waiting.start, waiting.end, _longer(waiting.pause, _PAUSES[form]))
            continue
        if waiting is not None:
            yield waiting
        waiting = Word(form, start, end)
    if waiting is not None:
        yield waiting


def _longer(one: Pause, other: Pause) -> Pause:
    rank = ("", ",", ".", "?")
    return max(one, other, key=rank.index)


def _cut(written: str) -> Iterator[tuple[str, int, int]]:
    glued = {found.start(): found.end() for found in _RUN.finditer(written) if _is_glued(found.group())}
    past = 0
    for found in _PIECE.finditer(written):
        if found.start() < past:
            continue
        if found.start() in glued:  # "2nite", "6pm", "12th": the lexicon says what is one word
            past = glued[found.start()]
            yield folded(written[found.start() : past]), found.start(), past
            continue
        piece = found.group()
        if piece in _PAUSES or piece in _SIGNS:
            yield piece, found.start(), found.end()
            continue
        form = folded(piece) or folded(in_words(piece).strip())
        if form and (form.isascii() and any(letter.isalnum() for letter in form)):
            yield form, found.start(), found.end()
        elif in_words(piece) != piece:
            sign = in_words(piece).strip()
            yield sign, found.start(), found.end()


def _is_glued(run: str) -> bool:
    """Whether figures and letters stand in one word: "2nite"."""
    figures = [letter.isdecimal() for letter in run if letter != "_"]
    return any(figures) and not all(figures)


def _spelled(pieces: tuple[Word, ...], spelling: Spelling) -> Iterator[Word]:
    for piece in pieces:
        forms = _forms(piece.form, spelling)
        for place, form in enumerate(forms, start=1):
            mended = spelling.mend(form)
            yield Word(
                mended,
                piece.start,
                piece.end,
                piece.pause if place == len(forms) else "",
                form if mended != form else None,
                int(form) if form.isdecimal() else spelling.numbers.get(mended),
            )


_SPLIT = patterns.compile(r"\d+(?:[:./]\d+)*|[a-z]+|[^\sa-z0-9]")


def _forms(form: str, spelling: Spelling) -> tuple[str, ...]:
    """The words that one stands for: by the lexicon, by what stands behind its apostrophe, or figures and letters apart."""
    whole = spelling.written_out.get(form)
    if whole is not None:
        return whole
    if "'" in form:
        joined = spelling.written_out.get(form.replace("'", ""))
        if joined is not None:
            return joined
        first, _, last = form.rpartition("'")
        ending = spelling.endings.get(last, (last,))
        return (*_forms(first, spelling), *ending) if first else ending
    if form.isalpha() or form.isdigit():
        return (form,)
    parts = _SPLIT.findall(form)
    return (
        tuple(one for part in parts for one in spelling.written_out.get(part, (part,))) if len(parts) > 1 else (form,)
    )

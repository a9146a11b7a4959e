"""A name given beside something else: first of all, after our question for one ("Renee. what time again?"), or as a signature ("3 for tonight, Orla").

Several names of a party are kept as they were given: "Nadia and Zac". Names tell who comes and never how many.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from clubbot.understanding.given_name import COURTESIES
from clubbot.understanding.names import NO_NAME
from clubbot.understanding.noticing import Notice
from clubbot.understanding.splitting import sentences

# What joins names, and how it is said back.
_JOINS = {"and": "and", "et": "et", "&": "&", "n": "&", "+": "&", "pis": "&", "nd": "&", "an": "&"}
# Whoever is greeted is not the sender: "hey Ana, is it open".
_GREETS = frozenset({"hi", "hello", "hey", "bonjour", "salut"})
_SENDER = frozenset({"me", "moi", "myself"})
_BEFORE_A_FAMILY = frozenset({"the", "les"})
_TITLES = frozenset({"mr", "mrs", "ms", "dr", "mme", "mlle"})
_SHORTENED = frozenset(
    {
        "i",
        "it",
        "he",
        "she",
        "we",
        "they",
        "you",
        "that",
        "there",
        "what",
        "who",
        "how",
        "let",
        "c",
        "j",
        "n",
        "t",
        "s",
        "qu",
    }
)
_MARKS = '.,;:!?()"“”«»…'
_DASHES = frozenset({"-", "–", "—", "/"})
_WITHIN = "'’-."
_MOST_WORDS, _MOST_NAMES, _LONGEST = 3, 5, 60
_FEWEST_LETTERS = 3  # of a name that is spelled out


@dataclass(frozen=True, slots=True)
class NameBeside:
    """The name, with its capitals, and what the text says beside it."""

    name: str
    rest: str = ""


@dataclass(frozen=True, slots=True)
class _Token:
    word: str
    mark: str  # the marks behind it
    at: int  # where it begins among the words as they were written


def name_first(written: str, notice: Notice, is_word: Callable[[str], bool]) -> NameBeside | None:
    """The name with which a text begins that answers our question for one; None where it does not begin with one, or says nothing else and
    is a single name, which is told more exactly elsewhere.
    """
    led = max(notice(written).all("gives a name"), key=lambda match: match.end, default=None)
    text = (notice(written).after(led) or written) if led is not None else written
    tokens = _tokens(text)
    while tokens and tokens[0].word.casefold() in (COURTESIES | _SENDER) - _GREETS:
        tokens = tokens[1:]
    if len(tokens) > 1 and tokens[0].word.casefold() in _BEFORE_A_FAMILY and tokens[1].word[:1].isupper():
        tokens = tokens[1:]
    spelled = _spelled(tokens, 0)
    if spelled is not None:
        return NameBeside(spelled[0], _rest(text, tokens, spelled[1]))
    names, end, marked = _row(tokens, _may_be(notice, is_word, capital=False))
    if not names:
        return None
    rest = _rest(text, tokens, end)
    again = _spelled(tokens, end)
    if again is not None:
        return NameBeside(_as_spelled(names, again[0]), _rest(text, tokens, again[1]))
    if not marked:
        if tokens[end].word.casefold() not in _JOINS and not notice(rest).says("goes on after a name"):
            return None
        rest = _after_a_mark(text, tokens, end)
    return NameBeside(" ".join(names), rest)


def name_led_in(written: str, notice: Notice, is_word: Callable[[str], bool]) -> NameBeside | None:
    """The name in a later sentence that begins with the words for it: "the office lol. or just put Nadia"."""
    said = sentences(written)
    for at, sentence in enumerate(said[1:], 1):
        found = name_first(sentence, notice, is_word) if notice(sentence).says("gives a name") else None
        if found is not None:
            return NameBeside(found.name, " ".join([*said[:at], found.rest, *said[at + 1 :]]).strip())
    return None


def name_last(written: str, notice: Notice, is_word: Callable[[str], bool]) -> NameBeside | None:
    """The name, written like one, that a text ends with after a mark: "put me down, Marlon"; None where nothing is signed, or a name stands before
    the mark, which goes on with it.
    """
    tokens = _tokens(written)
    for at in range(len(tokens) - 1, 0, -1):
        if tokens[at - 1].mark:
            break
    else:
        return None
    before = tokens[at - 1]
    names, end, _ = _row(tokens[at:], _may_be(notice, is_word, capital=True))
    if not names or end < len(tokens) - at or "?" in before.mark or "?" in tokens[-1].mark:
        return None
    names_before = before.word[:1].isupper() and not before.word.isupper() and before.mark == ","
    names_before = names_before and before.word.casefold() not in COURTESIES
    if names_before and at > 1:
        return None
    return NameBeside(" ".join(names), written[: tokens[at].at].strip(" ,;:-–—"))


def _tokens(text: str) -> list[_Token]:
    """The words of a text with the marks behind each."""
    found: list[_Token] = []
    at = 0
    for piece in text.split():
        at = text.index(piece, at)
        word = piece.strip(_MARKS)
        mark = piece[len(piece.rstrip(_MARKS)) :] if word else piece
        opens = piece[:1] == "("
        if (piece in _DASHES or not word or opens) and found:
            last = found[-1]
            found[-1] = _Token(last.word, last.mark + (piece if not word or piece in _DASHES else "("), last.at)
        if word and piece not in _DASHES:
            found.append(_Token(word, "" if word.casefold() in _TITLES and mark == "." else mark, at))
        at += len(piece)
    return found


def _row(tokens: Sequence[_Token], may_be: Callable[[str, bool], bool]) -> tuple[list[str], int, bool]:
    """The names that these words begin with, as they are said back, how many words they are, and whether a mark or the end follows."""
    said: list[str] = []
    at = words = names = 0
    while at < len(tokens) and names < _MOST_NAMES:
        one = tokens[at]
        first = words == 0 and not (names and one.word[0].isupper())
        if not may_be(one.word, first) or words == _MOST_WORDS:
            break
        said.append(one.word[0].upper() + one.word[1:])
        words, at = words + 1, at + 1
        joined = _joined(tokens, at, may_be)
        if joined:
            said[-1] += "," if not joined[0] else ""
            said += [joined[0]] if joined[0] else []
            at, words, names = at + joined[1], 0, names + 1
        elif one.mark:
            return said, at, True
    short = len(" ".join(said)) <= _LONGEST
    return (said, at, at == len(tokens)) if short else ([], 0, False)


def _joined(tokens: Sequence[_Token], at: int, may_be: Callable[[str, bool], bool]) -> tuple[str, int] | None:
    """The word by which another name is joined, and how many words that takes; an empty one for a comma."""
    mark = tokens[at - 1].mark
    if at >= len(tokens) or mark not in {"", ","} or _spelled(tokens, at) is not None:
        return None
    join = _JOINS.get(tokens[at].word.casefold())
    if join is not None and at + 1 < len(tokens) and may_be(tokens[at + 1].word, not tokens[at + 1].word[0].isupper()):
        return join, 1
    return ("", 0) if mark == "," and join is None and _goes_on(tokens, at, may_be) else None


def _goes_on(tokens: Sequence[_Token], at: int, may_be: Callable[[str, bool], bool]) -> bool:
    """Whether a single name stands there, before another mark, another joining word or the end: "jaz, dev and tobi"."""
    if not may_be(tokens[at].word, True):
        return False
    end = at + 1 == len(tokens) or bool(tokens[at].mark) or tokens[at + 1].word.casefold() in _JOINS
    return end or (tokens[at].word[0].isupper() and tokens[at + 1].word[0].isupper())


def _is_shortened(word: str, is_word: Callable[[str], bool]) -> bool:
    """Whether it is "I'm", "when's", "l'inscription" and their like, and no O'Brien."""
    first, mark, last = word.replace("’", "'").partition("'")
    if not mark:
        return False
    words = any(len(part) > 1 and is_word(part.casefold()) for part in (first, last))
    return not word[0].isupper() or first.casefold() in _SHORTENED or words


def _may_be(notice: Notice, is_word: Callable[[str], bool], *, capital: bool) -> Callable[[str, bool], bool]:
    """Whether a word may be (the first of) a name; `capital` where it has to be written like one."""

    def may_be(word: str, first: bool) -> bool:
        plain, letters = word.casefold(), "".join(letter for letter in word if letter not in _WITHIN)
        if not letters.isalpha() or plain in NO_NAME or plain in _JOINS or (len(letters) < 2 and first):
            return False
        if _is_shortened(word, is_word):
            return False
        upper = word[0].isupper()
        if plain in _TITLES:
            return True
        if capital and not upper:
            return False
        if not first and upper:
            return True
        return not is_word(word) or notice(word).says("a name like a word")

    return may_be


def _spelled(tokens: Sequence[_Token], at: int) -> tuple[str, int] | None:
    """A name that is spelled from there on, "M A R I E" or "K-I-M", and where it ends."""
    letters = tokens[at].word.split("-") if at < len(tokens) else []
    if len(letters) >= _FEWEST_LETTERS and all(len(letter) == 1 and letter.isalpha() for letter in letters):
        return "".join(letters).capitalize(), at + 1
    end = at
    while end < len(tokens) and len(tokens[end].word) == 1 and tokens[end].word.isalpha():
        end += 1
    if end - at < _FEWEST_LETTERS:
        return None
    return "".join(one.word for one in tokens[at:end]).capitalize(), end


def _as_spelled(names: Sequence[str], spelled: str) -> str:
    """The names, the last of them as it is spelled behind where that is as long: "Olena. O L E N A"."""
    last = names[-1]
    whole = len(spelled) >= len(last) and spelled[0] == last[0]
    return " ".join([*names[:-1], spelled if whole else last])


def _rest(text: str, tokens: Sequence[_Token], end: int) -> str:
    return text[tokens[end].at :].strip() if end < len(tokens) else ""


def _after_a_mark(text: str, tokens: Sequence[_Token], at: int) -> str:
    """What follows the sentence that goes on about the name."""
    for end in range(at, len(tokens)):
        if set(tokens[end].mark) & set(".;!?…"):
            return "" if "?" in tokens[end].mark and end + 1 == len(tokens) else _rest(text, tokens, end + 1)
    return ""

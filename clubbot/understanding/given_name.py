"""The name that a text gives after it was asked for: nearly any word or two will do, but not a question, a no or a courtesy."""

from collections.abc import Callable, Set

from clubbot.understanding.names import NO_NAME
from clubbot.understanding.noticing import Noticed

_MOST_WORDS = 3
_LONGEST = 30
_WITHIN = "'’-."
# What is said beside a name: "Kit please", "just Kit thanks".
COURTESIES = frozenset(
    [
        "please",
        "pls",
        "plz",
        "thanks",
        "thx",
        "thank",
        "you",
        "cheers",
        "ok",
        "okay",
        "hi",
        "hello",
        "hey",
        "just",
        "sure",
        "yes",
        "yeah",
        "svp",
        "stp",
        "merci",
        "bonjour",
        "salut",
        "oui",
        "juste",
        "et",
        "and",
        "lol",
        "btw",
        "haha",
        "here",
        "ici",
    ]
)
# A text that a rule knows as one of these says something else.
_SAYS_ELSE = frozenset(
    {
        "yes", "no", "bare no", "only thanks", "only ok", "only laughs", "only goodbye", "only a compliment", "only a wrong number", "asks who answers",
        "tests the line", "asks whether a machine answers", "maybe", "never mind", "me too", "the other", "not that", "none of them", "a number", "in english", "in french",
    }
)  # fmt: skip


def given_name(said: Noticed, sure: bool, ask_words: Set[str], clear: Callable[[], bool]) -> str | None:
    """The name, with its capitals. `sure` where we asked for it with our last words; else, and for words that people ask with too
    (`ask_words`), only where the text is not `clear` by itself.
    """
    written = said.text.written.strip()
    if "?" in written or any(match.says in _SAYS_ELSE or match.says.startswith("side ") for match in said.matches):
        return None
    led = _led_in(said)
    words = _without_courtesy(led if led is not None else written)
    if not 1 <= len(words) <= _MOST_WORDS or not all(_could_be(word, first=not at) for at, word in enumerate(words)):
        return None
    plain = {word.casefold() for word in words}
    if plain & NO_NAME:
        return None
    asked_with = bool(plain & ask_words)
    like_a_word = said.says("a name like a word")
    capital = all(word[0].isupper() for word in words)
    written_as_name = capital and (led is not None or len(words) > 1)  # "it's Kit", "Tom H"
    if (asked_with or not sure or led is not None) and not (sure and (like_a_word or written_as_name)) and clear():
        return None
    return " ".join(word[0].upper() + word[1:] for word in words)


def _led_in(said: Noticed) -> str | None:
    """What follows "it's", "moi c'est": the longest row of such words."""
    led = max(said.all("gives a name"), key=lambda match: match.end, default=None)
    return said.after(led) or None if led is not None else None


def _without_courtesy(text: str) -> list[str]:
    words = [word.strip('.,;:!()"“”« »') for word in text.split()]
    words = [word for word in words if word and any(letter.isalnum() for letter in word)]
    while words and words[0].casefold() in COURTESIES:
        words = words[1:]
    while words and words[-1].casefold() in COURTESIES:
        words = words[:-1]
    return words


def _could_be(word: str, *, first: bool) -> bool:
    letters = "".join(letter for letter in word if letter not in _WITHIN)
    return letters.isalpha() and len(word) <= _LONGEST and (len(letters) > 1 or not first)

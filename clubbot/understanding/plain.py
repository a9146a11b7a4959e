"""The plain form of a text: lower case, no accents, texting shorthand written out, slips mended against the club's words."""

import unicodedata
from collections.abc import Iterable, Mapping
from itertools import compress

import numpy as np
from rapidfuzz import process
from rapidfuzz.distance import OSA

from clubbot.model.messages import Language
from clubbot.texting import patterns

_WORD = patterns.compile(r"[a-z0-9]+|[?]")
_STRETCHED = patterns.compile(r"([a-z])\1{2,}")

# Texting shorthand that stands for the same words whoever writes it. Letters that mean one thing in English and
# another in French stand in the table of their language.
SHORTHAND: Mapping[Language, Mapping[str, str]] = {
    "en": {
        "u": "you", "r": "are", "ur": "your", "y": "why", "n": "and", "b4": "before", "gr8": "great", "l8r": "later",
        "2nite": "tonight", "2night": "tonight", "tonite": "tonight", "2day": "today", "2morrow": "tomorrow",
        "tmrw": "tomorrow", "tmr": "tomorrow", "tmw": "tomorrow", "tom": "tom", "tomoz": "tomorrow", "pls": "please",
        "plz": "please", "thx": "thanks", "tx": "thanks", "ty": "thanks", "w": "with", "wo": "without",
        "abt": "about", "bc": "because", "cuz": "because", "cos": "because", "ppl": "people", "sum1": "someone",
        "wknd": "weekend", "wkend": "weekend", "wk": "week", "mins": "minutes", "hrs": "hours", "hr": "hour",
        "mon": "monday", "tue": "tuesday", "tues": "tuesday", "wed": "wednesday", "weds": "wednesday",
        "thu": "thursday", "thur": "thursday", "thurs": "thursday", "fri": "friday", "sat": "saturday",
        "sun": "sunday", "im": "i am", "ive": "i have", "id": "i would", "whats": "what is", "wheres": "where is",
        "hows": "how is", "whens": "when is", "theres": "there is", "dont": "do not", "doesnt": "does not",
        "cant": "can not", "cannot": "can not", "wont": "will not", "isnt": "is not", "arent": "are not", "didnt": "did not", "wanna": "want to",
        "gonna": "going to", "gotta": "got to", "gimme": "give me", "lemme": "let me", "kinda": "kind of",
        "msg": "message", "txt": "text", "tourney": "tournament", "rn": "right now", "asap": "soon",
    },
    "fr": {
        "c": "c est", "ce": "ce", "cest": "c est", "jsuis": "je suis", "jsui": "je suis", "chui": "je suis", "chu": "je suis",
        "g": "j ai", "jai": "j ai", "ya": "il y a", "yatil": "y a t il", "pk": "pourquoi", "pkoi": "pourquoi", "koi": "quoi",
        "kwa": "quoi", "qd": "quand", "kan": "quand", "qq": "quelque", "qqn": "quelqu un", "qqun": "quelqu un",
        "qqch": "quelque chose", "tt": "tout", "bcp": "beaucoup", "slt": "salut", "bjr": "bonjour", "bsr": "bonsoir",
        "stp": "s il te plait", "svp": "s il vous plait", "dsl": "desole", "mtn": "maintenant", "ajd": "aujourd hui",
        "auj": "aujourd hui", "dem": "demain", "lun": "lundi", "mar": "mardi", "mer": "mercredi", "jeu": "jeudi",
        "ven": "vendredi", "sam": "samedi", "dim": "dimanche", "rdv": "rendez vous", "pr": "pour", "ds": "dans",
        "vs": "vous", "ns": "nous", "k": "que", "ke": "que", "ki": "qui", "chuis": "je suis", "pcq": "parce que",
        "mm": "meme", "tjs": "toujours", "tjrs": "toujours", "jms": "jamais", "pt": "peut", "pe": "peut etre", "bb": "bebe",
        "ptit": "petit", "ptite": "petite", "kel": "quel", "kelle": "quelle", "combi1": "combien", "jpeux": "je peux",
        "jveux": "je veux", "jvais": "je vais", "jviens": "je viens", "tkt": "t inquiete", "rens": "renseignement",
    },
}  # fmt: skip


def unaccented(text: str) -> str:
    """Lower case without accents; œ and æ as two letters, typographic marks as plain ones."""
    spelled = (
        text.casefold().replace("œ", "oe").replace("æ", "ae").replace("’", "'").replace("`", "'").replace("w/", "with ")
    )
    return unicodedata.normalize("NFKD", spelled).encode("ascii", "ignore").decode()


def words_of(text: str) -> list[str]:
    """The words of a text in plain letters, "?" kept as a word of its own. "don't" is "dont", "l'eau" is "l eau"."""
    plain = unaccented(text)
    plain = patterns.sub(r"(?<=n)'(?=t\b)|(?<=[a-z])'(?=(?:s|m|re|ve|ll|d)\b)", "", plain)
    plain = _STRETCHED.sub(r"\1\1", plain)
    return _WORD.findall(plain)


def spelled_out(words: Iterable[str], language: Language) -> list[str]:
    """The words with the shorthand of the language written out."""
    table = SHORTHAND.get(language, {})
    return [part for word in words for part in table.get(word, word).split()]


class Speller:
    """Mends slips of the thumb against the words that the club and its ways of asking use, and leaves known words alone."""

    def __init__(self, club_words: Iterable[str], common_words: Iterable[str], certain: Iterable[str] = ()) -> None:
        """A word is taken for one of the `certain` ones only where no more than one letter of a long one is wrong; "bleed*" is known
        however it ends.
        """
        usual = {word for word in club_words if len(word) >= _SHORTEST and word.isalpha() and word.isascii()}
        whole = {word for word in certain if word.isalpha() and word.isascii()}
        self._targets = sorted(usual | {word for word in whole if len(word) >= _LONGER})
        self._lengths = np.array([len(word) for word in self._targets], dtype=np.int64)
        self._letters = np.array([_letters(word) for word in self._targets], dtype=np.uint32)
        self._certain = np.array([word not in usual for word in self._targets], dtype=np.bool_)
        self._known = frozenset(self._targets) | frozenset(common_words) | whole
        self._stems = frozenset(word[:-1] for word in certain if word.endswith("*"))
        self._longest_stem = max(map(len, self._stems), default=0)
        self._mended: dict[str, str] = {}

    def mend(self, word: str) -> str:
        """The word meant: itself when it is known, short or not near enough to any (OSA similarity below 0.75)."""
        if len(word) < _SHORTEST or not (word.isalpha() and word.isascii()) or word in self._known:
            return word
        if word not in self._mended:
            least = 0.75 if len(word) < _LONG else 0.8
            near = self._near(word, least)
            found = (
                None
                if self._begins_known(word)
                else process.extractOne(word, near, scorer=OSA.normalized_similarity, score_cutoff=least)
            )
            if len(self._mended) > 20_000:  # strangers' words must not fill the memory
                self._mended.clear()
            self._mended[word] = found[0] if found else word
        return self._mended[word]

    def _begins_known(self, word: str) -> bool:
        return any(word[:length] in self._stems for length in range(1, min(len(word), self._longest_stem) + 1))

    def _near(self, word: str, least: float) -> list[str]:
        """The words that can be so near at all, by their length and letters: one slip changes no more than two letters of them."""
        slips = ((1 - least) * np.maximum(self._lengths, len(word)) + _ROUNDING).astype(np.int64)
        slips = np.where(self._certain, np.minimum(slips, 1), slips)
        fits = np.abs(self._lengths - len(word)) <= slips
        fits &= np.bitwise_count(self._letters ^ np.uint32(_letters(word))) <= 2 * slips
        near = [self._targets[place] for place in np.flatnonzero(fits)]
        strict = set(compress(self._targets, fits & self._certain))
        return [one for one in near if one not in strict or OSA.distance(word, one) <= 1]


# Letters: nothing shorter is mended; a word that rules look for is found in a slip only where it is so long.
_SHORTEST, _LONGER = 4, 7
# Letters: of a longer word more must be right.
_LONG = 8
_ROUNDING = 1e-9


def _letters(word: str) -> int:
    """Which letters stand in a plain word, a bit each."""
    found = 0
    for letter in word:
        found |= 1 << (ord(letter) - ord("a"))
    return found

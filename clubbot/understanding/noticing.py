"""What is certain about a text before anything is decided: its words, and what the rules find in them. Made once for a text."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from clubbot.model.messages import Language
from clubbot.understanding.phrases import Groups
from clubbot.understanding.rules import Match, Rules
from clubbot.understanding.text import SENTENCE_ENDS, Spelling, Text, Word, put_into_form


@dataclass(frozen=True, slots=True)
class Noticed:
    """A text in its form, and every place where a rule holds. `cores` are the words without those of courtesy and of going on."""

    text: Text
    matches: tuple[Match, ...]
    cores: Mapping[Language, tuple[int, int]] = field(default_factory=dict)

    def says(self, what: str) -> bool:
        """Whether a rule that says so holds anywhere."""
        return any(match.says == what for match in self.matches)

    def first(self, what: str) -> Match | None:
        """The first place where a rule says so."""
        return next((match for match in self.matches if match.says == what), None)

    def all(self, what: str) -> tuple[Match, ...]:
        """Every place where a rule says so."""
        return tuple(match for match in self.matches if match.says == what)

    def core(self, language: Language) -> tuple[Word, ...]:
        """The words of a text without those of courtesy and of going on around them: "ok thanks, and the parking?" is about the parking."""
        first, end = self.cores.get(language, (0, 0))
        return self.text.words(language)[first:end]

    def words(self, match: Match) -> tuple[Word, ...]:
        """The words that a rule found."""
        return self.text.words(match.language)[match.first : match.end]

    def start(self, match: Match) -> int:
        """The letter of what was written where a rule's words begin; languages count words apart, not letters."""
        words = self.text.words(match.language)
        return words[match.first].start if match.first < len(words) else len(self.text.written)

    def sentence(self, match: Match) -> int:
        """The number of the sentence that a rule's words begin in."""
        before = self.text.words(match.language)[: match.first]
        return sum(word.pause in SENTENCE_ENDS for word in before)

    def after(self, match: Match) -> str:
        """What was written behind the words that a rule found."""
        words = self.text.words(match.language)
        return self.text.written[words[match.end].start :] if match.end < len(words) else ""


Notice = Callable[[str], Noticed]
# Texts of one turn: the one that came, the one before, their pieces.
_KEPT = 16


class Noticing:
    """Puts texts into form and looks for the rules in them."""

    def __init__(
        self,
        rules: Rules,
        orders: Rules,
        spellings: Mapping[Language, Spelling],
        of_orders: Mapping[Language, Spelling] | None = None,
    ) -> None:
        """`orders` are the rules that are looked for only where the club's own people text, `of_orders` how slips of their words are
        mended there.
        """
        self._rules, self._orders, self._spellings = rules, orders, spellings
        self._of_orders = of_orders or spellings
        self.notice: Notice = lru_cache(maxsize=_KEPT)(self._notice)
        self._latest_orders: Noticed | None = None

    @property
    def groups(self) -> Mapping[Language, Groups]:
        """The named groups of words of each language, the club's own names among them."""
        return self._rules.groups

    def _notice(self, written: str) -> Noticed:
        """What is certain about what somebody wrote. A text that was asked for just now is not looked at again."""
        text = put_into_form(written, self._spellings)
        return Noticed(text, self._rules.matches(text), self._rules.cores(text))

    def with_orders(self, written: str) -> Noticed:
        """The same, with what the rules of orders find in it."""
        if self._latest_orders is None or self._latest_orders.text.written != written:
            noticed = self.notice(written)
            text = put_into_form(written, self._of_orders)
            orders = self._orders.matches(_beginning(text))
            self._latest_orders = Noticed(text, (*noticed.matches, *orders), noticed.cores)
        return self._latest_orders


# Words of a text in which an order is looked for: one that goes on longer is a text to many, told by how it begins.
_MOST_ORDER_WORDS = 80


def _beginning(text: Text) -> Text:
    return Text(text.written, {language: words[:_MOST_ORDER_WORDS] for language, words in text.spelled.items()})


# Of a text that is not to be read: nothing is known about it.
NOTHING = Noticed(Text("", {}), ())

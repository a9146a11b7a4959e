"""What is certain about a text before anything is decided: its words, and what the rules find in them. Made once for a text."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from clubbot.model.messages import Language
from clubbot.understanding.phrases import Groups
from clubbot.understanding.rules import Match, Rules
from clubbot.understanding.text import Spelling, Text, Word, put_into_form


@dataclass(frozen=True, slots=True)
class Noticed:
    """A text in its form, and every place where a rule holds."""

    text: Text
    matches: tuple[Match, ...]

    def says(self, what: str) -> bool:
        """Whether a rule that says so holds anywhere."""
        return any(match.says == what for match in self.matches)

    def first(self, what: str) -> Match | None:
        """The first place where a rule says so."""
        return next((match for match in self.matches if match.says == what), None)

    def all(self, what: str) -> tuple[Match, ...]:
        """Every place where a rule says so."""
        return tuple(match for match in self.matches if match.says == what)

    def words(self, match: Match) -> tuple[Word, ...]:
        """The words that a rule found."""
        return self.text.words(match.language)[match.first : match.end]

    def after(self, match: Match) -> str:
        """What was written behind the words that a rule found."""
        words = self.text.words(match.language)
        return self.text.written[words[match.end].start :] if match.end < len(words) else ""


class Noticing:
    """Puts texts into form and looks for the rules in them."""

    def __init__(self, rules: Rules, orders: Rules, spellings: Mapping[Language, Spelling]) -> None:
        """`orders` are the rules that are looked for only where the club's own people text."""
        self._rules, self._orders, self._spellings = rules, orders, spellings
        self._latest: Noticed | None = None
        self._latest_orders: Noticed | None = None

    @property
    def groups(self) -> Mapping[Language, Groups]:
        """The named groups of words of each language, the club's own names among them."""
        return self._rules.groups

    def notice(self, written: str) -> Noticed:
        """What is certain about what somebody wrote. The same text asked for again at once is not looked at again."""
        if self._latest is None or self._latest.text.written != written:
            text = put_into_form(written, self._spellings)
            self._latest = Noticed(text, self._rules.matches(text))
        return self._latest

    def with_orders(self, written: str) -> Noticed:
        """The same, with what the rules of orders find in it."""
        if self._latest_orders is None or self._latest_orders.text.written != written:
            noticed = self.notice(written)
            self._latest_orders = Noticed(noticed.text, (*noticed.matches, *self._orders.matches(noticed.text)))
        return self._latest_orders


Notice = Callable[[str], Noticed]

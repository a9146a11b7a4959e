"""A text as one language hears it: its words, what the rules found there, and the named groups of words to look for beside them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from clubbot.model.messages import Language
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.phrases import Groups, Phrase, PhraseFault, phrase
from clubbot.understanding.rules import Match
from clubbot.understanding.text import Word

# The groups that orders are read with; the rule files of each language give them.
_NAMED = (
    "order_again", "order_all_days", "order_amend_beside", "order_amend_to", "order_day_one", "order_day_two", "order_and_day", "order_article", "order_ask_lead", "order_asks", "order_asks_back", "order_because", "order_beside_code", "order_closed_to_all", "order_closes", "order_courtesy_after", "order_day", "order_crowd", "order_those", "order_free", "order_from", "order_matter_course", "order_matter_duty", "order_matter_events", "order_matter_news", "order_matter_phones", "order_matter_questions", "order_matter_reports", "order_span_today", "order_span_week", "order_span_yesterday", "order_hears", "order_new_lead", "order_place", "order_place_lead", "order_seats", "order_join", "order_know", "order_language", "order_lead", "order_list_after", "order_list_lead", "order_me", "order_signs_up", "order_takes_off", "order_signs_in", "order_is_here", "order_turn_beside", "order_to_take", "order_can_they", "order_links", "order_no_name", "order_and_name", "order_occasion", "order_matter_signups",
    "order_concerns", "order_condition", "order_except", "order_moment", "order_moment_or_bare", "order_no_question", "order_news", "order_news_lead", "order_no_note", "order_not_all", "order_now", "order_of_it", "order_others_texts", "order_otherwise", "order_own", "order_own_texts", "order_reason_end", "order_reason_lead",
    "order_replies", "order_reopens", "order_row", "order_says_off", "order_slip", "order_state", "order_span_from", "order_span_to", "order_tells", "order_the_same", "order_thinks_again", "order_thunder", "order_time_left", "order_part", "order_till", "order_to_us", "order_to", "order_turn", "order_turn_object", "order_undoes",
    "order_why", "order_why_beside", "order_yes", "order_you_do", "event",
    "order_beside", "order_takes_over", "order_puts", "order_roster", "order_of_days", "order_to_day", "order_duty_day", "order_people_glue",
    "order_role_organiser", "order_role_treasurer", "order_role_course_keeper", "order_role_league_director", "order_role_outreach_lead", "order_role_helper",
)  # fmt: skip
# Groups whose rows are compared as a whole.
_ROWS = (
    "order_drops", "order_but", "order_drops_beside", "order_drops_not", "order_only_yes", "order_stops", "like_again", "like_answers_with",
    "like_away", "like_calls_off", "like_closes", "like_course", "like_days", "like_events", "like_forgets", "like_holds", "like_it",
    "like_joints", "like_leads", "like_moves", "like_no_part", "like_none", "like_notes", "like_off", "like_open", "like_beside_state", "like_opens", "like_passes",
    "like_people", "like_play", "like_question", "like_reopens", "like_replies", "like_said_aloud", "like_sends_away", "like_shut",
    "like_storm", "like_takes", "like_teaches", "like_tells", "like_turns", "like_whole",
)  # fmt: skip
_BREAKS = frozenset(':,;!?.()[]\n–—…"«»“”')

Span = tuple[int, int]


class Vocabulary:
    """The named groups of one language, ready to be looked for; PhraseFault where one is missing."""

    def __init__(self, groups: Groups) -> None:
        self._ready: Mapping[str, Phrase] = {name: phrase(f"{{{name}}}", groups) for name in _NAMED}
        missing = [name for name in _ROWS if name not in groups]
        if missing:
            raise PhraseFault(f"no group is called {missing[0]}")
        self._rows = {name: frozenset(rows) for name, rows in groups.items()}

    def end(self, name: str, words: Sequence[Word], at: int) -> int | None:
        """Where the longest row of words of the group ends that begins at `at`."""
        return max(self._ready[name].ends(words, at), default=None)

    def rows(self, name: str) -> frozenset[str]:
        """The rows of words of a group as they are written."""
        return self._rows[name]


@dataclass(frozen=True, slots=True)
class Heard:
    """The words of a text in one language; spans are numbers of words, from the first up to the one behind the last."""

    noticed: Noticed
    language: Language
    words: tuple[Word, ...]
    vocabulary: Vocabulary

    def all(self, says: str) -> tuple[Match, ...]:
        """Every place where a rule of the language says so."""
        wanted = f"order {says}"
        return tuple(one for one in self.noticed.matches if one.says == wanted and one.language == self.language)

    def first(self, says: str) -> Match | None:
        """The first such place."""
        return next(iter(self.all(says)), None)

    def forms(self, first: int = 0, end: int | None = None) -> tuple[str, ...]:
        """The bare words of a span."""
        return tuple(word.form for word in self.words[first:end])

    def said(self, first: int, end: int) -> str:
        """What was written there."""
        said = self.noticed.text.said(self.words[first:end])
        return f"{said})" if said.count("(") > said.count(")") else said

    def rest(self, at: int) -> str:
        """What was written from that word on."""
        return self.noticed.text.written[self._start(at) :] if at < len(self.words) else ""

    def _start(self, at: int) -> int:
        """Where a word begins in what was written; behind the apostrophe for the second of two that share one piece."""
        word = self.words[at]
        if at == 0 or self.words[at - 1].start != word.start:
            return word.start
        piece = self.noticed.text.written[word.start : word.end]
        return word.start + 1 + max(piece.rfind(mark) for mark in "'’`")

    def plain(self, first: int, end: int) -> str:
        """The words as days are looked for in them: figures stand with the letters that they were written with."""
        said = ""
        for before, word in zip((None, *self.words[first:end]), self.words[first:end], strict=False):
            glued = before is not None and before.start == word.start and before.form.isdigit() != word.form.isdigit()
            form = word.form.replace(".", ":") if word.form[:1].isdigit() else word.form
            said += form if glued or not said else f" {form}"
        return said

    def end(self, group: str, at: int) -> int | None:
        """Where a row of words of the group ends that begins there."""
        return self.vocabulary.end(group, self.words, at) if at < len(self.words) else None

    def has(self, group: str, first: int = 0, end: int | None = None) -> bool:
        """Whether a row of words of the group stands within a span."""
        last = len(self.words) if end is None else end
        return any((found := self.end(group, at)) is not None and found <= last for at in range(first, last))

    def gap(self, at: int) -> str:
        """What was written between that word and the one before it."""
        if not 0 < at < len(self.words):
            return ""
        return self.noticed.text.written[self.words[at - 1].end : self.words[at].start]

    def asked(self, at: int) -> bool:
        """Whether the sentence that a word stands in ends with a question mark or begins as a question does."""
        ends = next((one for one in range(at, len(self.words)) if self.words[one].pause in {".", "?"}), None)
        begins = next((one for one in range(at, 0, -1) if self.words[one - 1].pause in {".", "?"}), 0)
        return (ends is not None and self.words[ends].pause == "?") or self.end("order_asks", begins) is not None

    def breaks(self, at: int) -> bool:
        """Whether a mark stands before that word, or nothing at all; also behind the last."""
        if at <= 0 or at >= len(self.words) or self.words[at - 1].pause:
            return True
        gap = self.gap(at)
        return bool(_BREAKS & set(gap)) or " - " in gap

    def begins(self, at: int, times: Sequence[Span]) -> bool:
        """Whether nothing stands before that word in its clause but greetings, why it is, and when."""
        place = next(one for one in range(at, -1, -1) if self.breaks(one))
        beside = why = False
        while place < at:
            lead = self.end("order_lead", place) or self.end("order_ask_lead", place)
            time = next((end for first, end in times if first == place), None)
            because, near = self.end("order_why", place), self.end("order_why_beside", place)
            ways = [end for end in (lead, time, because, near) if end is not None and end <= at]
            if not ways:
                return False
            why = why or because is not None
            beside = beside or (near is not None and lead is None and time is None and because is None)
            place = max(ways)
        return why or not beside

    def whole(self, match: Match) -> bool:
        """Whether the text is nothing but that, with greetings before it and courtesy behind."""
        at = 0
        while at < match.first:
            end = self.end("order_lead", at)
            if end is None or end > match.first:
                return False
            at = end
        return self._only("order_courtesy_after", match.end)

    def _only(self, group: str, at: int) -> bool:
        while at < len(self.words):
            end = self.end(group, at)
            if end is None:
                return False
            at = end
        return True

    def without(self, first: int, end: int, lead: Iterable[str], tail: str) -> Span:
        """A span without the words of the groups `lead` before it and of `tail` behind it."""
        while first < end:
            ends = [one for group in lead if (one := self.end(group, first)) is not None and one <= end]
            if not ends:
                break
            first = max(ends)
        while first < end:
            begins = [at for at in range(first, end) if self.end(tail, at) == end]
            if not begins:
                break
            end = min(begins)
        return first, end

    def free(self, taken: Iterable[Span]) -> list[Span]:
        """The spans that are left."""
        left: list[Span] = []
        begin = 0
        for first, end in [*sorted(taken), (len(self.words), len(self.words))]:
            if begin < first:
                left.append((begin, first))
            begin = max(begin, end)
        return left


def overlaps(one: Span, other: Span) -> bool:
    """Whether two spans share a word."""
    return one[0] < other[1] and other[0] < one[1]


def sentence(words: str) -> str:
    """As written, the first letter a capital."""
    words = words.strip()
    return words[:1].upper() + words[1:]

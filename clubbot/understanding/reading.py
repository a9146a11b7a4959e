"""A text read: its language, what it wants and of what it speaks; or the choices to ask back with; or nothing that is clear."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from clubbot.model.club import Example, Knowledge
from clubbot.model.messages import Language
from clubbot.model.wants import (
    AskHelp,
    Danger,
    ForAPerson,
    Rsvp,
    Want,
    When,
)
from clubbot.texting.emoji import in_words
from clubbot.understanding import dates
from clubbot.understanding.claims import claim, marked
from clubbot.understanding.corrections import Corrected, Evidence, corrected
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.days import Days
from clubbot.understanding.deciding import (
    Decision,
    decide,
    decide_heard,
    together,
)
from clubbot.understanding.elsewhere import of_another_world
from clubbot.understanding.encoder import Encoder
from clubbot.understanding.language import WordWeights, told
from clubbot.understanding.leaning import Leaning, leaning
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.names import name_in
from clubbot.understanding.noticing import Notice, Noticing
from clubbot.understanding.orders.reading import Orders
from clubbot.understanding.people import People, people_coming
from clubbot.understanding.people_words import people_words
from clubbot.understanding.plain import SHORTHAND, Speller, words_of
from clubbot.understanding.scoring import Concepts, Scorer, TrainingText, fit
from clubbot.understanding.slots import Slots
from clubbot.understanding.splitting import clauses, cuts, sentences


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was made of a text. `language` is None where it does not show; `scores` are the likeliest wants, best first; `several` is
    the chance that it asks for more than one thing, None where that was not heard; `steps` are the corrections that changed what it sounded like; `when` is the
    time that the text names.
    """

    language: Language | None
    wants: tuple[Want, ...] = ()
    choices: tuple[str, ...] = ()
    scores: tuple[tuple[str, float], ...] = ()
    several: float | None = None
    steps: tuple[Corrected, ...] = ()
    when: When | None = None


@dataclass(frozen=True, slots=True)
class Learnt:
    """What is learnt from the ways of asking: the scorer, the words used more than twice in them, and those of these that only tell names."""

    scorer: Scorer
    words: frozenset[str]
    names: frozenset[str]


def learn(examples: Sequence[Example], concepts: Concepts) -> Learnt:
    """Learn from the ways of asking; takes seconds. Words that are used once or twice may be slips and are left out."""
    asked, told_names = Counter[str](), Counter[str]()
    for example in examples:
        (told_names if example.want == "name" else asked).update(set(words_of(example.text)))
    names = {word for word, times in told_names.items() if times > 2}
    often = {word for word, times in (asked + told_names).items() if times > 2}
    # "Roy" stands in ways of telling a name; that makes it no word to ask with.
    only_names = names - {word for word, times in asked.items() if times > 2}
    return Learnt(fit(training_texts(examples), concepts), frozenset(often), frozenset(only_names))


class Reader:
    """Reads texts for one club. Holds what was learnt; the same text at the same instant is always read the same way."""

    def __init__(
        self,
        knowledge: Knowledge,
        learnt: Learnt,
        weights: WordWeights,
        event_between: Callable[[date, date], bool],
        noticing: Noticing,
        days: Days,
        encoder: Encoder | None = None,
    ) -> None:
        self._knowledge = knowledge
        self.notice: Notice = noticing.notice
        self._scorer = learnt.scorer
        self._encoder = encoder
        self._weights = weights
        self._mentions = Mentions(knowledge, learnt.words)
        self._days = days
        self.orders = Orders(knowledge, self._mentions, days, noticing)
        club_words = learnt.words | _words_of_names(knowledge)
        self._ask_words = club_words - learnt.names
        self._latest: tuple[tuple[str, datetime, Language, bool], Reading] | None = None
        people_words()  # read before readers are forked, not by each
        self._speller = Speller(club_words, (*weights, *_shorthand()))
        self._slots = Slots(knowledge, self._mentions, days, self._mended, self._people, event_between, self.notice)
        self._club = _ClubThings(knowledge, self._mentions, self._slots)

    def read(self, text: str, now: datetime, fallback: Language, *, about_event: bool = False) -> Reading:
        """What `text` wants at `now`; `fallback` is the language it is read in where it does not show its own; `about_event` where an
        event has just been spoken of. The same asked again at once, as for a helper who may answer somebody or ask, is read once.
        """
        asked = (text, now, fallback, about_event)
        if self._latest is None or self._latest[0] != asked:
            self._latest = (asked, self._read(text, now, fallback, about_event=about_event))
        return self._latest[1]

    def _read(self, text: str, now: datetime, fallback: Language, *, about_event: bool) -> Reading:
        words = words_of(text)
        if not any(word.isalpha() for word in words) and not _names_a_thing(text):
            # "2", "?!", a thumb: nothing that could be learnt from.
            return Reading(language=None, wants=(AskHelp(),) if words else ())
        language = told(text, words, self._weights)
        noticed = self.notice(text)
        text = in_words(text)
        speaks = language or fallback
        if sounds_like_danger(noticed):
            return Reading(language=language, wants=(Danger(),))
        scored: dict[tuple[str, ...], Mapping[str, float]] = {}  # a side of a cut is often a piece as well

        def scores(part: str) -> Mapping[str, float]:
            said = tuple(words_of(part))
            if said not in scored:
                scored[said] = self._scores(said, speaks)
            return scored[said]

        decision, whole, several = self._heard(text, speaks, scores)
        plain = dates.plain_for_dates(text)
        evidence = Evidence(
            text=text,
            plain=plain,
            noticed=noticed,
            when=self._days.when(self._mentions.without_event(plain), now, self._knowledge.club.zone),
            answer=self._slots.rsvp("rsvp-yes", text, now),
            whole=whole,
            heard=several is not None,
            about_event=about_event,
            people=self._people(text),
            scores=scores,
            stated=self._stated,
            club=self._club,
        )
        decision, steps = corrected(decision, evidence)
        return Reading(
            language=language,
            wants=self._filled(decision, text, scores, now),
            choices=decision.choices,
            scores=tuple(sorted(whole.items(), key=lambda item: -item[1])[:5]),
            several=several,
            steps=steps,
            when=evidence.when,
        )

    def _heard(
        self, text: str, speaks: Language, scores: Callable[[str], Mapping[str, float]]
    ) -> tuple[Decision, Mapping[str, float], float | None]:
        """What the text sounds like: the decision, how likely each want is, and how likely it asks for several things, None where only
        its words were looked at.
        """
        common = self._mentions.in_learnt_words(text, speaks)
        whole = scores(common)
        if self._encoder is None:
            pieces = (scores(piece) for piece in _pieces(common))  # looked at only where the whole is not clear
            return decide(whole, pieces, [(scores(one), scores(other)) for one, other in cuts(common)]), whole, None
        heard = self._encoder.hear(self._mentions.in_common_words(text, speaks), speaks)
        whole = together(whole, heard.wants)
        elsewhere = of_another_world(self.notice(text))
        return decide_heard(whole, heard.how_many, elsewhere=elsewhere), whole, 1 - heard.how_many[0]

    def _filled(
        self, decision: Decision, text: str, scores: Callable[[str], Mapping[str, float]], now: datetime
    ) -> tuple[Want, ...]:
        if decision.outside:
            return (ForAPerson(),)
        return self._slots.filled(self._slots.parts(decision.served, text, scores), text, now)

    def as_wanted(self, want: str, text: str, now: datetime) -> Want:
        """The want of that id, with the days, places and numbers that the text names."""
        return self._slots.as_wanted(want, text, now)

    def as_rsvp(self, text: str, now: datetime) -> Rsvp:
        """The text as an answer to an event: whatever event, day, number and stand-in it names."""
        return self._slots.as_rsvp(text, now)

    @property
    def wants(self) -> tuple[str, ...]:
        """All that a text can be read as."""
        return self._scorer.wants

    def reasons(self, text: str, want: str, language: Language) -> list[str]:
        """The words of a text that speak most for a want, strongest first."""
        return self._scorer.reasons([self._speller.mend(word) for word in words_of(in_words(text))], language, want)

    def takes_back(self, text: str) -> bool:
        """Whether a text says that somebody is not coming, or only perhaps: then it is no slip being mended."""
        stated = claim(text, self._stated, self._people(text), about_event=True)
        return stated is not None and stated.kind in {"rsvp-no", "rsvp-maybe"}

    def bare_name(self, text: str) -> str | None:
        """The name that a text consists of, after it was asked for; None where its words are those that people ask with."""
        words = words_of(text)
        if not 1 <= len(words) <= 3 or "?" in words or words[0] in self._ask_words:
            return None
        surname = all(word[:1].isupper() for word in text.split()[1:])
        return name_in(text) if surname or not self._ask_words & set(words) else None

    def leaning(self, text: str, now: datetime) -> Leaning | None:
        """How the text leans on what was said before it; None where it stands for itself."""
        return leaning(self.notice(text), self._mentions, self._days, now, self._knowledge.club.zone)

    def language(self, text: str) -> Language | None:
        """The language that a text shows."""
        return told(text, words_of(text), self._weights)

    def _mended(self, text: str) -> str:
        """The text in plain words with its slips mended."""
        return " ".join(self._speller.mend(word) for word in marked(text).split())

    def _stated(self, text: str) -> str:
        """The text in plain words with its slips mended, an event told as such."""
        return self._mentions.as_event(self._mended(text))

    def _people(self, text: str) -> People:
        """How many come, and who in whose place, whatever the event that is named is called."""
        return people_coming(self._mentions.as_event(text))

    def _scores(self, words: Sequence[str], language: Language) -> Mapping[str, float]:
        mended = [self._speller.mend(word) for word in words]
        found = self._scorer.scores(mended, language)
        return dict(zip(self._scorer.wants, (float(one) for one in found), strict=True))


class _ClubThings:
    """What of the club's own the corrections look at."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions, slots: Slots) -> None:
        self._knowledge, self._mentions, self._slots = knowledge, mentions, slots
        self.event_topics = frozenset(event.topic for event in knowledge.events)

    def event_topic(self, plain: str) -> str | None:
        """The topic of the event that is named."""
        event = self._mentions.event(plain)
        return None if event is None else self._knowledge.event(event).topic

    def place(self, plain: str) -> str:
        """The part of the course that is named; "course" where none is."""
        return self._mentions.place(plain)

    def on_that_day(self, when: When | None) -> bool:
        """Whether an event is on in the days that are named."""
        return self._slots.event_then(when)


def _names_a_thing(text: str) -> bool:
    """Whether the emoji of a text stand for more than a yes or a no."""
    said = {word for word in words_of(in_words(text)) if word.isalpha()}
    return bool(said) and not said & {"yes", "no"}


def training_texts(examples: Iterable[Example]) -> list[TrainingText]:
    """The ways of asking as the scorer learns them."""
    return [TrainingText(tuple(words_of(one.text)), one.language, one.want) for one in examples]


def _pieces(text: str) -> list[str]:
    """The sentences and clauses of a text, longest cuts first, without the text itself."""
    cut = [*sentences(text), *clauses(text)]
    return [piece for piece in dict.fromkeys(cut) if piece != text.strip() and len(piece.split()) > 1]


def _words_of_names(knowledge: Knowledge) -> frozenset[str]:
    """The words of the names of the club's events and loops."""
    names = [name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called)]
    names += [name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called)]
    return frozenset(word for name in names for word in words_of(name))


def _shorthand() -> set[str]:
    return {short for table in SHORTHAND.values() for short in table}

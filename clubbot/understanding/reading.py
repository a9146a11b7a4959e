"""A text read: its language, what it wants and of what it speaks; or the choices to ask back with; or nothing that is clear."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from clubbot.model.club import Example, Knowledge
from clubbot.model.messages import Language
from clubbot.model.orders import Order
from clubbot.model.wants import (
    REPORTS,
    RSVPS,
    AskDaylight,
    AskEvents,
    AskHelp,
    AskMyMembership,
    AskMyRsvps,
    AskPlaces,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    JoinList,
    LeaveList,
    Report,
    Rsvp,
    RsvpKind,
    StartAgain,
    Stop,
    TellName,
    Thank,
    Want,
    WantPerson,
    WantReminder,
    When,
)
from clubbot.texting import patterns
from clubbot.texting.emoji import in_words
from clubbot.understanding import dates, numbers
from clubbot.understanding.claims import asks, claim
from clubbot.understanding.danger import only_supposes, sounds_like_danger
from clubbot.understanding.days import Days
from clubbot.understanding.deciding import (
    Decision,
    borne_out,
    decide,
    decide_heard,
    likeliest_answer,
    together,
    with_statement,
)
from clubbot.understanding.elsewhere import of_another_world
from clubbot.understanding.encoder import Encoder
from clubbot.understanding.language import WordWeights, told
from clubbot.understanding.leaning import Leaning, leaning
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.names import introduced, name_in
from clubbot.understanding.negation import as_negated, speaks_of_somebody_else
from clubbot.understanding.noticing import Notice, Noticing
from clubbot.understanding.orders.reading import Orders
from clubbot.understanding.party import marked, people_coming
from clubbot.understanding.plain import SHORTHAND, Speller, words_of
from clubbot.understanding.scoring import Concepts, Scorer, TrainingText, fit
from clubbot.understanding.splitting import clauses, corrections, cuts, day_pieces, sentences


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was made of a text. `language` is None where it does not show; `scores` are the likeliest wants, best first; `several` is
    the chance that it asks for more than one thing, None where that was not heard.
    """

    language: Language | None
    wants: tuple[Want, ...] = ()
    choices: tuple[str, ...] = ()
    scores: tuple[tuple[str, float], ...] = ()
    several: float | None = None


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
        self._orders = Orders(knowledge, days)
        club_words = learnt.words | _words_of_names(knowledge)
        self._ask_words = club_words - learnt.names
        self._event_between = event_between
        self._event_topics = {event.topic for event in knowledge.events}
        self._latest: tuple[tuple[str, datetime, Language, bool], Reading] | None = None
        self._speller = Speller(club_words, (*weights, *_shorthand()))

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
        text = in_words(text)
        speaks = language or fallback
        if sounds_like_danger(text):
            return Reading(language=language, wants=(Danger(),))
        scored: dict[tuple[str, ...], Mapping[str, float]] = {}  # a side of a cut is often a piece as well

        def scores(part: str) -> Mapping[str, float]:
            said = tuple(words_of(part))
            if said not in scored:
                scored[said] = self._scores(said, speaks)
            return scored[said]

        plain = dates.plain_for_dates(text)
        common = self._mentions.in_common_words(text, speaks)
        whole, several = scores(common), None
        if self._encoder is None:
            pieces = (scores(piece) for piece in _pieces(common))  # looked at only where the whole is not clear
            decision = decide(whole, pieces, [(scores(one), scores(other)) for one, other in cuts(common)])
        else:
            heard = self._encoder.hear(common, speaks)
            whole = together(whole, heard.wants)
            elsewhere = of_another_world(plain)
            decision, several = decide_heard(whole, heard.how_many, elsewhere=elsewhere), 1 - heard.how_many[0]
        # What the sentence model makes of a text is better than what our grammar of statements does, but where an event has just been
        # spoken of: "in, with two" is too short for it.
        if several is None or about_event:
            decision = self._with_claim(text, decision, now, scores, about_event)
        else:
            decision = self._with_plain_statement(text, decision, whole, now)
        if "danger" in decision.served and only_supposes(text):
            decision = Decision(outside=True)
        when = self._days.when(self._mentions.without_event(plain), now, self._knowledge.club.zone)
        decision = _of_a_round(decision, plain, when)
        decision = self._of_club_things(decision, plain, when, heard=several is not None)
        decision = _with_name(as_negated(decision, plain), text)
        if about_event and decision.outside and people_coming(text).party.more is not None:
            decision = Decision(served=("rsvp-change",))  # "remove one"
        if about_event and "rsvp-no" in decision.served and speaks_of_somebody_else(plain):
            # One of a party who drops out is a change of its number, which is asked for where it is not told.
            served = tuple("rsvp-change" if want == "rsvp-no" else want for want in decision.served)
            decision = replace(decision, served=served)
        wants = (
            (ForAPerson(),) if decision.outside else self._wants(self._parts(decision.served, text, scores), text, now)
        )
        ranked = sorted(whole.items(), key=lambda item: -item[1])[:5]
        return Reading(language=language, wants=wants, choices=decision.choices, scores=tuple(ranked), several=several)

    @property
    def wants(self) -> tuple[str, ...]:
        """All that a text can be read as."""
        return self._scorer.wants

    def reasons(self, text: str, want: str, language: Language) -> list[str]:
        """The words of a text that speak most for a want, strongest first."""
        return self._scorer.reasons([self._speller.mend(word) for word in words_of(in_words(text))], language, want)

    def as_wanted(self, want: str, text: str, now: datetime) -> Want:
        """The want of that id, with the days, places and numbers that the text names."""
        plain = dates.plain_for_dates(text)
        when = self._days.when(self._mentions.without_event(plain), now, self._knowledge.club.zone)
        return self._want(want, text, plain, when, now)

    def as_rsvp(self, text: str, now: datetime) -> Rsvp:
        """The text as an answer to an event: whatever event, day, number and stand-in it names."""
        want = self.as_wanted("rsvp-yes", text, now)
        assert isinstance(want, Rsvp)
        return want

    def order(self, text: str, now: datetime) -> Order | None:
        """The text as an order of somebody of the club."""
        return self._orders.read(text, now)

    def like_an_order(self, text: str) -> bool:
        """Whether a text that is no order looks like one."""
        return self._orders.like_an_order(text)

    def takes_back(self, text: str) -> bool:
        """Whether a text says that somebody is not coming, or only perhaps: then it is no slip being mended."""
        stated = claim(text, self._mended, people_coming(text), about_event=True)
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
        return leaning(text, self._mentions, self._days, now, self._knowledge.club.zone)

    def language(self, text: str) -> Language | None:
        """The language that a text shows."""
        return told(text, words_of(text), self._weights)

    def _with_claim(
        self,
        text: str,
        decision: Decision,
        now: datetime,
        scores: Callable[[str], Mapping[str, float]],
        about_event: bool,
    ) -> Decision:
        """A plain statement of coming or not goes before how the text sounds; what the rest of it asks is served beside."""
        people = people_coming(text)
        said = self._rsvp("rsvp-yes", text, now)
        named = about_event or said.event is not None or self._event_then(said.when)
        stated = claim(text, self._mended, people, about_event=named)
        if stated is None or (stated.weak and not named):
            sounding = likeliest_answer(scores(text), frozenset(RSVPS)) if named else None
            return Decision(served=(sounding,)) if sounding and decision.outside else _one_answer(decision)
        named = named or people.stand_in is not None
        about_events = self._event_topics | ABOUT_EVENTS
        weak = stated.weak and not (said.event is not None and (people.party.total or 0) > 1)
        own = scores(stated.said)
        if not borne_out(own, frozenset(RSVPS), about_events, weak=weak, named=named):
            return _one_answer(Decision(served=(stated.kind,)) if stated.kind in decision.choices else decision)
        # Weak words tell that it is an answer; which one, its sound may tell better.
        kind = (likeliest_answer(own, frozenset(RSVPS)) if stated.weak else None) or stated.kind
        asked = decide(scores(stated.rest), [], []).served if len(words_of(stated.rest)) > 1 else ()
        beside = (*asked, *decision.served) if not stated.weak else asked
        others = [want for want in beside if want not in NOT_BESIDE_CLAIM and want not in self._event_topics]
        if stated.weak and said.event is None and set(others) & ABOUT_THE_COURSE:
            return decision  # "is it open saturday? we'll be there at 9"
        return Decision(served=(kind, *others[:1]))

    def _with_plain_statement(
        self, text: str, decision: Decision, whole: Mapping[str, float], now: datetime
    ) -> Decision:
        """What the sentence model leaves open, or takes for another answer, our grammar of statements may settle: "il be thre thrusday",
        "in for wed.. no wait, i can't".
        """
        stated = claim(text, self._mended, people_coming(text), about_event=True)
        if stated is None:
            return decision
        said = self._rsvp("rsvp-yes", text, now)
        named = said.event is not None or self._event_then(said.when)
        if stated.weak and said.event is None and set(decision.served) & ABOUT_A_ROUND:
            return replace(decision, served=tuple(want for want in decision.served if want not in RSVPS))
        return with_statement(decision, stated.kind, whole, frozenset(RSVPS), weak=stated.weak, named=named)

    def _event_then(self, when: When | None) -> bool:
        """Whether an event is on in the days that are named."""
        return when is not None and when.dated and self._event_between(when.first, when.last)

    def _mended(self, text: str) -> str:
        """The text in plain words with its slips mended."""
        return " ".join(self._speller.mend(word) for word in marked(text).split())

    def _scores(self, words: Sequence[str], language: Language) -> Mapping[str, float]:
        mended = [self._speller.mend(word) for word in words]
        found = self._scorer.scores(mended, language)
        return dict(zip(self._scorer.wants, (float(one) for one in found), strict=True))

    def _of_club_things(self, decision: Decision, plain: str, when: When | None, *, heard: bool) -> Decision:
        """Whether a part of the course is open, or an event is on that day, however much the rest sounds like something general; where the
        sentence was heard as a whole only in the place of choices, or of what that event is in general.
        """
        if any(want in {"outside", "danger", *RSVPS} for want in decision.served) or (heard and decision.outside):
            return decision
        event = self._mentions.event(plain)
        if heard and decision.served and (event is None or decision.served != (self._knowledge.event(event).topic,)):
            return decision
        if event is not None and when is not None and when.dated and _IS_ON.search(plain):
            return Decision(served=("events",))
        if event is None and self._mentions.place(plain) != "course" and _IS_OPEN.search(plain):
            return Decision(served=("status",))
        return decision

    def _wants(self, parts: Mapping[str, str], text: str, now: datetime) -> tuple[Want, ...]:
        """The wants with all that the text names, each by its own part of the text where that names anything."""
        answers: list[RsvpKind] = [kind for want in parts for kind in RSVPS if kind == want]
        by_day = next((days for kind in answers if len(days := self._rsvps(kind, text, now)) > 1), ())
        if len(answers) > 1 and not by_day and not self._of_different_days([parts[want] for want in answers], now):
            # Nobody is coming and not coming: of two answers in one breath the last holds.
            parts = {want: part for want, part in parts.items() if want not in answers[:-1]}
            answers = answers[-1:]
        found: list[Want] = []
        for want, part in parts.items():
            if want not in answers:
                found.append(self.as_wanted(want, part if self._names_something(part, now) else text, now))
            elif not by_day:
                found.append(self.as_wanted(want, part if len(answers) > 1 else self._without_other(want, text), now))
            elif want == answers[-1]:
                found.extend(by_day)
        return _asking_once(found)

    def _without_other(self, kind: str, text: str) -> str:
        """The text without the clauses that plainly state another answer: "can't make wednesday, but put me down for family sunday"."""
        if kind not in {"rsvp-yes", "rsvp-no"}:
            return text
        said, kept = clauses(text), []
        for clause in said:
            stated = claim(clause, self._mended, people_coming(clause), about_event=True)
            if stated is None or stated.weak or stated.kind == kind:
                kept.append(clause)
        return ", ".join(kept) if kept and len(kept) < len(said) else text

    def _of_different_days(self, parts: Sequence[str], now: datetime) -> bool:
        """Whether each of these parts of a text names an event or a day, and no two the same."""
        said = [self._rsvp("rsvp-yes", part, now) for part in parts]
        named = {(one.event, one.when.first if one.when is not None and one.when.dated else None) for one in said}
        return len(named) == len(parts) and (None, None) not in named

    def _names_something(self, part: str, now: datetime) -> bool:
        """Whether a part of a text names a day, an event or a place of its own."""
        plain = dates.plain_for_dates(part)
        if self._mentions.event(plain) is not None or self._mentions.place(plain) != "course":
            return True
        zone = self._knowledge.club.zone
        return self._days.when(plain, now, zone) is not None or self._days.unclear(plain, now, zone) is not None

    def _parts(self, served: Sequence[str], text: str, scores: Callable[[str], Mapping[str, float]]) -> dict[str, str]:
        """For each want the clause of the text that sounds most like it, in the order they were said."""
        said = clauses(text) if len(served) > 1 else []
        if len(said) < 2:
            return dict.fromkeys(served, text)
        heard = [scores(clause) for clause in said]
        at = {want: max(range(len(said)), key=lambda spot: heard[spot].get(want, 0.0)) for want in served}
        return {want: said[at[want]] for want in sorted(served, key=lambda want: at[want])}

    def _want(self, want: str, text: str, plain: str, when: When | None, now: datetime) -> Want:
        mentions = self._mentions
        unclear = self._unclear(plain, when, now)
        for report in REPORTS:
            if want == report:
                return Report(report, numbers.hole(plain))
        for rsvp in RSVPS:
            if want == rsvp:
                return self._rsvp(rsvp, text, now)
        match want:
            case "status":
                return AskStatus(mentions.place(plain), when, unclear)
            case "events":
                return AskEvents(mentions.event(plain), when, unclear)
            case "daylight":
                holes = numbers.holes(plain, len(self._knowledge.course.holes))
                return AskDaylight(holes, numbers.people(plain), when, unclear)
            case "my-rsvps":
                return AskMyRsvps(mentions.event(plain), when)
            case "places":
                return AskPlaces(mentions.event(plain), when, unclear=unclear)
            case "remind":
                return WantReminder(mentions.event(plain), when, self._days.before(plain), unclear=unclear)
            case "notify-on":
                return JoinList(mentions.mailing_list(plain))
            case "notify-off":
                return LeaveList(mentions.mailing_list(plain))
            case "name":
                return TellName(name_in(text))
            case _:
                return _SIMPLE.get(want) or AskTopic(want)

    def _rsvp(self, kind: RsvpKind, text: str, now: datetime) -> Rsvp:
        """People correct themselves as they write: what is said after "no wait" holds, where it names a day or an event at all."""
        said = people_coming(text)
        zone = self._knowledge.club.zone
        event, when = None, None
        mended = self._mended(text)
        for plain in (dates.plain_for_dates(text), mended):
            for piece in corrections(self._mentions.without_refused(plain)):
                event = event or self._mentions.event(piece)
                found = self._days.when(self._mentions.without_event(piece), now, zone)
                if found is not None and (when is None or (found.dated and not when.dated)):
                    when = found
        every = _EVERY.search(mended) is not None
        unclear = self._unclear(corrections(self._mentions.without_refused(dates.plain_for_dates(text)))[0], when, now)
        return Rsvp(kind, event, when, said.party, said.stand_in, every=every, unclear=unclear)

    def _unclear(self, plain: str, when: When | None, now: datetime) -> str | None:
        """The words that name a day, where none is understood."""
        if when is not None:
            return None
        return self._days.unclear(self._mentions.without_event(plain), now, self._knowledge.club.zone)

    def _rsvps(self, kind: RsvpKind, text: str, now: datetime) -> tuple[Rsvp, ...]:
        """One answer a day: "in for thursday and saturday", "cancel wed and put me down for next wed"."""
        whole = self._rsvp(kind, text, now)
        plain = corrections(self._mended(text))[0]
        pieces = day_pieces(plain)
        if (
            len(pieces) < 2
            and kind == "rsvp-yes"
            and whole.stand_in is None
            and (whole.when is None or not whole.when.dated)
        ):
            events = self._mentions.joined_events(plain)
            if events and not _CHOOSES.search(plain):
                return tuple(replace(whole, event=event) for event in events)
        if len(pieces) < 2 or whole.stand_in is not None:
            return (whole,)
        found: list[Rsvp] = []
        kind_now: RsvpKind | None = None
        for piece in pieces:
            said = self._rsvp(kind, piece, now)
            stated = claim(piece, self._mended, people_coming(piece), about_event=True)
            if stated is None and found and (asks(piece) or _ASKS_BESIDE.search(piece)):
                continue  # "sign me up for thursday, and is there anything on saturday"
            kind_now = stated.kind if stated is not None and stated.kind != "rsvp-change" else kind_now or kind
            party = said.party if said.party.total is not None else whole.party
            found.append(replace(said, kind=kind_now, party=party, event=said.event))
        days = {(one.when.first, one.when.last) for one in found if one.when is not None and self._event_then(one.when)}
        return tuple(found) if len(days) == len(found) else (whole,)


# Of two events one is left out, or it is not yet said which.
_CHOOSES = patterns.compile(
    r"\b(?:not|no|or|but|instead|swap|cancel|out|keep|rather|pas|ou|mais|plutot|annul\w*|garde\w*|echang\w*)\b"
)
_ASKS_BESIDE = patterns.compile(
    r"\b(?:is there|anything on|is (?:it|the course)|what ?s on|whats on|how many|how much|y a quoi|ya quoi|y a t il|quoi (?:de|le)|c est ouvert|est ce que)\b"
)
_IS_ON = patterns.compile(
    r"\b(?:is|are|est ce que)\b.{0,60}\b(?:still )?(?:on|off|happening|cancell?ed|called off|annulee?)\b|\ba(?:t il)? lieu\b"
)
_IS_OPEN = patterns.compile(
    r"\b(?:is|are|est|c est)\b.{0,60}\b(?:loop|hole|boucle|trou|tee|basket|panier)\b.{0,60}\b(?:open|closed|shut|ouverte?s?|fermee?s?)\b|^(?:the )?(?:[a-z]+ loop|hole \d+|boucle [a-z ]+|trou \d+) (?:open|closed|ouverte?|fermee?)$"
)
_EVERY = patterns.compile(
    r"\b(?:every|all|each|tous les|toutes les|chaque)\b(?! (?:of|four|three|two|five|the (?:best|same)|set|good|right))"
)
# Never beside a statement of coming: it is said already.
NOT_BESIDE_CLAIM = frozenset(
    {*RSVPS, "my-rsvps", "places", "greeting", "thanks", "outside", "danger", "name", "events"}
)
# What goes with any event, beside its topic.
ABOUT_EVENTS = frozenset({"events", "places", "my-rsvps"})
# Who asks these of a day may well mean a round of his own and no event.
ABOUT_THE_COURSE = frozenset(
    {"status", "hours", "busy", "daylight", "duration", "group-size", "parking", "cost", "start"}
)

# "Is it open saturday? We'll be there at 9" is said of a round of one's own.
ABOUT_A_ROUND = frozenset({"status", "daylight", "busy"})

_SIMPLE: Mapping[str, Want] = {
    "greeting": Greet(),
    "thanks": Thank(),
    "help": AskHelp(),
    "stop": Stop(),
    "start-again": StartAgain(),
    "human": WantPerson(),
    "danger": Danger(),
    "my-membership": AskMyMembership(),
    "outside": ForAPerson(),
}


def _asking_once(wants: Sequence[Want]) -> tuple[Want, ...]:
    """A day that cannot be understood is asked for once."""
    found: list[Want] = []
    asked = False
    for want in wants:
        if isinstance(want, Rsvp | AskStatus | AskEvents | AskDaylight | AskPlaces | WantReminder) and want.unclear:
            found.append(replace(want, unclear=None) if asked and not isinstance(want, Rsvp) else want)
            asked = True
        else:
            found.append(want)
    return tuple(found)


def _one_answer(decision: Decision) -> Decision:
    """Nobody is coming and not coming: of two answers in a text the last holds."""
    answers = [want for want in decision.served if want in RSVPS]
    if len(answers) < 2:
        return decision
    return replace(decision, served=tuple(want for want in decision.served if want not in answers[:-1]))


# From this hour on who asks how long a round takes wonders about the light.
_LATE = 17


def _of_a_round(decision: Decision, plain: str, when: When | None) -> Decision:
    """A round of so many holes from an hour on: whether it fits is a question of daylight."""
    if when is None or when.at is None or when.at.hour < _LATE:
        return decision
    a_round = numbers.holes(plain, 18) is not None
    if {"duration", "daylight"} <= set(decision.choices) or (a_round and decision.served == ("status",)):
        return Decision(served=("daylight",))
    served = tuple("daylight" if want == "duration" else want for want in decision.served)
    return replace(decision, served=tuple(dict.fromkeys(served)))


def _with_name(decision: Decision, text: str) -> Decision:
    """A name said in passing is kept beside what else is served."""
    if not decision.served or "name" in decision.served or not introduced(text):
        return decision
    others = tuple(want for want in decision.served if want not in {"greeting", "thanks"})
    return replace(decision, served=(*others, "name"))


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

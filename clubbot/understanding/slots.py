"""From the id of an intent to the intent itself: the days, places, numbers and events that the text names, each by its own part of the text."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from clubbot.model.club import Knowledge
from clubbot.model.intent_kinds import BUILT_IN
from clubbot.model.intents import (
    REPORTS,
    RSVPS,
    AskDaylight,
    AskEvents,
    AskHelp,
    AskMyMembership,
    AskMyRsvps,
    AskPerson,
    AskPlaces,
    AskReminder,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    JoinList,
    LeaveList,
    Report,
    Rsvp,
    RsvpKind,
    StartAgain,
    Stop,
    TellName,
    Thank,
    When,
)
from clubbot.texting import patterns
from clubbot.understanding import dates
from clubbot.understanding.days import Days
from clubbot.understanding.holes import Holes
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.names import name_in
from clubbot.understanding.noticing import Notice
from clubbot.understanding.people import People
from clubbot.understanding.splitting import clauses, correcting, corrections, day_pieces, without
from clubbot.understanding.thresholds import SAID_IN_PART

Scores = Mapping[str, float]
# How likely each intent of a part of a text is.
Hear = Callable[[str], Scores]

_SIMPLE: Mapping[str, Intent] = {
    "greeting": Greet(),
    "thanks": Thank(),
    "help": AskHelp(),
    "stop": Stop(),
    "start-again": StartAgain(),
    "human": AskPerson(),
    "danger": Danger(),
    "my-membership": AskMyMembership(),
    "outside": ForAPerson(),
}
# Of two events one is left out, or it is not yet said which.
_CHOOSES = patterns.compile(
    r"\b(?:not|no|or|but|instead|swap|cancel|out|keep|rather|pas|ou|mais|plutot|annul\w*|garde\w*|echang\w*)\b"
)
# Days that rules know as those of telling and not of the event.
_SURELY_TOLD, _PERHAPS_TOLD = "a day of telling", "perhaps a day of telling"
_EVERY = patterns.compile(
    r"\b(?:every|all|each|tous les|toutes les|chaque)\b(?! (?:of|four|three|two|five|the (?:best|same)|set|good|right))"
)


class Slots:
    """Fills intents with what a text names, for one club. `mend` puts a text into plain words with its slips mended."""

    def __init__(
        self,
        knowledge: Knowledge,
        mentions: Mentions,
        days: Days,
        mend: Callable[[str], str],
        people: Callable[[str], People],
        event_between: Callable[[date, date], bool],
        notice: Notice,
    ) -> None:
        self._knowledge, self._mentions, self._days, self._holes = knowledge, mentions, days, Holes(days.marked)
        self._mended, self._people, self._event_between, self._notice = mend, people, event_between, notice

    def taken_as(self, intent: str, text: str, now: datetime) -> Intent:
        """The intent of that id, with the days, places and numbers that the text names."""
        plain = dates.plain_for_dates(text)
        when = self._days.when(
            self._mentions.without_event(self._of_the_event(plain, now)), now, self._knowledge.club.zone
        )
        return self._intent(intent, text, plain, when, now)

    def _of_the_event(self, plain: str, now: datetime) -> str:
        """A plain text without the days on which somebody signed up, wrote or was there, or will know or tell: none of them is when something
        is. Of "i signed up sunday" nobody can tell, so it is none where nothing is on then.
        """
        said = self._notice(plain)
        if said.says(_SURELY_TOLD):
            return without(said, _SURELY_TOLD)
        if not said.says(_PERHAPS_TOLD):
            return plain
        when = self._days.when(self._mentions.without_event(plain), now, self._knowledge.club.zone)
        return plain if self.event_then(when) else without(said, _PERHAPS_TOLD)

    def as_rsvp(self, text: str, now: datetime) -> Rsvp:
        """The text as an answer to an event: whatever event, day, number and stand-in it names."""
        intent = self.taken_as("rsvp-yes", text, now)
        assert isinstance(intent, Rsvp)
        return intent

    def event_then(self, when: When | None) -> bool:
        """Whether an event is on in the days that are named."""
        return when is not None and when.dated and self._event_between(when.first, when.last)

    def filled(self, served: Sequence[str], text: str, hear: Hear, words: Hear, now: datetime) -> tuple[Intent, ...]:
        """The intents with all that the text names, each by its own part of the text where that names anything; `hear` tells how likely each
        intent of a part is, `words` the same by its words alone, which costs little and is enough to tell the order of what names nothing.
        """
        parts = _parts(served, text, hear if _NAMING & set(served) else words)
        answers: list[RsvpKind] = [kind for intent in parts for kind in RSVPS if kind == intent]
        by_day = next((days for kind in answers if len(days := self._rsvps(kind, text, hear, now)) > 1), ())
        if len(answers) > 1 and not by_day and not self._of_different_days([parts[intent] for intent in answers], now):
            # Nobody is coming and not coming: of two answers the last holds, of two in one breath the likeliest.
            held = answers[0] if len({parts[intent] for intent in answers}) == 1 else answers[-1]
            parts = {intent: part for intent, part in parts.items() if intent == held or intent not in answers}
            answers = [held]
        found: list[Intent] = []
        for intent, part in parts.items():
            if intent not in answers:
                found.append(self.taken_as(intent, part if self._names_something(part, now) else text, now))
            elif not by_day:
                found.append(
                    self.taken_as(intent, part if len(answers) > 1 else self._without_other(intent, text, hear), now)
                )
            elif intent == answers[-1]:
                found.extend(by_day)
        return _asking_once(found)

    def names_something_ours(self, text: str, now: datetime) -> bool:
        """Whether a text names something of the club's: an event, a loop, a hole, a day that has an event."""
        plain = dates.plain_for_dates(text)
        if self._mentions.event(plain) is not None or self._mentions.place(plain) != "course":
            return True
        return self.event_then(self._days.when(plain, now, self._knowledge.club.zone))

    def names_a_day_or_event(self, text: str, now: datetime) -> bool:
        """Whether a text names one of the club's events or a time."""
        named = self.as_rsvp(text, now)
        return named.event is not None or named.when is not None

    def _without_other(self, kind: str, text: str, hear: Hear) -> str:
        """The text without the clauses that give another answer: "can't make wednesday, but put me down for the cleanup". What corrects itself is
        one answer, "thursday not wednesday".
        """
        said, noticed = clauses(text), self._notice(text)
        if kind not in {"rsvp-yes", "rsvp-no"} or len(said) < 2:
            return text
        if noticed.says("corrects itself") or noticed.says("takes a day back"):
            return text
        other = "rsvp-no" if kind == "rsvp-yes" else "rsvp-yes"
        kept = [clause for clause in said if _answer_in(hear(clause)) != other]
        return ", ".join(kept) if kept and len(kept) < len(said) else text

    def _of_different_days(self, parts: Sequence[str], now: datetime) -> bool:
        """Whether each of these parts of a text names an event or a day, and no two the same."""
        said = [self.rsvp("rsvp-yes", part, now) for part in parts]
        named = {(one.event, one.when.first if one.when is not None and one.when.dated else None) for one in said}
        return len(named) == len(parts) and (None, None) not in named

    def _names_something(self, part: str, now: datetime) -> bool:
        """Whether a part of a text names a day, an event or a place of its own."""
        plain = dates.plain_for_dates(part)
        if self._mentions.event(plain) is not None or self._mentions.place(plain) != "course":
            return True
        zone = self._knowledge.club.zone
        return self._days.when(plain, now, zone) is not None or self._days.unclear(plain, now, zone) is not None

    def _intent(self, intent: str, text: str, plain: str, when: When | None, now: datetime) -> Intent:
        mentions = self._mentions
        for report in REPORTS:
            if intent == report:
                return Report(report, mentions.hole(plain), part=mentions.loop(plain))
        for rsvp in RSVPS:
            if intent == rsvp:
                return self.rsvp(rsvp, text, now)
        unclear = self._unclear(plain, when, now)
        match intent:
            case "status":
                return AskStatus(mentions.place(plain), when, unclear)
            case "events":
                return AskEvents(mentions.event(plain), when, unclear)
            case "daylight":
                holes, of_light = self._holes.to_play(plain, mentions.holes), self._holes.of_light(plain)
                players = self._people(text).party.total
                for_holes = holes is None and players == of_light
                return AskDaylight(holes or of_light, None if for_holes else players, when, unclear)
            case "my-rsvps":
                return AskMyRsvps(mentions.event(plain), when)
            case "places":
                return AskPlaces(mentions.event(plain), when, unclear=unclear)
            case "remind":
                return AskReminder(mentions.event(plain), when, self._days.before(plain), unclear=unclear)
            case "notify-on":
                return JoinList(mentions.mailing_list(plain))
            case "notify-off":
                return LeaveList(mentions.mailing_list(plain))
            case "name":
                return TellName(name_in(text))
            case "holes":
                return AskTopic("holes", hole=mentions.hole(plain) or self._holes.alone(plain))
            case _:
                return _SIMPLE.get(intent) or AskTopic(intent)

    def rsvp(self, kind: RsvpKind, text: str, now: datetime) -> Rsvp:
        """People correct themselves as they write: what is said after "no wait" holds, where it names a day or an event at all."""
        said = self._people(text)
        zone = self._knowledge.club.zone
        event, when = None, None
        mended = self._mended(text)
        for plain in (dates.plain_for_dates(text), mended):
            for piece in self._holding(text, self._of_the_event(plain, now)):
                event = event or self._mentions.event(piece)
                found = self._days.when(self._mentions.without_event(piece), now, zone)
                if found is not None and (when is None or (found.dated and not when.dated)):
                    when = found
        every = _EVERY.search(mended) is not None
        plain = self._of_the_event(dates.plain_for_dates(text), now)
        unclear = self._unclear(self._holding(text, plain)[0], when, now)
        return Rsvp(kind, event, when, said.party, said.stand_in, every=every, said=said.said, unclear=unclear)

    def _holding(self, text: str, plain: str) -> list[str]:
        """The plain form of a text, without an event that is refused, in its pieces, what holds first."""
        left = self._mentions.without_refused(plain)
        return corrections(self._notice(left)) if correcting(self._notice(text)) else [" ".join(left.split())]

    def _unclear(self, plain: str, when: When | None, now: datetime) -> str | None:
        """The words that name a day, where none is understood."""
        if when is not None:
            return None
        return self._days.unclear(self._mentions.without_event(plain), now, self._knowledge.club.zone)

    def _rsvps(self, kind: RsvpKind, text: str, hear: Hear, now: datetime) -> tuple[Rsvp, ...]:
        """One answer a day: "in for thursday and saturday", "cancel wed and put me down for next wed"."""
        whole = self.rsvp(kind, text, now)
        plain = (
            corrections(self._notice(self._mended(text)))[0] if correcting(self._notice(text)) else self._mended(text)
        )
        pieces = day_pieces(plain, self._days.marked(plain))
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
            said = self.rsvp(kind, piece, now)
            heard = hear(piece)
            stated = _answer_in(heard)
            if stated is None and found and _asks(heard):
                continue  # "sign me up for thursday, and is there anything on saturday"
            kind_now = stated if stated is not None and stated != "rsvp-change" else kind_now or kind
            party = said.party if said.party.total is not None else whole.party
            found.append(replace(said, kind=kind_now, party=party, event=said.event))
        days = {(one.when.first, one.when.last) for one in found if one.when is not None and self.event_then(one.when)}
        return tuple(found) if len(days) == len(found) else (whole,)


# What names days, events, places, numbers or people.
_NAMING = frozenset(BUILT_IN) - _SIMPLE.keys() | {"holes"}


def _parts(served: Sequence[str], text: str, hear: Hear) -> dict[str, str]:
    """For each intent the clause of the text that sounds most like it, in the order they were said."""
    said = clauses(text) if len(served) > 1 else []
    if len(said) < 2:
        return dict.fromkeys(served, text)
    heard = [hear(clause) for clause in said]
    at = {intent: max(range(len(said)), key=lambda spot: heard[spot].get(intent, 0.0)) for intent in served}
    return {intent: said[at[intent]] for intent in sorted(served, key=lambda intent: at[intent])}


def _answer_in(heard: Scores) -> RsvpKind | None:
    """The answer to an event that a part of a text is, where it clearly is one."""
    kind = max(RSVPS, key=lambda one: heard.get(one, 0.0))
    return kind if heard.get(kind, 0.0) >= SAID_IN_PART else None


def _asks(heard: Scores) -> bool:
    """Whether a part of a text clearly is something else than an answer."""
    return max(share for intent, share in heard.items() if intent not in RSVPS) >= SAID_IN_PART


def _asking_once(intents: Sequence[Intent]) -> tuple[Intent, ...]:
    """A day that cannot be understood is asked for once."""
    found: list[Intent] = []
    asked = False
    for intent in intents:
        if isinstance(intent, Rsvp | AskStatus | AskEvents | AskDaylight | AskPlaces | AskReminder) and intent.unclear:
            found.append(replace(intent, unclear=None) if asked and not isinstance(intent, Rsvp) else intent)
            asked = True
        else:
            found.append(intent)
    return tuple(found)

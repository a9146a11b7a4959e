"""Short answers that mean something only after what was said before: "yes", "no", "3", "no, thursday", "make it 4 then"."""

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer, settle
from clubbot.conversation.occasions import day_named, headcount, hold, standing
from clubbot.conversation.occasions import named as event_named
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.reminding import remind
from clubbot.conversation.signing_in import sign_in
from clubbot.events.days import EventDay, find
from clubbot.model.dialogue import ANSWERED_WITHIN, MENDED_WITHIN
from clubbot.model.effects import KeepName, KeepRsvp, SpeakOf
from clubbot.model.rsvps import DayId, Talk
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.model.wants import Party, Rsvp, RsvpKind, WantReminder
from clubbot.rsvps.places import decline, say_maybe, say_no, say_yes
from clubbot.texting import patterns
from clubbot.texting.emoji import in_words
from clubbot.texting.keywords import bare
from clubbot.understanding.numbers import number

NAME_ASKED_AFTER = frozenset({"rsvp-yes", "rsvp-change", "here"})
_LONGEST = 7  # words: a longer text says something of its own

_YES = patterns.compile(
    r"^(?:yes|yep|yeah|yup|ya|y|yea|ok|okay|k|sure|oui|ouais|ouin|ui|d accord|dac|absolutely|definitely|certainly|of course|bien sur|certain|parfait|perfect|great|please do|will do|count me in|count us in|i m in|im in|we re in)"
    r"(?: (?:yes|ok|please|pls|plz|thanks|thank you|thx|svp|stp|merci|oui|sure|i ll take it|we ll take it|i ll take them|we ll take them|i want it|je la prends|je le prends|on la prend|on les prend|je les prends|take it|that one|that works|sounds good|ca marche|s il vous plait|s il te plait|i ll be there|we ll be there|i m coming|count me in|je viens|on vient|all of us|for all|both of us))*$"
    r"|^(?:i ll take (?:it|them)|we ll take (?:it|them)|je (?:la|le|les) prends|on (?:la|le|les) prend|that one(?: please)?|celui la|celle la)$"
)
_NO = patterns.compile(
    r"^(?:no|nope|nah|non|n|pass|i pass|we pass|je passe|on passe|not (?:this time|now|any ?more)|pas cette fois)(?: (?:no|thanks|thank you|thx|merci|sorry|desole|desolee|pas cette fois|not this time|i can t|can t|we can t|i ll pass|we ll pass|je peux pas|je passe|on passe|i ll wait|we ll wait|j attends|on attend))*$"
    r"|^(?:we ll wait|i ll wait|j attends|on attend|on va attendre|i d rather wait|we d rather wait)$"
)
_NUMBER = patterns.compile(
    r"^(?:we are |we re |just |only |on est |on sera |nous |a |in all |total )?(?P<n>\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|un|une|deux|trois|quatre|cinq|sept|huit|neuf|dix)(?: of us| people| personnes?| in all| in total| total| en tout| please| pls| svp| stp)*$"
)
_MORE = patterns.compile(r"^\s{0,9}(?P<sign>[+-]) ?(?P<n>\d{1,2})\s{0,9}[.!]?\s{0,9}$")
_MENDS = patterns.compile(
    r"^(?:no|nope|non|sorry|oops|oups|pardon|wait|attends|actually|en fait|i mean|i meant|je voulais dire|not that|pas|not|wrong|erreur|desolee?|scuse|excuse)\b"
)
Answer = Literal["yes", "no"]


def yes_or_no(text: str) -> Answer | None:
    """A bare yes or no."""
    words = bare(in_words(text))
    if _YES.match(words):
        return "yes"
    return "no" if _NO.match(words) else None


def short_answer(ask: Ask) -> Served | None:
    """What a short text does to what was last spoken of; None where it says something of its own."""
    said = yes_or_no(ask.text)
    offered = _offered(ask)
    if said is not None and offered is not None:
        return _to_offer(offered, said, ask)
    talk = ask.known.talk
    if talk is None or ask.now - talk.at > ANSWERED_WITHIN:
        return None
    if said is not None:
        return _yes_or_no(talk, said, ask)
    found, more = _NUMBER.match(bare(ask.text)), _MORE.match(ask.text)
    just_now = talk.want in {"rsvp-yes", "rsvp-change"} and ask.now - talk.at <= MENDED_WITHIN
    if more and just_now:
        return answer(Rsvp("rsvp-change", party=Party(more=int(more["sign"] + more["n"])), on=talk.on), ask)
    if found and (talk.awaits == "number" or just_now):
        return answer(Rsvp("rsvp-yes", party=Party(total=number(found["n"])), on=talk.on), ask)
    return None


def _offered(ask: Ask) -> DayId | None:
    """The day of the sender's open offer; of several the one last spoken of, else the one that ends first."""
    ends = {on: kept.offer.until for on, kept in ask.known.rsvps.items() if kept.offer and ask.now < kept.offer.until}
    if ask.known.talk is not None and ask.known.talk.on in ends:
        return ask.known.talk.on
    return min(ends, key=lambda on: ends[on], default=None)


def _to_offer(on: DayId, said: Answer, ask: Ask) -> Served | None:
    one = _day(on, ask.voice)
    if one is None:
        return None
    if said == "yes":
        return answer(Rsvp("rsvp-yes", on=on), ask)
    change = decline(standing(one, ask.known), hold(one, ask.voice.knowledge, ask.now))
    return replace(settle(change, one, ask, "rsvp-no"), event=on.event)


def _yes_or_no(talk: Talk, said: Answer, ask: Ask) -> Served | None:
    mine = ask.known.rsvps.get(talk.on)
    match talk.awaits, said:
        case "this", "yes" if talk.want == "remind":
            return remind(WantReminder(on=talk.on), ask)
        case "this", "yes":
            party = Party(total=talk.people or None)
            return answer(Rsvp(_kind(talk.want), party=party, on=talk.on), ask)
        case "sure", "yes" if talk.want == "here":
            one = _day(talk.on, ask.voice)
            return None if one is None else sign_in(one, ask, confirmed=talk.people)
        case "sure", "yes":
            return answer(Rsvp("rsvp-yes", party=Party(total=talk.people or None), on=talk.on, confirmed=True), ask)
        case "maybe", "yes":
            return answer(Rsvp("rsvp-yes", party=Party(total=mine.people if mine else None), on=talk.on), ask)
        case "maybe", "no":
            return answer(Rsvp("rsvp-no", on=talk.on), ask)
        case "this" | "number" | "sure", "no":
            return Served(sentence=ask.voice.say("rsvp.left_as_is"))
        case "offer", "no" if mine is not None and mine.state == "waiting" and mine.passed_over < mine.people:
            return _still_waiting(talk.on, mine, ask)  # the offer of a part is over, and "no" meant to wait for all
        case "offer", "yes":  # the offer's time is over, or it has been taken already
            return answer(Rsvp("rsvp-yes", on=talk.on), ask)
        case _:
            return None


def _still_waiting(on: DayId, mine: Kept, ask: Ask) -> Served | None:
    one = _day(on, ask.voice)
    if one is None:
        return None
    people = headcount(mine.people, ask.voice)
    return Served(sentence=ask.voice.say("rsvp.kept_in_line", event=event_named(one, ask.voice), people=people))


def _kind(want: str) -> RsvpKind:
    """The answer that was given: a change of the number is a yes."""
    match want:
        case "rsvp-maybe" | "rsvp-no":
            return want
        case _:
            return "rsvp-yes"


def named(ask: Ask, name: str | None) -> Served | None:
    """A bare name soon after we asked what to put on the list; `name` is the one that the text consists of."""
    talk = ask.known.talk
    just_now = talk is not None and ask.now - talk.at <= MENDED_WITHIN and talk.want in NAME_ASKED_AFTER
    if name is None or not just_now or ask.known.sender.name is not None:
        return None
    return Served(sentence=ask.voice.say("name.kept", name=name), effects=(KeepName(name=name),))


def mended(ask: Ask, read: Callable[[str], Rsvp]) -> Served | None:
    """ "no, thursday" or "no, 3" soon after an answer was taken: the answer is moved or corrected; None where nothing is.

    `read` reads a text as if it were an answer to an event, so that its event, day and number are at hand.
    """
    talk, words = ask.known.talk, bare(ask.text)
    if talk is None or ask.now - talk.at > MENDED_WITHIN or not talk.want.startswith("rsvp-"):
        return None
    if len(words.split()) > _LONGEST or not _MENDS.match(words):
        return None
    want = read(ask.text)
    if want.event is None and (want.when is None or not want.when.dated):
        return _other_number(talk, words, want, ask)
    kind = _kind(talk.want)
    party = want.party if want.party.total is not None else Party(total=talk.people or None)
    # What was misread must not be taken for what is meant now.
    afresh = replace(ask, known=replace(ask.known, dialogue=replace(ask.known.dialogue, talk=None)))
    served = answer(replace(want, kind=kind, party=party), afresh)
    if not any(isinstance(effect, KeepRsvp) for effect in served.effects):
        return served  # nothing was taken instead: what was stays as it is
    return taken_back(talk, served, ask)


def _other_number(talk: Talk, words: str, want: Rsvp, ask: Ask) -> Served | None:
    found = _NUMBER.match(_MENDS.sub("", words).strip())
    total = number(found["n"]) if found else want.party.total
    if total is None or talk.want == "rsvp-no":
        return None
    return answer(Rsvp("rsvp-change", party=Party(total=total), on=talk.on), ask)


def taken_back(talk: Talk, served: Served, ask: Ask) -> Served:
    """With the misread answer back to how it stood; places that this frees are offered on."""
    one, mine = _day(talk.on, ask.voice), ask.known.rsvps.get(talk.on)
    if one is None or mine is None or any(isinstance(e, KeepRsvp) and e.on == talk.on for e in served.effects):
        return served
    state, holding = standing(one, ask.known), hold(one, ask.voice.knowledge, ask.now)
    if talk.before is not None and talk.before.state == "coming":
        change = say_yes(state, talk.before.people, holding, ask.now)
    elif talk.before is not None and talk.before.state == "maybe":
        change = say_maybe(state, talk.before.people, holding)
    else:
        change = say_no(state, holding)
    undone = settle(change, one, ask, talk.want)
    effects = tuple(effect for effect in undone.effects if not isinstance(effect, SpeakOf))
    said = f"{served.sentence} {ask.voice.say('rsvp.as_before', event=day_named(one, ask.voice))}"
    return replace(served, sentence=said, extras=(), effects=(*effects, *served.effects))


def _day(on: DayId, voice: Voice) -> EventDay | None:
    knowledge = voice.knowledge
    rule = next((event for event in knowledge.events if event.id == on.event), None)
    return find(rule, on.day, knowledge.club.zone) if rule is not None else None

"""Sure enough for what it does: what takes a place, a party or a list away, or signs many up for money, is asked as yes or no below that."""

from collections.abc import Sequence
from dataclasses import replace

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.coming import answer
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.occasions import headcount, named, standing
from clubbot.conversation.which_day import rsvp_meant
from clubbot.events.choosing import day_of, id_of
from clubbot.events.days import EventDay
from clubbot.model.choices import Choice
from clubbot.model.dialogue import MENDED_WITHIN
from clubbot.model.effects import KeepRsvp, SpeakOf
from clubbot.model.intent_kinds import NOT_OFFERED
from clubbot.model.intents import AskMyRsvps, Intent, LeaveList, Party, Rsvp, RsvpKind
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.understanding.once import Reading
from clubbot.understanding.thresholds import OURS, TAKEN_AWAY

# From so many people on a party is large: taken off by one person's words, or signed up at so much each.
_MANY = 3
_MORE_THAN_ONE = 2
# One thing alone is asked about from this chance on.
_LIKELY_ALONE = 0.4
_WHAT_IT_DOES: frozenset[RsvpKind] = frozenset({"rsvp-yes", "rsvp-no", "rsvp-maybe", "rsvp-change"})


def sure_enough(intents: Sequence[Intent], ask: Ask, reading: Reading) -> tuple[tuple[Intent, ...], tuple[Served, ...]]:
    """The intents that are sure enough to be served, and what is asked in the place of the others."""
    if ask.said.says("asks to be told again"):  # "so we're not in the wed one anymore right" is a question
        intents = [_as_question(intent) for intent in intents]
    served: list[Intent] = []
    asked: list[Served] = []
    for intent in intents:
        if isinstance(intent, Rsvp) and not intent.confirmed:
            intent = _of_the_sender(intent, ask)
        question = None if asked else _question(intent, ask, reading)
        if question is None:
            served.append(intent)
        else:
            asked.append(question)
    return tuple(served), tuple(asked)


def _as_question(intent: Intent) -> Intent:
    return AskMyRsvps(intent.event, intent.when) if isinstance(intent, Rsvp) else intent


def _question(intent: Intent, ask: Ask, reading: Reading) -> Served | None:
    """What is asked before an intent is carried out; None where it is sure enough."""
    chance = dict(reading.scores).get
    if isinstance(intent, LeaveList) and intent.list_id is not None and not reading.steps:
        on = intent.list_id in ask.known.sender.lists
        return _leave(intent.list_id, ask) if on and chance("notify-off", 1.0) < TAKEN_AWAY else None
    if not isinstance(intent, Rsvp) or intent.confirmed:
        return None
    if intent.kind == "rsvp-no" and ask.said.says("wants to stay"):
        return Served(sentence=fresh(ask.voice, ask.known, "rsvp.left_as_is"), served=False)
    figure = figure_for_a_word(ask)
    if figure is not None and intent.kind != "rsvp-no":
        return would_do(replace(intent, party=Party(total=figure)), ask)
    if _said_again(intent, ask):
        return None
    stated = bool(reading.steps)  # what a plain statement says was not guessed
    likely = max((chance(kind, 0.0) for kind in _WHAT_IT_DOES), default=0.0)
    sure = stated or not reading.scores or likely >= TAKEN_AWAY
    return would_do(intent, ask, only_large=sure)


def _said_again(intent: Rsvp, ask: Ask) -> bool:
    """Whether we have just asked about this very answer, and it was given again: it is not asked twice."""
    talk = ask.known.talk
    return (
        talk is not None and talk.awaits == "this" and talk.intent == intent.kind and ask.now - talk.at <= MENDED_WITHIN
    )


def _of_the_sender(intent: Rsvp, ask: Ask) -> Rsvp:
    """ "I can't make it", after we have asked whether all of a party are off the list, tells who isn't coming."""
    said = intent.said
    if (
        intent.kind != "rsvp-no"
        or intent.party != Party()
        or said.everybody
        or said.all_out
        or not _said_again(intent, ask)
    ):
        return intent
    held = rsvp_meant(intent, ask)
    return (
        intent
        if held is None or held.people < _MORE_THAN_ONE
        else replace(intent, kind="rsvp-change", party=Party(more=-1))
    )


def _leave(list_id: str, ask: Ask) -> Served:
    name = next(one.name.to(ask.voice.language) for one in ask.voice.knowledge.lists if one.id == list_id)
    asked = ask_back((Choice("notify-off", list_id=list_id),), ask)
    return replace(asked, sentence=ask.voice.say("choice.leave", list=name))


def would_do(intent: Rsvp, ask: Ask, *, only_large: bool = False) -> Served | None:
    """What an answer to an event would do, asked as yes or no; None where it would change nothing, or, with `only_large`, nothing
    of weight.
    """
    result = answer(intent, ask)
    keep = next((one for one in result.effects if isinstance(one, KeepRsvp)), None)
    one = day_of(keep.on, ask.voice.knowledge) if keep is not None else None
    if keep is None or one is None:
        return None
    before = standing(one, ask.known).mine
    if (keep.rsvp.state, keep.rsvp.people) == (before.state, before.people):
        return None  # it is so already
    if only_large and not _of_weight(intent, keep.rsvp, before, ask):
        return None
    return _asked(keep.rsvp, before, one, ask)


def _of_weight(intent: Rsvp, after: Kept, before: Kept, ask: Ask) -> bool:
    """Whether even a text that is clear as to what it wants may not mean all of it: "I can't come" of a party, many people for money."""
    held = before.is_down
    if after.state == "off":
        clear = intent.said.everybody or intent.said.all_out or ask.said.says("speaks of all of us")
        return held and before.people >= _MORE_THAN_ONE and not clear
    return False


def _asked(after: Kept, before: Kept, one: EventDay, ask: Ask) -> Served:
    voice, event = ask.voice, named(one, ask.voice)
    people = headcount(max(1, before.people if after.state == "off" else after.people), voice)
    held = before.is_down
    intent: RsvpKind = "rsvp-yes"
    if after.state == "off":
        key, intent = ("rsvp.take_all_off" if before.people >= _MORE_THAN_ONE else "rsvp.take_off"), "rsvp-no"
    elif after.state == "maybe":
        key, intent = "rsvp.make_maybe", "rsvp-maybe"
    elif held:
        key = "rsvp.so_many"
    elif one.event.price and after.people >= _MANY:
        key = "rsvp.put_down_paid"
    else:
        key = "rsvp.put_down"
    price = voice.money(one.event.price) if one.event.price else ""
    said = voice.say(key, event=event, people=people, price=price)
    speak = SpeakOf(on=id_of(one), intent=intent, awaits="this", people=after.people, before=before)
    return Served(sentence=said, effects=(speak,), served=False, offered=(intent,), event=one.event.id)


def figure_for_a_word(ask: Ask) -> int | None:
    """The number of "in 4 the clinic", which may be "for": it is asked."""
    found = ask.said.first("a figure that may be a word")
    return None if found is None else ask.said.words(found)[0].number


def likely_answer(reading: Reading, ask: Ask) -> Served | None:
    """A text that is most likely an answer to an event, and not surely which: what it would do is asked, or the one thing that it lacks."""
    likely = reading.choices or one_likely(reading)
    chances = [(intent, chance) for intent, chance in reading.scores if intent in likely]
    of_answers = sum(chance for intent, chance in chances if intent in _WHAT_IT_DOES)
    of_others = sum(chance for intent, chance in chances if intent not in _WHAT_IT_DOES)
    if not chances or chances[0][0] not in _WHAT_IT_DOES or of_answers <= of_others:
        return None
    intent = reading.taken_as(chances[0][0])
    if not isinstance(intent, Rsvp):
        return None
    intent = _as_things_stand(intent, ask)
    return would_do(intent, ask) or answer(intent, ask)


def one_likely(reading: Reading) -> tuple[str, ...]:
    """The one thing that a text may want where there are no two to choose from; none where it is hardly for us."""
    best = next(iter(reading.scores), None)
    if best is None or reading.intents or best[0] in NOT_OFFERED or best[1] < _LIKELY_ALONE or reading.for_us < OURS:
        return ()
    return (best[0],)


def _as_things_stand(intent: Rsvp, ask: Ask) -> Rsvp:
    """A change of nothing is a sign-up; one more of those who come is a change."""
    held = rsvp_meant(intent, ask)
    if intent.kind == "rsvp-change" and held is None and (intent.party.total or intent.party.more is None):
        return replace(intent, kind="rsvp-yes")
    return intent

"""The code between what somebody of the club wants and its being done: a draft is shown with it, to the sender or to whoever has to agree,
and closed when it comes back, is refused, or too many wrong ones came.
"""

from datetime import datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.named_deeds import named_deed
from clubbot.conversation.phrasing import Voice
from clubbot.model.club import Person
from clubbot.model.deeds import (
    BringBackDeed,
    Deed,
    Draft,
    DutyDeed,
    JoinDeed,
    StopTextsDeed,
    SwapDeed,
    TeachDeed,
    TellDeed,
)
from clubbot.model.effects import CloseDraft, Effect, OpenDraft, Propose, TellPerson, TryCode
from clubbot.people.codes import HOUR, closed_until, tries_left
from clubbot.people.doings import permit_of
from clubbot.people.duty import somebody_else
from clubbot.people.roles import Permit, may
from clubbot.texting.numbers import mask_all

_MINUTE = timedelta(minutes=1)


# None is good for longer, whatever the deed.
LONGEST_GOOD = timedelta(days=1)
# Who changes an order ten times still knows the last ten codes.
_MOST_EARLIER = 10


def good_for(deed: Deed) -> timedelta:
    """How long a code is good: ten minutes for what one has just ordered oneself, longer for what one is asked or has to think over."""
    match deed:
        case TeachDeed() | StopTextsDeed():
            return timedelta(hours=1)  # who is asked may be at table
        case SwapDeed() | BringBackDeed() | JoinDeed():
            return LONGEST_GOOD
        case DutyDeed(agree=True):
            return LONGEST_GOOD
        case _:
            return timedelta(minutes=10)


def closed(ask: Ask, number: str) -> datetime | None:
    """When codes work again on that phone; None where they work."""
    return closed_until(ask.known.wrong_codes.get(number, ()), ask.now)


def with_code(deed: Deed, shown: str, ask: Ask, *, key: str = "order.code") -> Served:
    """What would be done, shown to the sender with a code; a plain no where no code works on the phone."""
    if closed(ask, ask.known.sender.number) is not None:
        return locked(permit_of(deed), ask)
    draft = Draft(code=ask.known.code, deed=deed, until=ask.now + good_for(deed), earlier=_before(ask))
    said = f"{dropped_for(deed, ask)} {shown} {ask.voice.say(key, code=draft.code, minutes=good_for(deed) // _MINUTE)}"
    return Served(sentence=said.strip(), effects=(OpenDraft(draft=draft),))


def _before(ask: Ask) -> tuple[str, ...]:
    """The codes of what waits on the phone now, which another deed takes the place of."""
    before = ask.known.draft
    return codes_of(before) if before is not None and ask.now < before.until else ()


def codes_of(draft: Draft) -> tuple[str, ...]:
    """The last codes that were shown up to this draft, its own among them."""
    return (*draft.earlier, draft.code)[-_MOST_EARLIER:]


def dropped_for(deed: Deed, ask: Ask) -> str:
    """What becomes of the draft before: it is dropped, unless it is the same deed said anew."""
    before = ask.known.draft
    if before is None or ask.now >= before.until:
        return ""
    was, will = named_deed(before.deed, ask.voice), named_deed(deed, ask.voice)
    same = type(before.deed) is type(deed) and (isinstance(deed, TellDeed) or was == will)
    return "" if same else ask.voice.say("order.instead", what=was)


def without_its_code(ask: Ask) -> Served | None:
    """A yes without the code: what it would have done is named, and is not done. None where nothing waits, nor did of late."""
    waits = waiting(ask)
    if not waits:
        return nothing_waits(ask) if ask.known.draft is not None else None
    draft, _ = waits[0]
    what = named_deed(draft.deed, ask.voice)
    return Served(sentence=ask.voice.say("order.needs_code", what=what, code=draft.code))


def amended(ask: Ask) -> Served:
    """What would change a draft: it stands as it was shown, and is texted whole where it is to be another."""
    draft, _ = waiting(ask)[0]
    what = named_deed(draft.deed, ask.voice)
    return Served(
        sentence=ask.voice.say("order.text_whole", what=what, code=draft.code, words=mask_all(ask.text.strip()))
    )


def nothing_waits(ask: Ask) -> Served:
    """A code for nothing: where there was a draft, what it was and until when its code was good."""
    draft = ask.known.draft
    if draft is None:
        return Served(sentence=ask.voice.say("order.no_draft"))
    said = ask.voice.say(
        "order.expired", what=named_deed(draft.deed, ask.voice), time=ask.voice.moment(draft.until, ask.now)
    )
    return Served(sentence=said, effects=(CloseDraft(),))


def locked(permit: Permit | None, ask: Ask) -> Served:
    """That no code works on this phone, until when, and who can do it meanwhile."""
    voice, number = ask.voice, ask.known.sender.number
    until = voice.moment(closed(ask, number) or ask.now, ask.now)
    others = [
        one
        for one in voice.knowledge.people
        if one.number != number
        and (permit is None or may(one, permit))
        and one.id not in voice.knowledge.suspended
        and closed(ask, one.number) is None
    ]
    if permit is None or not others:
        return Served(sentence=voice.say("order.locked", time=until))
    return Served(sentence=voice.say("order.locked_ask", time=until, name=others[0].first_name))


def propose(deed: SwapDeed | TeachDeed | DutyDeed, to: Person, text: str, ask: Ask) -> Effect | Served:
    """What somebody else is asked to agree to: `text` with the code in it. A plain no to the sender where that phone cannot be asked now."""
    voice = ask.voice
    until = closed(ask, to.number)
    if until is not None:
        return Served(sentence=voice.say("order.theirs_locked", name=to.first_name, time=voice.moment(until, ask.now)))
    if to.id in voice.knowledge.suspended:
        return Served(sentence=voice.say("order.theirs_suspended", name=to.first_name))
    waits = ask.known.proposals.get(to.number)
    if waits is not None and ask.now < waits.until and proposer(waits.deed) != proposer(deed):
        return Served(sentence=voice.say("order.theirs_taken", name=to.first_name))
    draft = Draft(code=ask.known.code, deed=deed, until=ask.now + good_for(deed))
    return Propose(number=to.number, draft=draft, text=text)


def proposer(deed: Deed) -> str | None:
    """Who put a deed to somebody else; None for one's own."""
    match deed:
        case TeachDeed():
            return deed.taught_by
        case SwapDeed() | JoinDeed() | DutyDeed():
            return deed.asked_by
        case _:
            return None


def waiting(ask: Ask) -> list[tuple[Draft, CloseDraft]]:
    """What waits for a code on the sender's phone, with how it is closed; what was shown last comes first."""
    pairs = ((ask.known.draft, False), (ask.known.proposals.get(ask.known.sender.number), True))
    still = [(draft, CloseDraft(proposal=put)) for draft, put in pairs if draft is not None and ask.now < draft.until]
    return sorted(still, key=lambda pair: pair[0].until - good_for(pair[0].deed), reverse=True)


def earlier(code: str, ask: Ask) -> Served | None:
    """A code that was shown before what waits was changed: no wrong try, and nothing is done by it. None where it is no such code."""
    draft = next((one for one, _ in waiting(ask) if code in one.earlier), None)
    if draft is None:
        return None
    return Served(sentence=ask.voice.say("order.earlier_code", what=named_deed(draft.deed, ask.voice)))


def wrong(ask: Ask, person: Person) -> Served:
    """A wrong code: counted; one too many closes all that waits on the phone and tells the phone and the organiser, once."""
    voice = ask.voice
    tries = (*ask.known.wrong_codes.get(person.number, ()), ask.now)
    until = closed_until(tries, ask.now)
    if until is None:
        draft, _ = waiting(ask)[0]
        said = voice.say(
            "order.wrong_code", left=tries_left(tries, ask.now), what=named_deed(draft.deed, voice), code=draft.code
        )
        return Served(sentence=said, effects=(TryCode(),))
    effects: list[Effect] = [TryCode(), CloseDraft(), CloseDraft(proposal=True)]
    key = "order.wrong_codes_note" if until - ask.now <= HOUR else "order.wrong_codes_day_note"
    head = somebody_else(voice.knowledge, person, ask.now)
    if head is not None:
        theirs = Voice(voice.knowledge, head.language)
        note = theirs.say(key, name=person.first_name, time=theirs.moment(until, ask.now))
        effects.append(TellPerson(person=head.id, number=head.number, text=note))
    for draft, _ in waiting(ask):
        effects += _told_back(draft.deed, person, "order.proposal_closed", ask, until)
    return Served(sentence=voice.say("order.dropped", time=voice.moment(until, ask.now)), effects=tuple(effects))


def let_go(ask: Ask, person: Person, *, stops: bool) -> Served:
    """What was shown last is dropped: a no, or a wish to stop, that is answered with how to stop all texts."""
    draft, close = waiting(ask)[0]
    told = _told_back(draft.deed, person, "order.proposal_refused", ask, ask.now)
    key = "order.let_go_stop" if stops else "order.let_go"
    return Served(sentence=ask.voice.say(key, what=named_deed(draft.deed, ask.voice)), effects=(close, *told))


def _told_back(deed: Deed, person: Person, key: str, ask: Ask, until: datetime) -> list[Effect]:
    """Whoever proposed it hears what became of it: it can be asked again."""
    by = next((one for one in ask.voice.knowledge.people if one.id == proposer(deed)), None)
    if by is None or by.id == person.id:
        return []
    theirs = Voice(ask.voice.knowledge, by.language)
    text = theirs.say(key, name=person.first_name, time=theirs.moment(until, ask.now))
    return [TellPerson(person=by.id, number=by.number, text=text)]

"""What waits for a code, in a few words: "close the back loop"."""

from clubbot.conversation.covering import places_of
from clubbot.conversation.occasions import day_named
from clubbot.conversation.phrasing import Voice
from clubbot.events.choosing import day_of
from clubbot.model.deeds import (
    AddEventDeed,
    CallOffDeed,
    CallOnDeed,
    CloseDeed,
    Deed,
    DoneDeed,
    DutyDeed,
    JoinDeed,
    MoveDeed,
    ReopenDeed,
    RestoreDeed,
    RetireDeed,
    RolesDeed,
    RosterDeed,
    SignUpDeed,
    StopTextsDeed,
    SuspendDeed,
    SwapDeed,
    TakeOffDeed,
    TellDeed,
    TellOneDeed,
    WhichDeed,
)
from clubbot.model.rsvps import DayId

_LONGEST = 60


def named_deed(deed: Deed, voice: Voice) -> str:
    """The deed as it is spoken of when it is not done."""
    match deed:
        case CloseDeed(kind="note"):
            return voice.say("deed.note", what=places_of((deed.what, *deed.also), voice))
        case CloseDeed():
            return voice.say("deed.close", what=places_of((deed.what, *deed.also), voice))
        case ReopenDeed(hold=True):
            return voice.say("deed.release")
        case ReopenDeed():
            return voice.say("deed.reopen", what=deed.what)
        case CallOffDeed():
            return voice.say("deed.call_off", event=_day(deed, voice))
        case CallOnDeed():
            return voice.say("deed.call_on", event=_day(deed, voice))
        case SuspendDeed():
            return voice.say("deed.suspend", name=voice.knowledge.person(deed.person).first_name)
        case RestoreDeed():
            return voice.say("deed.restore", name=voice.knowledge.person(deed.person).first_name)
        case RosterDeed(joins=True) | JoinDeed():
            return voice.say("deed.join", name=deed.person.first_name)
        case RetireDeed() | RolesDeed() | DutyDeed():
            key = deed.deed if not isinstance(deed, RolesDeed) else "role"
            return voice.say(f"deed.{key}", name=voice.knowledge.person(deed.person).first_name)
        case RosterDeed():
            return voice.say("deed.roster", name=deed.person.first_name)
        case AddEventDeed():
            return voice.say("deed.add_event", name=deed.name, day=voice.dated(deed.day))
        case MoveDeed(moved_to=held) if held is not None:
            return voice.say("deed.move_day", event=_day(deed, voice), day=voice.dated(held))
        case MoveDeed(meet=meet) if meet is not None:
            return voice.say("deed.move_place", event=_day(deed, voice), place=meet.to(voice.language))
        case MoveDeed():
            return voice.say("deed.move", event=_day(deed, voice), time=voice.clock(deed.starts))
        case TellDeed():
            return voice.say("deed.tell", text=_cut(deed.words.to(voice.language)))
        case TellOneDeed():
            return voice.say("deed.tell_one", name=deed.name, text=_cut(deed.words))
        case SignUpDeed():
            return voice.say("deed.sign_up", names=voice.joined(deed.names), event=_day(deed, voice))
        case TakeOffDeed():
            off = voice.joined([one.name for one in deed.lines])
            return voice.say("deed.take_off", names=off, event=_day(deed, voice))
        case WhichDeed():
            return voice.say("deed.which_one", name=deed.name)
        case StopTextsDeed():
            return voice.say("deed.stop")
        case DoneDeed():
            return voice.say("deed.done", number=deed.number)
        case SwapDeed():
            names = [voice.knowledge.person(one).first_name for one in (deed.taker, deed.giver)]
            return voice.say("deed.swap", taker=names[0], giver=names[1], day=voice.dated(deed.day))
        case _:
            return voice.say("deed.other")


def _cut(words: str) -> str:
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 4].rstrip()} ..."


def _day(deed: CallOffDeed | CallOnDeed | MoveDeed | SignUpDeed | TakeOffDeed, voice: Voice) -> str:
    one = day_of(DayId(deed.event, deed.day), voice.knowledge)
    return day_named(one, voice) if one is not None else deed.event

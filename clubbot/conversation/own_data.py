"""What is kept of the sender: told in a few words, and erased once they have said yes. It is answered to those who have opted out, too."""

from clubbot.conversation.ask import Ask
from clubbot.conversation.down_for import held_days
from clubbot.conversation.occasions import hold, named, standing
from clubbot.conversation.replying import Turn
from clubbot.conversation.settling import settle
from clubbot.conversation.texted import Texted
from clubbot.events.choosing import day_of
from clubbot.model.choices import ERASE
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import CloseChoice, Effect, Erase, Introduce, OpenChoice, Reply, SpeakOf
from clubbot.model.intents import Danger
from clubbot.rsvps.places import say_no


def own_data(texted: Texted) -> Turn | None:
    """What becomes of a question about the sender's own data, of the wish to have it erased, and of the yes to it; None where it is none."""
    said = texted.reading.noticed
    ask = texted.ask(texted.reading.language)
    if (answered := _to_our_question(texted)) is not None:
        return answered
    erased = said.says("wants own data erased")
    if not erased and not said.says("asks for own data"):
        return None
    if any(isinstance(intent, Danger) for intent in texted.reading.intents):
        return None
    if erased:
        return _asked_first(ask)
    return _turn(ask, _kept(ask), *([CloseChoice()] if texted.known.asked is not None else []))


def _to_our_question(texted: Texted) -> Turn | None:
    """A yes or a no to the question whether all is to be erased; anything else lets it go."""
    asked = texted.known.asked
    if asked is None or asked.choices != (ERASE,):
        return None
    ask, said = texted.ask(asked.language), texted.reading.noticed
    if texted.now < asked.until and (said.says("no") or said.says("never mind")):
        return _turn(ask, ask.voice.say("own_data.left"), CloseChoice())
    return _erased(ask) if texted.now < asked.until and said.says("yes") else None


def _turn(ask: Ask, said: str, *effects: Effect) -> Turn:
    if not ask.known.sender.introduced:
        said, effects = f"{said} {ask.voice.say('greeting.introduction')}", (*effects, Introduce())
    return Turn(
        effects=(Reply(text=said, asks_consent=False), *effects),
        language=ask.voice.language,
        served=("privacy",),
        outcome="answered",
        reading=ask.reading,
    )


def _kept(ask: Ask) -> str:
    """The list, in short."""
    voice, sender, knowledge = ask.voice, ask.known.sender, ask.voice.knowledge
    days = knowledge.club.keep_texts_days
    if sender.first_seen is None:
        return f"{voice.say('own_data.new', days=days)} {_role(ask) or voice.say('own_data.how')}"
    since = voice.dated(sender.first_seen.astimezone(knowledge.club.zone).date())
    name = voice.say("own_data.name", name=sender.name) if sender.name else voice.say("own_data.no_name")
    said = [voice.say("own_data.kept", since=since, name=name, days=days)]
    held = [named(one, voice) for one in held_days(ask)]
    said.append(voice.say("own_data.sign_ups", list="; ".join(held) if held else voice.say("own_data.none")))
    lists = [one.name.to(voice.language) for one in knowledge.lists if one.id in sender.lists]
    said.append(voice.say("own_data.lists", list=", ".join(lists) if lists else voice.say("own_data.none")))
    if sender.opted_out:
        said.append(voice.say("own_data.stopped"))
    said.append(_role(ask) or voice.say("own_data.how"))
    return " ".join(said)


def _role(ask: Ask) -> str:
    """What is said to a phone of the club's people: its name, number and role stand in the club's files."""
    person = next((one for one in ask.voice.knowledge.people if one.number == ask.known.sender.number), None)
    if person is None:
        return ""
    roles = ask.voice.roles(person.roles)
    return ask.voice.say("own_data.role", roles=roles) if roles else ask.voice.say("own_data.roster")


def _asked_first(ask: Ask) -> Turn:
    """What would go, and what stays; it is done on a yes."""
    thread = ask.known.thread
    if thread is not None and thread.open and thread.reason == "danger":
        return _turn(ask, ask.voice.say("own_data.alarm"))
    stays = ask.voice.say("own_data.proof") if ask.known.sender.opted_out else ""
    said = " ".join(one for one in (ask.voice.say("own_data.sure"), _role(ask) or stays) if one)
    left_open = OpenChoice(
        choices=(ERASE,), about="", language=ask.voice.language, until=ask.now + OPEN_FOR, again=False
    )
    return _turn(ask, said, left_open)


def _erased(ask: Ask) -> Turn:
    """Sign-ups are taken back first, so that their places go to others; then all the rest goes. Nothing of the conversation is kept."""
    key = "own_data.erased_stopped" if ask.known.sender.opted_out else "own_data.erased"
    of_the_club = any(one.number == ask.known.sender.number for one in ask.voice.knowledge.people)
    effects = [one for one in _taken_back(ask) if not isinstance(one, SpeakOf)]
    said = ask.voice.say("own_data.erased_role" if of_the_club else key)
    done = (Reply(text=said, asks_consent=False), *effects, Erase(of_the_club=of_the_club))
    return Turn(effects=done, language=ask.voice.language, served=("privacy",), outcome="erased")


def _taken_back(ask: Ask) -> list[Effect]:
    effects: list[Effect] = []
    for on, mine in ask.known.rsvps.items():
        one = day_of(on, ask.voice.knowledge)
        if one is None or mine.state == "off" or one.starts <= ask.now:
            continue
        change = say_no(standing(one, ask.known), hold(one, ask.voice.knowledge, ask.now))
        effects += settle(change, one, ask, "rsvp-no").effects
    return effects

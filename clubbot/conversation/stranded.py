"""Somebody cannot get away from the course: keys are lost, a car is blocked in. A person is told at once, at night too, and the asker whom to
call as far as the club's files say.
"""

from dataclasses import replace

from clubbot.conversation.alarm import whom_to_call
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.handover import handed, whoever_is_up
from clubbot.conversation.reporting import LEAVE


def stranded(ask: Ask) -> Served | None:
    """What is said and done; None where nobody is stranded, or a cry for help goes before."""
    keys, car = ask.said.says("stranded without keys"), ask.said.says("stranded with a car")
    alarm = ask.known.alarm is not None and ask.known.alarm.open
    if alarm or not (keys or car):
        return None
    person, voice = whoever_is_up(ask), ask.voice
    told = voice.say("stranded.keys" if keys else "stranded.car", name=person.first_name)
    box = voice.knowledge.facts[voice.language].get(LEAVE)
    found = voice.say("stranded.found", where=box) if keys and box else ""
    said = " ".join(one for one in (told, found, whom_to_call(voice)) if one)
    note = replace(handed(ask, "stranded", "stranded.note", to=person), due=None)
    return Served(sentence=f"{said} {voice.say('stranded.danger')}", effects=(note,))

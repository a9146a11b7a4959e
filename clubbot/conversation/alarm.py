"""An alarm beyond the emergency number: what the club knows that helps (the way in, the gate), and that it is over."""

from clubbot.conversation.ask import Ask, Served, asks
from clubbot.conversation.helping import quoted
from clubbot.conversation.not_twice import told_lately
from clubbot.conversation.phrasing import Voice
from clubbot.model.effects import Effect, KeepExchange, SettleQuestion, TellPerson
from clubbot.people.duty import organiser
from clubbot.understanding.danger import denies, help_came, is_over

_PLACE, _LIKELY = frozenset({"where", "first-tee", "parking"}), 0.35
# Letters of a text that is kept to lean on.
_KEPT = 200
# Words of a text that says nothing more.
_FEW = 11
# Whom to call about the car park and its gate, in the club's files.
CALL = "parking.call"
_WAY_IN = ("course.street", "course.park", "course.town")


def what_helps(ask: Ask) -> str:
    """What the club knows for those who are coming, or for somebody behind a locked gate; "" where neither is spoken of."""
    if ask.said.says("asks the way in") or _sounds_like_the_way(ask):
        return _way_in(ask)
    call = whom_to_call(ask.voice)
    if call and ask.said.says("at the gate"):
        return call
    parking = ask.voice.knowledge.answers.get("parking")
    if parking is not None and parking.paragraphs[ask.voice.language] and ask.said.says("at the gate"):
        return ask.voice.say("danger.locked_in", parking=parking.paragraphs[ask.voice.language][0])
    return ""


def whom_to_call(voice: Voice) -> str:
    """Whom to call about the car park and its gate; "" where the club's files do not say."""
    call = voice.knowledge.facts[voice.language].get(CALL)
    return voice.say("stranded.call", call=call) if call else ""


def _sounds_like_the_way(ask: Ask) -> bool:
    """Whether after a cry for help a text sounds like a question about the place: "what address do i give them"."""
    alarm, reading = ask.known.alarm, ask.reading
    if alarm is None or not alarm.open or reading is None:
        return False
    return max((chance for intent, chance in reading.scores if intent in _PLACE), default=0.0) >= _LIKELY


def _way_in(ask: Ask) -> str:
    facts = ask.voice.knowledge.facts[ask.voice.language]
    if any(name not in facts for name in _WAY_IN):
        return ""
    street, park, town = (facts[name] for name in _WAY_IN)
    return ask.voice.say("danger.way_in", street=street, park=park, town=town)


def alarm_over(ask: Ask) -> Served | None:
    """After a cry for help: that all is well again, or that nobody was ever in danger, ends it, that helpers have come does not; both are
    told to whoever was told of the alarm. None where there is no alarm, or the text says neither, or only asks on after it was over.
    """
    alarm = _alarm(ask)
    over = is_over(ask.said)
    if alarm is None or not (over or help_came(ask.said)):
        return None
    number, person, is_open = alarm
    if not is_open and over and asks(ask):
        return None
    knowledge = ask.voice.knowledge
    told = next((one for one in knowledge.people if one.id == person), organiser(knowledge))
    theirs = Voice(knowledge, told.language)
    key = "danger.over" if over else "danger.arrived"
    note = theirs.say(f"{key}_note", number=number, text=quoted(ask.text))
    effects: list[Effect] = [
        TellPerson(person=told.id, number=told.number, text=note),
        KeepExchange(
            text=ask.text[:_KEPT], language=ask.voice.language
        ),  # what follows comes after what a person was told
    ]
    if over and is_open:
        effects.append(SettleQuestion(number=number, person=told.id))
    return Served(sentence=ask.voice.say(key, name=told.first_name), effects=tuple(effects))


def all_was_well(name: str, ask: Ask) -> bool:
    """Whether this phone was told just now that its alarm is over: what it texts then is no cry any more."""
    voices = [Voice(ask.voice.knowledge, language) for language in ask.voice.knowledge.club.languages]
    return any(told_lately(voice.say("danger.over", name=name), ask.known) for voice in voices)


def only_denies(ask: Ask) -> Served | None:
    """ "He fell off lol, he's fine": nobody is alarmed, and there is nothing to pass on. None where the text says or asks more."""
    if not denies(ask.said) or asks(ask) or len(ask.text.split()) > _FEW:
        return None
    return Served(sentence=ask.voice.say("danger.none"))


def _alarm(ask: Ask) -> tuple[int, str, bool] | None:
    """The question of the sender's alarm of today, who has it, and whether it is still open."""
    alarm, thread = ask.known.alarm, ask.known.thread
    if alarm is not None and alarm.open:
        return alarm.number, alarm.person, True
    if thread is not None and thread.reason == "danger":
        return thread.number, thread.person, thread.open
    return None

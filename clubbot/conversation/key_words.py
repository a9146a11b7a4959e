"""The way out and the way back in, HELP, and cries for help: what goes before anything else, whoever texts it."""

from dataclasses import replace

from clubbot.conversation.alarm import alarm_over
from clubbot.conversation.ask import Ask, Served, asks
from clubbot.conversation.coming import answer
from clubbot.conversation.confirming import ask_to_stop
from clubbot.conversation.flood import is_ours
from clubbot.conversation.handover import danger
from clubbot.conversation.ordering import no_opt_out
from clubbot.conversation.replying import Turn, served, to_its_own, told
from clubbot.conversation.sureness import would_do
from clubbot.conversation.texted import Texted
from clubbot.conversation.which_day import is_clear_which
from clubbot.model.club import Person
from clubbot.model.dialogue import MENDED_WITHIN
from clubbot.model.effects import CloseChoice, Effect, HandOver, Introduce, KeepLanguage, OptIn, OptOut, Reply
from clubbot.model.intents import (
    AskDaylight,
    AskEvents,
    AskMyRsvps,
    AskPlaces,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    Rsvp,
    StartAgain,
    Stop,
    Thank,
)
from clubbot.model.messages import Language
from clubbot.texting.keywords import Keyword, keyword
from clubbot.understanding.consent import opts_out, wants_back
from clubbot.understanding.danger import denies, sounds_like_danger
from clubbot.understanding.noticing import Notice
from clubbot.understanding.once import Reading
from clubbot.understanding.splitting import more_than_anybody_types


def opt_out_of(text: str, notice: Notice) -> Keyword | None:
    """The wish for no more texts, as a key word or in plain words; None where the text has none, or wants the texts again."""
    word = keyword(text) or (None if more_than_anybody_types(text) else opts_out(notice(text)))
    return word if word is not None and word.kind == "stop" else None


def stops_or_starts(texted: Texted) -> Turn | None:
    """The wish for no more texts, or for texts again, as a key word or in plain words, with what else plain words ask."""
    key_word = keyword(texted.text)
    word = key_word or opts_out(texted.reading.noticed) or _by_its_sound(texted)
    if word is None or word.kind == "help":
        return None
    if (
        word.kind == "stop"
        and texted.person is not None
        and no_opt_out(texted.reading.order(texted.at), texted.reading)
    ):
        return None  # "stop sending" from the club's people
    if word.kind == "stop" and not key_word and (off := _off_the_list_at_hand(texted)) is not None:
        return off
    turned = by_key_word(word, texted.ask(), first_text=texted.known.sender.language is None)
    return turned if key_word else and_the_rest(turned, texted)


def _off_the_list_at_hand(texted: Texted) -> Turn | None:
    """ "Take me off this list" right after a sign-up was told of is about that; how all texts are ended is said too. None elsewhere."""
    ask, talk = texted.ask(texted.reading.language), texted.known.talk
    if talk is None or not ask.said.says("off the list at hand") or texted.now - talk.at > MENDED_WITHIN:
        return None
    mine = texted.known.rsvps.get(talk.on)
    if mine is None or mine.state == "off" or texted.known.sender.opted_out:
        return None
    said = texted.reading.answer
    named = said.event is not None or (said.when is not None and said.when.dated)
    no = Rsvp("rsvp-no", said.event, said.when) if named else Rsvp("rsvp-no", on=talk.on)
    done = would_do(no, ask, only_large=True) or answer(no, ask)
    turned = told([done, Served(sentence=ask.voice.say("consent.or_stop"))], ask, None)
    return replace(turned, served=("rsvp-no",) if done.served else ())


# What is asked beside the news that an alarm is over.
_ASKED = (AskTopic, AskStatus, AskEvents, AskDaylight, AskPlaces, AskMyRsvps)
# Words of a text that is more than an answer to what was asked.
_NO_ANSWER = 4


def _by_its_sound(texted: Texted) -> Keyword | None:
    """The wish for no more texts that no rule knows but the sentence model hears, whatever was spoken of before: in so many words that it is
    no answer to that ("none of those"). What the club's people want stopped is told by rules alone: "stop play".
    """
    reading = texted.reading.both_ends
    few = len(reading.text.split()) < _NO_ANSWER
    if few or texted.person is not None or texted.known.sender.opted_out or not reading.opts_out:
        return None
    return Keyword("stop", reading.language or texted.usual)


def by_key_word(word: Keyword, ask: Ask, *, first_text: bool) -> Turn:
    """What a key word asks for. START is the word in both languages, and whoever has texted before has one."""
    match word.kind:
        case "stop":
            return opted_out(in_language(word.language, ask))
        case "start":
            return opted_in(in_language(word.language, ask) if word.language != "en" else ask)
        case _:
            return helped(in_language(word.language, ask) if first_text else ask)


def in_language(language: Language, ask: Ask) -> Ask:
    """The same, answered in that language."""
    return replace(ask, voice=replace(ask.voice, language=language))


def opted_out(ask: Ask) -> Turn:
    """One confirmation; a second opt-out is met with silence, as the first asked for. From a phone of the club's people it takes a code."""
    language, sender = ask.voice.language, ask.known.sender
    if sender.opted_out:
        return Turn(language=language, served=("stop",), outcome="opted out already", kind="stop")
    if _person(ask) is not None:
        ask = replace(ask, known=replace(ask.known, sender=replace(sender, introduced=True)))
        return to_its_own(told([ask_to_stop(ask)], ask, None))
    said = ask.voice.say("consent.stopped")
    effects: tuple[Effect, ...] = (
        Reply(text=said, asks_consent=False),
        OptOut(words=ask.text),
        CloseChoice(),
        Introduce(),
    )
    if sender.language is None:  # START, which is of no language, is answered in the same
        effects = (*effects, KeepLanguage(language=language))
    return Turn(effects=effects, language=language, served=("stop",), outcome="opted out", kind="stop")


def opted_in(ask: Ask) -> Turn:
    """Texts again."""
    effects = (OptIn(words=ask.text), Reply(text=ask.voice.say("consent.started")), Introduce())
    return Turn(effects=effects, language=ask.voice.language, served=("start-again",), outcome="opted in", kind="start")


def helped(ask: Ask) -> Turn:
    """HELP and AIDE are answered always, also to those who opted out (Canadian short code guidelines)."""
    said = ask.voice.say("help.reply")
    if _person(ask) is not None:
        said = f"{said} {ask.voice.say('help.roster')}"
    effects = (Reply(text=said, asks_consent=False), Introduce())
    return Turn(effects=effects, language=ask.voice.language, served=("help",), outcome="answered", kind="help")


def _person(ask: Ask) -> Person | None:
    return next((one for one in ask.voice.knowledge.people if one.number == ask.known.sender.number), None)


def and_the_rest(turned: Turn, texted: Texted) -> Turn:
    """An opt-in or opt-out with what else the text asks: "text me again, and am I down for Sunday". Beside an opt-out only a "not coming"
    is done, since whoever wants no more texts asks no questions.
    """
    stops, reading = any(isinstance(effect, OptOut) for effect in turned.effects), texted.reading
    if not turned.effects or not any(isinstance(intent, Stop if stops else StartAgain) for intent in reading.intents):
        return turned
    rest = [intent for intent in reading.intents if _is_of_the_rest(intent, stops=stops)]
    if stops:  # nothing is asked of somebody who wants no more texts
        rest = [intent for intent in rest if isinstance(intent, Rsvp) and is_clear_which(intent, texted.ask())]
    if not rest:
        return turned
    more = served(rest, texted.introduced().ask(turned.language, alone=False), reading)
    return replace(_with_more(turned, more), reading=reading)


def _with_more(turned: Turn, more: Turn) -> Turn:
    """What was decided, and what the rest of the same text asks after it."""
    said = " ".join(one for one in (turned.reply, more.reply) if one)
    effects: list[Effect] = [
        replace(effect, text=said) if isinstance(effect, Reply) else effect for effect in turned.effects
    ]
    effects += [effect for effect in more.effects if not isinstance(effect, Reply)]
    both = (*turned.served, *more.served)
    return replace(turned, effects=tuple(effects), served=both, event=more.event, party=more.party)


def _is_of_the_rest(intent: Intent, *, stops: bool) -> bool:
    if isinstance(intent, Rsvp) and intent.kind == "rsvp-no":
        return True
    return not (stops or isinstance(intent, Stop | StartAgain | ForAPerson | Greet | Thank | Danger))


def cries_for_help(texted: Texted) -> Turn | None:
    """A danger, in words that are not our own come back."""
    if not _in_danger(texted) or is_ours(texted.text, texted.known):
        return None
    return cried_for_help(texted.reading, texted)


def _in_danger(texted: Texted) -> bool:
    """By its words or its sound; from the club's people, whose notes tell of what others cried, by its words alone, and so where somebody
    who cried says that nobody is in danger.
    """
    reading, thread = texted.reading, texted.known.thread
    alarmed = texted.known.alarm is not None or (thread is not None and thread.reason == "danger")
    if texted.person is not None or (alarmed and denies(reading.noticed)):
        return sounds_like_danger(reading.noticed)
    return reading.in_danger or reading.both_ends.in_danger


def cried_for_help(cry: Reading, texted: Texted) -> Turn:
    """What is said and done where somebody is in danger; `cry` are the words that tell of it."""
    ask = texted.ask(cry.language, part=cry)
    result = danger(ask)
    effects: tuple[Effect, ...] = (Reply(text=result.sentence, asks_consent=False), *result.effects)
    if any(
        isinstance(one, HandOver) and one.reason == "detail" for one in effects
    ):  # of the cry before, and counted as such
        return Turn(effects=effects, language=ask.voice.language, outcome="passed on", reading=cry)
    return Turn(effects=effects, language=ask.voice.language, outcome="danger", reading=cry, kind="danger")


def with_cry(turned: Turn, texted: Texted) -> Turn:
    """What was ordered, and before it what is said and done where somebody is in danger: "someone collapsed, close the course"."""
    cry = cried_for_help(texted.reading, texted)
    said = Reply(text=" ".join(one for one in (cry.reply, turned.reply) if one), asks_consent=False)
    rest = [one for one in (*cry.effects, *turned.effects) if not isinstance(one, Reply)]
    return replace(turned, effects=(said, *rest), outcome=cry.outcome, kind=cry.kind)


def alarm_is_over(texted: Texted) -> Turn | None:
    """After a cry for help, that it is over or that helpers have come; what the same text asks is answered."""
    ask = texted.ask(texted.reading.language)
    over = alarm_over(ask)
    if over is None:
        return None
    asked = [one for one in texted.reading.intents if isinstance(one, _ASKED)] if asks(ask) else []
    if not asked:
        return to_its_own(told([over], ask, None))
    turned = to_its_own(told([over], texted.introduced().ask(texted.reading.language), None))
    return _with_more(turned, served(asked, texted.ask(turned.language, alone=False), None))


def asks_for_help(texted: Texted) -> Turn | None:
    """HELP, the key word."""
    word = keyword(texted.text)
    if word is None or word.kind != "help":
        return None
    return by_key_word(word, texted.ask(), first_text=texted.known.sender.language is None)


def comes_back(texted: Texted) -> Turn | None:
    """Whoever has opted out is not answered, unless the text asks for the texts again in plain words. None where nobody has."""
    if not texted.known.sender.opted_out:
        return None
    reading = texted.reading
    back = wants_back(reading.noticed, reading.text) or any(isinstance(one, StartAgain) for one in reading.intents)
    if not back or opts_out(reading.noticed) is not None:
        return Turn(language=texted.usual, outcome="opted out", reading=reading)
    shown = reading.language if reading.language in texted.knowledge.club.languages else None
    return and_the_rest(opted_in(texted.ask(shown)), texted)

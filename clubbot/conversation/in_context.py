"""What a text means only because of what was said before, where and when, or by whom."""

from dataclasses import replace

from clubbot.conversation.about_mine import about_mine, of_the_party
from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.beside import with_words_beside
from clubbot.conversation.by_itself import with_language
from clubbot.conversation.choosing import chosen
from clubbot.conversation.for_you import for_you
from clubbot.conversation.found_again import found_again, where_to_leave
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.helping import quoted
from clubbot.conversation.mending import LONGEST_KEPT, Meant, in_its_light, last_said
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.own_sign_up import about_own_sign_up
from clubbot.conversation.refused import refused
from clubbot.conversation.reopening import while_it_is_closed
from clubbot.conversation.replying import Turn, served, told
from clubbot.conversation.report_list import asks_to_shut
from clubbot.conversation.reporting import relay
from clubbot.conversation.serve import ids
from clubbot.conversation.shortly import mended, named, short_answer, taken_back
from clubbot.conversation.signing_in import here, who_is_here
from clubbot.conversation.small_talk import small_talk
from clubbot.conversation.stranded import stranded
from clubbot.conversation.texted import Texted
from clubbot.conversation.to_one import written_back
from clubbot.conversation.visits import visit
from clubbot.model.choices import any_of
from clubbot.model.effects import KeepExchange, NoteDoubt
from clubbot.model.exchange import Exchange
from clubbot.model.intents import Danger, Report, Rsvp, StartAgain, Stop
from clubbot.understanding.once import Reading


def in_context(texted: Texted) -> Turn | None:
    """What a text means in its conversation; None where it stands for itself."""
    if texted.known.asked is not None:
        picked = chosen(texted.known.asked, texted)
        if picked is not None:
            return picked
    turned = with_words_beside(texted)
    if turned is not None and not _stands_for_itself(texted.reading):
        return with_language(turned, texted.reading.language, texted.ask(texted.reading.language))
    reading = texted.reading
    ask = texted.ask(reading.language)
    left = refused(ask, reading)
    if left is not None and not _stands_for_itself(reading):
        return with_language(left, reading.language, ask)
    own = about_own_sign_up(ask, reading)
    if own and not _stands_for_itself(reading):
        turned = replace(told(own, ask, None), served=ids([one.intent for one in own if one.intent is not None]))
        return with_language(turned, reading.language, ask)
    wish = None if own else visit(ask, reading)
    if wish is not None and not _stands_for_itself(reading):
        return with_language(wish, reading.language, ask)
    done = asks_to_shut(ask) or found_again(ask) or where_to_leave(ask) or stranded(ask)
    done = done or who_is_here(ask, holds_role=_holds_role(texted)) or _to_what_was_said(reading, ask)
    if done is not None:
        return told([done], ask, None)
    usual = texted.ask()  # no language is concluded from a name
    name = named(usual, reading)
    if name is not None:
        return told([name], usual, None)
    talked = small_talk(ask)
    if talked is not None and not _stands_for_itself(reading):
        return talked
    closed = while_it_is_closed(ask, reading)
    if closed is not None:
        return served((closed[0],), closed[1], None)
    about = about_mine(ask, reading) or (of_the_party(ask, reading) if not reading.choices else None)
    if about is not None:
        return with_language(told([about], ask, None), reading.language, ask)
    yours = for_you(ask, reading)
    if yours is not None and not _stands_for_itself(reading):
        return with_language(served((yours,), ask, None), reading.language, ask)
    meant = in_its_light(ask, reading)
    if meant is None or _stands_for_itself(reading):
        return None
    if meant.language is not None and ask.known.dialogue.speaks is None:
        ask = replace(ask, voice=replace(ask.voice, language=meant.language))
    return with_language(_as_meant(meant, ask), meant.language or reading.language, ask)


def _holds_role(texted: Texted) -> bool:
    person = texted.person
    return person is not None and bool(person.roles) and person.id not in texted.knowledge.suspended


def _to_what_was_said(reading: Reading, ask: Ask) -> Served | None:
    """A word to somebody through us, "yes", "3", "here", "no, thursday"."""
    alarm = ask.known.alarm is not None and ask.known.alarm.open  # "we're at the tee" tells where they are then
    done = written_back(ask) or relay(ask) or short_answer(ask) or (None if alarm else here(ask))
    if done is None and ask.known.talk is not None and _may_mend(reading, ask):
        done = mended(ask, reading)
    return done


def _may_mend(reading: Reading, ask: Ask) -> bool:
    return ask.said.says("a number to mend") or ask.said.says("means another") or not reading.takes_back


def _stands_for_itself(reading: Reading) -> bool:
    """Whether a text that looks like a correction is an opt-out, an opt-in or a cry for help."""
    return any(isinstance(intent, Stop | StartAgain | Danger) for intent in reading.intents)


def _as_meant(meant: Meant, ask: Ask) -> Turn:
    """What a text means in the light of what was said last, carried out; that we had misread is noted."""
    exchange = last_said(ask)
    passed = replace(ask, text=meant.text)  # a person who reads only "why" could not answer it
    if meant.intents:
        reports = any(isinstance(intent, Report) for intent in meant.intents)
        undone = _undone(meant, ask) if meant.misread else ()
        turned = served(meant.intents, passed if reports else ask, None, beside=meant.beside, also=undone)
        turned = replace(turned, spoken=tuple(replace(one, event=one.event or meant.event) for one in turned.spoken))
    elif len(meant.choices) > 1:
        turned = told([ask_back(any_of(meant.choices), passed)], passed, None)
    elif meant.say:
        turned = told([Served(sentence=fresh(ask.voice, ask.known, meant.say), served=False)], ask, None)
    else:
        turned = told([for_a_person(passed, reason="not understood")], passed, None)
    if meant.misread and exchange is not None:
        turned = _with_doubt(turned, exchange)
    return replace(turned, about=meant.text)


def _undone(meant: Meant, ask: Ask) -> tuple[Served, ...]:
    """An answer to an event that nobody meant to give, taken back."""
    talk, exchange = ask.known.talk, last_said(ask)
    if talk is None or exchange is None or any(isinstance(intent, Rsvp) for intent in meant.intents):
        return ()
    answered_just_now = talk.at == exchange.at and talk.intent.startswith("rsvp-")
    if not answered_just_now or not any(one.intent.startswith("rsvp-") for one in exchange.intents):
        return ()
    back = taken_back(talk, Served(sentence=""), ask)
    return (replace(back, sentence=back.sentence.strip()),) if back.sentence else ()


def _with_doubt(turned: Turn, exchange: Exchange) -> Turn:
    """The pair is noted; another day or place of the same is a change of mind."""
    meant = turned.served[0] if turned.served else None
    if meant in {one.intent for one in exchange.intents}:
        return turned
    read_as = ", ".join(dict.fromkeys(one.intent for one in exchange.intents))
    doubt = NoteDoubt(text=quoted(exchange.text), read_as=read_as, meant=meant)
    return replace(turned, effects=(*turned.effects, doubt))


def kept_to_lean_on(turned: Turn, text: str) -> Turn:
    """What was said last is kept, so that the next text can lean on it; nothing leans on what went to a person or is still open."""
    about = (turned.about or text)[:LONGEST_KEPT]
    if turned.spoken:
        kept = KeepExchange(text=about, language=turned.language, intents=turned.spoken, others=turned.others)
    elif turned.handed_over or turned.offered:
        kept = KeepExchange(text=about, language=turned.language)
    else:
        return turned
    return replace(turned, effects=(*turned.effects, kept))

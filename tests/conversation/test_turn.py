"""The order of judgment: opt-out first, then danger, then everything else."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from clubbot.conversation.replying import Turn
from clubbot.conversation.turn import turn
from clubbot.handbook.book import Handbook
from clubbot.model.choices import Choice, any_of
from clubbot.model.dialogue import DialogueState
from clubbot.model.effects import (
    QUESTION_NUMBER,
    AnswerQuestion,
    CloseChoice,
    Effect,
    GoQuiet,
    HandOver,
    Introduce,
    KeepLanguage,
    KeepName,
    OpenChoice,
    OptIn,
    OptOut,
    Reply,
    SpeakAgain,
    Subscribe,
    TellPerson,
)
from clubbot.model.known import Known, Question, Sender
from clubbot.texting.parts import as_sent, count
from tests.builders import KIM, a_text
from tests.conftest import HALIFAX, NOON

ODILE, PRIYA = "+19025550101", "+19025550104"


def a_sender(**about: Any) -> Sender:
    values: dict[str, Any] = {"number": KIM, "introduced": True} | about
    return Sender(**values)


def told(handbook: Handbook, text: str, *, sender: Sender | None = None, at: datetime = NOON, **known: Any) -> Turn:
    """The turn of one text by a sender who has been introduced, unless said otherwise."""
    sender = sender or a_sender()
    message = a_text(text, sender=sender.number, at=at)
    return turn(message, Known(sender=sender, **known), handbook.knowledge, handbook.reader, at)


def effects_of(turned: Turn, kind: type[Effect]) -> list[Any]:
    return [effect for effect in turned.effects if isinstance(effect, kind)]


def test_stop_is_confirmed_once_and_kept_with_its_words(handbook: Handbook) -> None:
    turned = told(handbook, "Stop.")

    assert [OptOut(words="Stop.")] == effects_of(turned, OptOut)
    assert "no more texts" in (turned.reply or "")
    assert not effects_of(turned, Reply)[0].asks_consent


def test_a_second_stop_is_met_with_silence(handbook: Handbook) -> None:
    turned = told(handbook, "STOP", sender=a_sender(opted_out=True))

    assert () == turned.effects


@pytest.mark.parametrize("text", ["is it open", "hello", "when is league"])
def test_who_opted_out_gets_no_answer_to_a_question(handbook: Handbook, text: str) -> None:
    assert told(handbook, text, sender=a_sender(opted_out=True)).reply is None


def test_who_opted_out_still_gets_help_when_asking_for_it(handbook: Handbook) -> None:
    """Canadian common short code guidelines: HELP and AIDE are answered always, also to non-subscribers (READ-2)."""
    turned = told(handbook, "HELP", sender=a_sender(opted_out=True))

    assert turned.reply is not None
    assert not effects_of(turned, Reply)[0].asks_consent
    assert count(turned.reply) == 1  # the same guidelines: 160 characters at most


@pytest.mark.parametrize("words", ["HELP", "AIDE"])
def test_help_fits_one_part_in_both_languages(handbook: Handbook, words: str) -> None:
    assert count(told(handbook, words, sender=a_sender(language=None)).reply or "") == 1


def test_start_undoes_stop(handbook: Handbook) -> None:
    turned = told(handbook, "start", sender=a_sender(opted_out=True))

    assert isinstance(turned.effects[0], OptIn)
    assert "welcome back" in (turned.reply or "")


def test_stop_is_answered_in_english_and_arret_in_french_whatever_the_person_speaks(handbook: Handbook) -> None:
    """Canadian common short code guidelines: STOP is answered in English, ARRET in French (READ-2)."""
    assert "no more texts" in (told(handbook, "STOP", sender=a_sender(language="fr")).reply or "")
    assert "plus de textos" in (told(handbook, "ARRET", sender=a_sender(language="en")).reply or "")


@pytest.mark.parametrize(
    "text", ["stop by the boathouse?", "cancel my spot", "does the rain stop play", "info on parking?"]
)
def test_words_that_only_look_like_an_opt_out_are_none(handbook: Handbook, text: str) -> None:
    assert [] == effects_of(told(handbook, text), OptOut)


def test_an_opt_out_comes_before_an_open_question_and_a_flood(handbook: Handbook) -> None:
    asked = OpenChoice(
        choices=any_of(("borrow", "buy")), about="discs", language="en", until=NOON + timedelta(minutes=5)
    )
    turned = told(
        handbook, "stop", dialogue=DialogueState(asked=asked), texts_lately=99, sender=a_sender(quiet_reason="flood")
    )

    assert effects_of(turned, OptOut)
    assert effects_of(turned, CloseChoice)


def test_danger_gets_the_emergency_number_first_and_the_person_on_duty_is_told(handbook: Handbook) -> None:
    turned = told(handbook, "my friend got hit in the head by a disc and passed out, hole 4")
    first_sentence = (turned.reply or "").split(".")[0]

    assert handbook.knowledge.club.emergency_number in first_sentence
    assert "not an emergency service" in (turned.reply or "")
    assert ["jonas"] == [effect.person for effect in effects_of(turned, HandOver)]
    assert "passed out" in effects_of(turned, HandOver)[0].note


def test_danger_is_answered_also_to_one_who_opted_out_or_floods(handbook: Handbook) -> None:
    assert told(handbook, "he is not breathing", sender=a_sender(opted_out=True)).reply
    assert told(handbook, "he is not breathing", texts_lately=40).reply


def test_danger_in_french_is_answered_in_french(handbook: Handbook) -> None:
    assert "appelez le 911" in (told(handbook, "mon ami est tombé, il est inconscient").reply or "")


def test_a_flood_is_not_answered_and_the_duty_person_is_told_once(handbook: Handbook) -> None:
    first = told(handbook, "is it open", texts_lately=21)
    second = told(handbook, "is it open", texts_lately=22, sender=a_sender(quiet_reason="flood"))

    assert first.reply is None
    assert [GoQuiet(reason="flood")] == effects_of(first, GoQuiet)
    assert 1 == len(effects_of(first, TellPerson))
    assert () == second.effects


def test_the_twentieth_text_in_five_minutes_is_still_answered(handbook: Handbook) -> None:
    assert told(handbook, "is it open", texts_lately=20).reply


def test_our_own_text_coming_back_is_not_answered(handbook: Handbook) -> None:
    ours = "Yes, the course is open. Play till dusk; the sun sets at 20:53."

    assert told(handbook, ours.upper(), said_lately=(ours,)).reply is None


def test_picking_a_choice_in_our_own_words_is_no_echo(handbook: Handbook) -> None:
    asked = OpenChoice(
        choices=any_of(("my-rsvps", "places")), about="league", language="en", until=NOON + timedelta(minutes=5)
    )
    question = "Do you mean 1 what you're signed up for, 2 places left? Reply with the number, or say it another way."
    turned = told(handbook, "what you're signed up for", dialogue=DialogueState(asked=asked), said_lately=(question,))

    assert ("my-rsvps",) == turned.served


def test_once_the_flood_is_over_texts_are_answered_again(handbook: Handbook) -> None:
    turned = told(handbook, "is it open", sender=a_sender(quiet_reason="flood"))

    assert turned.reply
    assert effects_of(turned, SpeakAgain)


def test_the_first_reply_says_who_we_are_and_how_to_stop(handbook: Handbook) -> None:
    turned = told(handbook, "can i bring my dog", sender=a_sender(introduced=False))

    assert (turned.reply or "").endswith("Tern Harbour DGC; STOP ends texts.")
    assert effects_of(turned, Introduce)


def test_later_replies_do_not_say_it_again(handbook: Handbook) -> None:
    assert "STOP" not in (told(handbook, "can i bring my dog").reply or "")


def test_a_text_in_french_is_answered_in_french_and_the_language_is_kept(handbook: Handbook) -> None:
    turned = told(handbook, "est-ce que je peux amener mon chien")

    assert "chiens" in (turned.reply or "")
    assert [KeepLanguage(language="fr")] == effects_of(turned, KeepLanguage)


def test_an_unclear_text_follows_the_last_language_then_the_clubs(handbook: Handbook) -> None:
    assert "fr" == told(handbook, "parking?", sender=a_sender(language="fr")).language
    assert "en" == told(handbook, "parking?").language


@pytest.mark.parametrize(
    ("text", "intent"),
    [("1", "borrow"), ("2", "buy"), ("the second one", "buy"), ("buying discs", "buy"), ("2.", "buy")],
)
def test_a_choice_is_picked_by_number_or_words(handbook: Handbook, text: str, intent: str) -> None:
    asked = OpenChoice(
        choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + timedelta(minutes=5)
    )
    turned = told(handbook, text, dialogue=DialogueState(asked=asked))

    assert (intent,) == turned.served
    assert effects_of(turned, CloseChoice)


def test_an_open_question_never_traps(handbook: Handbook) -> None:
    asked = OpenChoice(
        choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + timedelta(minutes=5)
    )
    turned = told(handbook, "can i bring my dog", dialogue=DialogueState(asked=asked))

    assert ("dogs",) == turned.served
    assert effects_of(turned, CloseChoice)


def test_a_question_left_open_too_long_is_forgotten(handbook: Handbook) -> None:
    asked = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON)

    assert "buy" not in told(handbook, "2", dialogue=DialogueState(asked=asked)).served


def test_what_is_not_for_us_goes_to_the_person_on_duty_and_the_asker_is_told_who(handbook: Handbook) -> None:
    turned = told(handbook, "i want a refund, your volunteer was rude to my husband")

    assert () == turned.served
    assert ["jonas"] == [effect.person for effect in effects_of(turned, HandOver)]
    assert "Jonas" in (turned.reply or "")


def test_at_night_it_waits_for_the_next_turn_and_the_asker_hears_until_when_it_may_take(handbook: Handbook) -> None:
    late = datetime(2027, 6, 7, 23, 30, tzinfo=HALIFAX)
    turned = told(handbook, "i want a refund, your volunteer was rude to my husband", at=late)

    morning = datetime(2027, 6, 8, 8, tzinfo=HALIFAX)
    assert [("femi", morning)] == [(effect.person, effect.due) for effect in effects_of(turned, HandOver)]
    assert "Tue 8 June 8:00" in (turned.reply or "")


def test_a_volunteer_never_sees_a_number(handbook: Handbook) -> None:
    turned = told(handbook, "please call me back about my refund at 902-555-0147 or (902) 555 0148")

    assert not any(seven in effects_of(turned, HandOver)[0].note for seven in ("555-0147", "555 0148", "5550147"))


def test_a_very_long_text_is_quoted_short(handbook: Handbook) -> None:
    turned = told(handbook, "my neighbour complains about the refund " * 40)

    assert count(effects_of(turned, HandOver)[0].note.replace(QUESTION_NUMBER, "12")) <= 3


A_QUESTION = Question(number=12, language="en", words="is it cold", told=("priya",), asked_at=NOON)


def test_a_volunteers_answer_goes_to_the_asker_with_a_first_name(handbook: Handbook) -> None:
    turned = told(handbook, "Q12 yes, bring a jacket", sender=a_sender(number=PRIYA), questions={12: A_QUESTION})

    assert [
        AnswerQuestion(
            number=12,
            person="priya",
            text="Priya from Tern Harbour DGC: yes, bring a jacket",
            words="yes, bring a jacket",
        )
    ] == effects_of(turned, AnswerQuestion)


def test_nobody_else_can_answer_a_question(handbook: Handbook) -> None:
    assert [] == effects_of(told(handbook, "Q12 yes, bring a jacket", questions={12: A_QUESTION}), AnswerQuestion)


def test_an_answer_to_no_open_question_is_not_sent(handbook: Handbook) -> None:
    turned = told(handbook, "Q13 yes", sender=a_sender(number=ODILE))

    assert [] == effects_of(turned, AnswerQuestion)
    assert "Q13" in (turned.reply or "")


def test_a_name_is_kept(handbook: Handbook) -> None:
    assert [KeepName(name="Bjorn")] == effects_of(told(handbook, "hi, my name is Bjorn"), KeepName)


def test_a_list_that_is_not_named_is_asked_for(handbook: Handbook) -> None:
    turned = told(handbook, "put me on your mailing list please")
    choices = effects_of(turned, OpenChoice)[0]

    assert choices.choices == (
        Choice("notify-on", list_id="course-news"),
        Choice("notify-on", list_id="event-news"),
    )
    asked = OpenChoice(choices=choices.choices, about=choices.about, language="en", until=choices.until)
    picked = told(handbook, "2", dialogue=DialogueState(asked=asked))
    assert ["event-news"] == [effect.list_id for effect in effects_of(picked, Subscribe)]


@pytest.mark.parametrize("text", ["", "   ", "\U0001f94f\U0001f44d", "\x00\x07", "!!!", "\u202e\u202c"])
def test_a_text_without_words_gets_no_answer_and_no_harm(handbook: Handbook, text: str) -> None:
    assert told(handbook, text).reply is None


def test_letters_that_we_cannot_read_are_told_so_and_go_to_no_person_at_once(handbook: Handbook) -> None:
    turned = told(handbook, "مرحبا هل الملعب مفتوح اليوم")

    assert not effects_of(turned, HandOver)
    assert "English and French" in (turned.reply or "")


def test_a_number_that_cannot_be_texted_is_left_alone(handbook: Handbook) -> None:
    assert () == told(handbook, "is it open", sender=a_sender(number="BANK", textable=False)).effects


def test_a_reply_to_a_new_sender_keeps_within_two_parts_for_every_topic(handbook: Handbook) -> None:
    for topic, answer in handbook.knowledge.answers.items():
        for language in handbook.knowledge.club.languages:
            knowledge = handbook.knowledge.wording[language]
            whole = f"{answer.paragraphs[language][0]} {knowledge['greeting.introduction']}"
            assert count(as_sent(whole, shorten_letters=True)) <= 2, topic


def test_a_topic_that_the_club_has_not_written_about_goes_to_a_person(handbook: Handbook) -> None:
    answers = {topic: answer for topic, answer in handbook.knowledge.answers.items() if topic != "dogs"}
    thinner = replace(handbook.knowledge, answers=answers)
    turned = turn(a_text("can i bring my dog"), Known(sender=a_sender()), thinner, handbook.reader, NOON)

    assert effects_of(turned, HandOver)
    assert () == turned.served


def test_nobody_is_told_that_a_person_is_typing(handbook: Handbook) -> None:
    """Asked whether it is a robot, it says so."""
    assert "automatic" in (told(handbook, "am i talking to a robot or a real person?").reply or "")

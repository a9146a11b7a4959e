"""A narrow question gets its passage, nothing is said twice, and who asks for more than is written is offered a volunteer."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.messages import Language
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.texting.parts import as_sent
from tests.conftest import NOON

KIM = "+19025550142"


class Club:
    """A club that Kim texts, a minute between texts."""

    def __init__(self, handbook: Handbook) -> None:
        self.handbook, self.club, self.now = handbook, Rehearsal(handbook), NOON

    def text(self, text: str) -> list[Heard]:
        """All that is sent upon it."""
        self.now += timedelta(minutes=1)
        return self.club.text(KIM, text, self.now)

    def reply(self, text: str) -> str:
        """What Kim is told."""
        return " ".join(one.text for one in self.text(text) if one.recipient == KIM)

    def general(self, topic: str, language: Language = "en") -> str:
        """The first paragraph of a topic, as it is sent."""
        return as_sent(self.handbook.knowledge.answers[topic].paragraphs[language][0], shorten_letters=True)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def test_a_narrow_question_gets_the_passage_and_not_the_general_answer(club: Club) -> None:
    reply = club.reply("will a passport do as photo card when i borrow discs")

    assert "A card with your photo on it" in reply
    assert club.general("borrow") not in reply
    assert len(reply) < 240


def test_the_passage_comes_in_the_language_of_the_text(club: Club) -> None:
    assert "L'autobus 6" in club.reply("c'est quoi le numéro de l'autobus")


def test_a_question_in_general_gets_the_general_answer(club: Club) -> None:
    assert club.general("borrow") in club.reply("can i borrow discs")


def test_who_asks_on_gets_a_passage_and_never_the_same_again(club: Club) -> None:
    replies = [
        club.reply(text)
        for text in ("can i borrow discs", "is a passport ok as the card", "may we keep them overnight")
    ]

    assert club.general("borrow") in replies[0]
    assert "A card with your photo" in replies[1]
    assert "The same day" in replies[2]
    assert not any(club.general("borrow") in reply for reply in replies[1:])


def test_who_asks_for_more_than_is_written_is_offered_a_volunteer_who_gets_the_question(club: Club) -> None:
    club.reply("can i borrow discs")

    assert "is all that's written about borrowing discs" in club.reply("what if one of the borrowed discs breaks")
    heard = club.text("yes please")

    assert any("what if one of the borrowed discs breaks" in one.text for one in heard if one.recipient != KIM)


def test_a_no_to_the_offer_asks_nobody(club: Club) -> None:
    club.reply("can i borrow discs")
    club.reply("what if one of the borrowed discs breaks")

    assert [one for one in club.text("no thanks") if one.recipient != KIM] == []


def test_the_offer_is_not_said_twice_in_the_same_words(club: Club) -> None:
    club.reply("can i borrow discs")
    first = club.reply("what if one of the borrowed discs breaks")
    second = club.reply("and are the borrowed discs insured")

    assert second
    assert first != second


def test_a_detail_without_a_passage_goes_to_a_person_at_once(club: Club) -> None:
    heard = club.text("are there any benches on the course")

    assert any("benches" in one.text for one in heard if one.recipient != KIM)
    assert club.general("facilities") not in " ".join(one.text for one in heard)


@pytest.mark.parametrize("text", ["is alcohol allowed", "parking there ok for 2 cars?", "toilets for the kids?"])
def test_nobody_is_asked_what_the_answer_has_a_word_of(club: Club, text: str) -> None:
    assert [one for one in club.text(text) if one.recipient != KIM] == []


def test_the_topic_that_is_served_stays_the_same(club: Club) -> None:
    for text, topic in (
        ("will a passport do as photo card to borrow discs", "borrow"),
        ("any benches on the course", "facilities"),
    ):
        club.text(text)
        assert club.club.decided[-1].served == (topic,)


def test_what_is_asked_again_in_general_is_said_again(club: Club) -> None:
    club.reply("where can i park")

    assert "40 spaces" in club.reply("where was the parking again")


def test_safety_is_said_as_a_whole_however_often(club: Club) -> None:
    club.reply("what should we do in thunder")

    assert "written about" not in club.reply("so what do we do if it thunders at hole 4")


def test_a_text_about_two_topics_keeps_both_answers(club: Club) -> None:
    reply = club.reply("where can i park and are there toilets")

    assert club.general("parking") in reply
    assert club.general("facilities") in reply

"""The sentences that clubbot says of its own, and those that a club says in its own way."""

from pathlib import Path

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.facts import names_in
from clubbot.handbook.findings import Finding
from clubbot.handbook.wordings import flat, read_wording, shipped
from clubbot.model.intent_kinds import BUILT_IN
from clubbot.model.intents import REPORTS
from clubbot.model.messages import LANGUAGES, Language
from clubbot.texting.alphabet import coding


def a_club_says(tmp_path: Path, text: str, language: Language = "en") -> tuple[dict[str, str], list[Finding]]:
    """The wording of a club whose file for a language has this text, and what was found wrong with it."""
    (tmp_path / "wording").mkdir(exist_ok=True)
    (tmp_path / "wording" / f"{language}.toml").write_text(text, "utf-8")
    findings: list[Finding] = []
    return dict(read_wording(tmp_path, findings)[language]), findings


def test_both_languages_have_the_same_sentences() -> None:
    assert shipped("en").keys() == shipped("fr").keys()


@pytest.mark.parametrize("key", sorted(shipped("en")))
def test_a_sentence_fills_in_the_same_things_in_both_languages(key: str) -> None:
    assert set(names_in(shipped("en")[key])) == set(names_in(shipped("fr")[key]))


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_holds_a_typographic_mark_that_costs_a_text_part(language: Language) -> None:
    costly = {
        key: letters
        for key, sentence in shipped(language).items()
        if (letters := [one for one in sentence if coding(one) == "UCS-2" and not one.isalpha()])
    }

    assert costly == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_only_deliberately_empty_sentences_are_empty(language: Language) -> None:
    assert {key for key, sentence in shipped(language).items() if not sentence} <= {"no_more", "events.bring_friends"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_months_weekdays_and_ordinals_are_complete(language: Language) -> None:
    words = shipped(language)
    count = {
        name: sum(key.startswith(f"calendar.{name}.") for key in words)
        for name in ("months", "weekdays", "weekly", "ordinals")
    }

    assert count == {"months": 12, "weekdays": 7, "weekly": 7, "ordinals": 6}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_intent_that_can_be_offered_has_a_name_for_the_choice(language: Language) -> None:
    never_offered = {"stop", "start-again", "help", "human", "name", "greeting", "thanks", "outside", "danger"}

    assert {f"choice.{intent}" for intent in set(BUILT_IN) - never_offered} <= shipped(language).keys()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_report_has_its_reply_and_its_note(language: Language) -> None:
    words = shipped(language)

    assert {f"report.{kind}" for kind in REPORTS} <= words.keys()
    assert {f"report.note_{kind}" for kind in REPORTS} <= words.keys()


def test_a_club_without_wording_files_says_all_in_our_words(tmp_path: Path) -> None:
    findings: list[Finding] = []

    assert read_wording(tmp_path, findings) == {language: shipped(language) for language in LANGUAGES}
    assert findings == []


def test_a_club_may_say_one_sentence_in_its_own_way_and_the_rest_stays(tmp_path: Path) -> None:
    wording, findings = a_club_says(tmp_path, '[thanks]\nreply = "Any time!"\n')

    assert findings == []
    assert wording == {**shipped("en"), "thanks.reply": "Any time!"}


def test_a_club_may_name_its_facts_in_any_sentence(tmp_path: Path) -> None:
    wording, findings = a_club_says(tmp_path, '[thanks]\nreply = "Any time, says {club.name}."\n')

    assert findings == []
    assert wording["thanks.reply"] == "Any time, says {club.name}."


@pytest.mark.parametrize(
    ("text", "line", "wrong", "mend"),
    [
        ('money = "${amount}"\n\n[thanks]\nreplie = "Any time!"\n', 4, "thanks.replie", "keys"),
        ('[thanks]\nreply = "Any time, {nmae}!"\n', 2, "thanks.reply", "facts"),
        ('[name]\n# a friendly one\nkept = "Hello {nick}"\n', 3, "name.kept", "name"),
        ('[thanks]\nreply = "Any time {"\n', 2, "thanks.reply", "facts"),
        ('[thanks\nreply = "Any time"\n', 1, "TOML", "bracket"),
    ],
)
def test_a_sentence_that_cannot_be_said_is_refused_with_its_line(
    tmp_path: Path, text: str, line: int, wrong: str, mend: str
) -> None:
    wording, findings = a_club_says(tmp_path, text)

    assert [(one.severity, one.file.name, one.line) for one in findings] == [("error", "en.toml", line)]
    assert wrong in findings[0].wrong
    assert mend in findings[0].mend
    assert wording["thanks.reply"] == shipped("en")["thanks.reply"]


def test_french_faults_are_told_in_the_french_file(tmp_path: Path) -> None:
    _, findings = a_club_says(tmp_path, '[merci]\nreponse = "De rien"\n', "fr")

    assert findings[0].file == tmp_path / "wording" / "fr.toml"


def test_a_table_of_tables_is_told_by_dotted_keys() -> None:
    table = {"a": 1, "b": {"c": "x", "d": {"e": "y"}}, "f": ["g", "h"]}

    assert flat(table) == {"a": "1", "b.c": "x", "b.d.e": "y", "f.0": "g", "f.1": "h"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_demo_clubs_sentences_have_its_facts_filled_in(handbook: Handbook, language: Language) -> None:
    words = handbook.knowledge.wording[language]
    left = {key for key, sentence in words.items() for name in names_in(sentence) if "." in name}

    assert left == set()
    assert "Tern Harbour DGC" in words["consent.stopped"]
    assert "911" in words["danger.reply"]

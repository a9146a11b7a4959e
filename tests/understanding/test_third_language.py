"""A third language is files and no Python: a small invented one, whose files stand in tests/understanding/third_language.

Its lexicon and rules lie beside those of the package; its ways of asking are a line or two, as in handbook/phrasebook.
"""

import shutil
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from clubbot.handbook.findings import Finding
from clubbot.handbook.language_files import LanguageFiles, languages_in, read_language_files
from clubbot.handbook.loading import load_or_fault
from clubbot.handbook.phrasebook import word_concepts
from clubbot.model.club import Example
from clubbot.model.intents import Intent, Rsvp
from clubbot.texting.keywords import Keyword
from clubbot.understanding.consent import opts_out
from clubbot.understanding.days import Days
from clubbot.understanding.language import WordWeights
from clubbot.understanding.mentions import club_groups
from clubbot.understanding.mixed import MixedWords
from clubbot.understanding.plain import words_of
from clubbot.understanding.reading import Reader, learn
from clubbot.understanding.rules import WrittenRule
from tests.conftest import NOON, ROOT

THIRD = Path(__file__).with_name("third_language")
LANGUAGE = "zz"


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> LanguageFiles:
    """The files of the package and those of the invented language beside them."""
    folder = tmp_path_factory.mktemp("languages")
    with as_file(files("clubbot.understanding")) as shipped:
        for kind in ("lexicon", "rules"):
            shutil.copytree(shipped / kind, folder / kind)
            shutil.copytree(THIRD / kind / LANGUAGE, folder / kind / LANGUAGE)
    findings: list[Finding] = []
    read = read_language_files(folder, languages_in(folder), findings)
    assert not findings
    return read


@pytest.fixture(scope="module")
def reader(three: LanguageFiles) -> Reader:
    """A reader of the demo club, taught the invented ways of asking."""
    knowledge = load_or_fault(ROOT / "knowledge")
    ways = [
        Example(text=line, intent=file.stem, language=LANGUAGE)
        for file in sorted((THIRD / "ways").glob("*.txt"))
        for line in file.read_text("utf-8").splitlines()
    ]
    learnt = learn(ways, word_concepts(), frozenset(three.lexicons[LANGUAGE].numbers))
    words = {word: (0.0, 0.0, 5.0) for way in ways for word in words_of(way.text)}
    weights = WordWeights(("en", "fr", LANGUAGE), words, {})
    mixed = MixedWords(three.lexicons.values())
    noticing = three.noticing(club_groups(knowledge, three.lexicons), learnt.words, weights)
    return Reader(knowledge, learnt, weights, lambda first, last: True, noticing, Days(mixed, "CA"), mixed)


def intents(text: str, reader: Reader) -> tuple[Intent, ...]:
    return reader.read(text, NOON, LANGUAGE).intents


def test_a_sign_up_with_its_day_its_hour_and_its_people_is_read(reader: Reader) -> None:
    (answer,) = intents("mi ke mu dop kidoim vena wenzo ot saks uro vespa", reader)

    assert isinstance(answer, Rsvp)
    assert answer.when is not None
    assert answer.when.at is not None
    assert (answer.kind, f"{answer.when.at:%a %H:%M}", answer.party.total) == ("rsvp-yes", "Wed 18:00", 3)
    assert [(one.kind, one.people, one.akin) for one in answer.said.comes] == [("sender", 1, ""), ("kin", 2, "child")]


@pytest.mark.parametrize(
    ("text", "day", "people"),
    [
        ("mi ke mu zona vena samzo", "06-12", 2),
        ("mi vena wn", "06-09", None),
        ("sol mi vena matta", "06-08", 1),
        ("mi vena 12 junik", "06-12", None),
        ("mi vena wenzzo", "06-09", None),
        ("mi vena, trel omin, samzo", "06-12", 3),
    ],
)
def test_days_slips_short_words_and_numbers_are_read(text: str, day: str, people: int | None, reader: Reader) -> None:
    answer = reader.read(text, NOON, LANGUAGE).answer

    assert answer.when is not None
    assert (f"{answer.when.first:%m-%d}", answer.party.total) == (day, people)


def test_its_words_show_it(reader: Reader) -> None:
    assert reader.read("mi no vena wenzo", NOON, "en").language == LANGUAGE


def test_who_stays_away_is_read(reader: Reader) -> None:
    (out,) = reader.read("mu zona no vena", NOON, LANGUAGE).people.said.out

    assert (out.label, out.akin) == ("zona", "partner")


def test_an_opt_out_is_read_and_its_language_with_it(reader: Reader) -> None:
    assert opts_out(reader.notice("no mas mesi bido")) == Keyword("stop", LANGUAGE)
    assert opts_out(reader.notice("mi no vena")) is None


def test_every_rule_of_it_finds_its_examples_and_no_counterexample(three: LanguageFiles, reader: Reader) -> None:
    def found(rule: WrittenRule, text: str) -> bool:
        return any(match.rule == rule.id for match in reader.notice(text).matches)

    for rule in three.rules[LANGUAGE]:
        assert all(found(rule, text) for text in rule.examples), rule.id
        assert not any(found(rule, text) for text in rule.counterexamples), rule.id


def test_the_other_languages_are_read_as_before(reader: Reader) -> None:
    answer = reader.read("me and my two kids for fri at 6pm", NOON, "en").answer

    assert answer.when is not None
    assert answer.when.at is not None
    assert (f"{answer.when.at:%a %H}", answer.party.total) == ("Fri 18", 3)

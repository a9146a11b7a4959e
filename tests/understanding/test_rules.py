"""Every rule finds its examples and none of its counter-examples, and its file says so line by line."""

from collections.abc import Iterator

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.language_files import shipped_language_files
from clubbot.model.messages import LANGUAGES, Language
from clubbot.understanding.mentions import club_groups
from clubbot.understanding.rules import Match, WrittenRule


def _rules() -> Iterator[tuple[Language, WrittenRule]]:
    for language, rules in shipped_language_files().rules.items():
        for rule in rules:
            yield language, rule


RULES = list(_rules())
NAMES = [f"{language} {rule.id}" for language, rule in RULES]


def test_no_two_rules_have_one_id() -> None:
    ids = [rule.id for _, rule in RULES]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(("language", "rule"), RULES, ids=NAMES)
def test_a_rule_finds_its_examples_and_no_counterexample(
    language: Language, rule: WrittenRule, handbook: Handbook
) -> None:
    missed = [text for text in rule.examples if rule.id not in _ids(text, language, handbook)]
    taken = [text for text in rule.counterexamples if rule.id in _ids(text, language, handbook)]
    assert (missed, taken) == ([], []), f"{language} {rule.id}"


@pytest.mark.parametrize(("language", "rule"), RULES, ids=NAMES)
def test_every_phrase_of_a_rule_is_needed_by_an_example(
    language: Language, rule: WrittenRule, handbook: Handbook
) -> None:
    used = {
        match.phrase for text in rule.examples for match in _matches(text, language, handbook) if match.rule == rule.id
    }
    assert set(rule.when) == used, f"{language} {rule.id}"


def _matches(text: str, language: Language, handbook: Handbook) -> tuple[Match, ...]:
    """What the rules find in an example, in which the club's own names stand as groups: "close the {loop}"."""
    for group, names in club_groups(handbook.knowledge, LANGUAGES)[language].items():
        # A name in the language itself, where there is one of each.
        text = text.replace(f"{{{group}}}", names[min(LANGUAGES.index(language), len(names) - 1)])
    return handbook.reader.orders.notice(text).matches


def _ids(text: str, language: Language, handbook: Handbook) -> set[str]:
    return {match.rule for match in _matches(text, language, handbook)}

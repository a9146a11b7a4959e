"""What clubbot says of the sport's rules: each figure against a table from the published rules, with rule number and edition.

Sources, as reference/standards.md section 9 gives them: the Official Rules of Disc Golf (ORDG) of the sport's governing body, by rule
number and by the edition in which the wording was seen. Yearly editions take effect on 1 January. READ, READ-2 and MEMORY say how it
was seen; where MEMORY stands the value wants another look.
"""

import re
import tomllib
from dataclasses import dataclass, field

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.messages import LANGUAGES, Language
from tests.conftest import ROOT


@dataclass(frozen=True)
class Rule:
    """A rule as published: its number, the editions in which this was seen, and its figures."""

    number: str
    editions: frozenset[int]
    figures: dict[str, int] = field(default_factory=dict)


def seen_in(*editions: int) -> frozenset[int]:
    return frozenset(editions)


# ORDG by number, under the names that the demo club's [rules] give them. A text seen as of 31 December may be cited as the edition
# that ends then or as the one that begins the day after; one READ without a year as any of 2022-24, the years of its neighbours.
PUBLISHED = {
    # 802.02 READ: lowest score on the last hole first, then farthest from the target.
    "order": Rule("802.02", seen_in(2022, 2023, 2024)),
    # 802.03 READ (undated page and a copy): 30 seconds; first a warning, later in the round one penalty throw.
    "time": Rule("802.03", seen_in(2022, 2023, 2024), {"seconds": 30}),
    # 802.04 READ: from the tee; without a pad 3 m back from the line.
    "tee": Rule("802.04", seen_in(2022, 2023, 2024)),
    # 802.06 READ: the resting disc marks the lie, or a mini in front touching it.
    "marking": Rule("802.06", seen_in(2022, 2023, 2024)),
    # 802.07 READ: one support point on the lie; breach one penalty throw at once, no warning.
    "stance": Rule("802.07", seen_in(2022, 2023, 2024), {"penalty": 1}),
    # 803.01 READ: least-moving stance; widened in 2024; else one penalty throw.
    "obstacles": Rule("803.01", seen_in(2024), {"penalty": 1}),
    # 803.02 READ: free relief back along the line from people and listed items; other relief backward costs one.
    "relief": Rule("803.02", seen_in(2022, 2023, 2024), {"penalty": 1}),
    # 804.01 2022-24 READ: missed mandatory one penalty throw; drop zone, else previous lie.
    "mandatory": Rule("804.01", seen_in(2022, 2023, 2024), {"penalty": 1}),
    # 805.02 READ at 31 December 2025: two-metre rule off unless declared; one penalty throw.
    "above_ground": Rule("805.02", seen_in(2025, 2026), {"metres": 2, "penalty": 1}),
    # 805.03 READ at 31 December 2021: lost after three minutes; one penalty throw, previous lie.
    "lost": Rule("805.03", seen_in(2021, 2022), {"minutes": 3, "penalty": 1}),
    # 806.02: content READ from the 2013 text (then 804.04); number and current wording MEMORY. One penalty throw; within 1 m.
    "out_of_bounds": Rule("806.02", seen_in(2013, 2022, 2023, 2024), {"penalty": 1, "metres": 1}),
    # 806.03 READ at 31 December 2023: casual water, free relief.
    "casual_water": Rule("806.03", seen_in(2023, 2024)),
    # 807, 2022 READ: holed when supported by tray or chains; on top does not count.
    "holing_out": Rule("807", seen_in(2022)),
    # 808, 2024 READ: each player keeps score for the whole group.
    "score": Rule("808", seen_in(2024)),
}

# Which rules each answer speaks of.
ANSWERS = {
    "rules-basic": ("order", "holing_out"),
    "rules-ob": ("out_of_bounds",),
    "rules-mando": ("mandatory",),
    "rules-lost": ("lost", "above_ground"),
    "rules-lie": ("stance", "obstacles"),
    "rules-time": ("time",),
    "rules-score": ("score",),
}
CITED = {
    "en": re.compile(r"\(official rule (?P<number>[\d.]+), (?P<edition>\d{4}) edition\)"),
    "fr": re.compile(r"\(règle officielle (?P<number>[\d.]+), édition (?P<edition>\d{4})\)"),
}


def rules_of_the_club() -> dict[str, dict[str, object]]:
    """The [rules] of the demo club's facts, by name."""
    table = tomllib.loads((ROOT / "knowledge" / "club.toml").read_text("utf-8"))["rules"]
    return {name: rule for name, rule in table.items() if isinstance(rule, dict)}


def said(handbook: Handbook, topic: str, language: Language) -> str:
    return " ".join(handbook.knowledge.answers[topic].paragraphs[language])


def test_the_club_quotes_no_rule_that_is_not_in_the_table() -> None:
    assert rules_of_the_club().keys() == PUBLISHED.keys()


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_rule_has_the_published_number_and_figures(name: str) -> None:
    rule = dict(rules_of_the_club()[name])
    published = PUBLISHED[name]

    assert rule.pop("number") == published.number
    assert rule.pop("edition") in published.editions
    assert rule == published.figures


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("topic", ANSWERS)
def test_an_answer_about_the_rules_carries_their_numbers_and_editions(
    handbook: Handbook, topic: str, language: Language
) -> None:
    cited = {
        (found["number"], int(found["edition"])) for found in CITED[language].finditer(said(handbook, topic, language))
    }
    expected = {PUBLISHED[name].number for name in ANSWERS[topic]}

    assert {number for number, _ in cited} == expected
    for number, edition in cited:
        (published,) = (rule for rule in PUBLISHED.values() if rule.number == number)
        assert edition in published.editions


def test_every_answer_about_the_rules_is_checked_here(handbook: Handbook) -> None:
    assert {topic for topic in handbook.knowledge.answers if topic.startswith("rules-")} == ANSWERS.keys()


# The figure as the answer says it, in both languages, with the rule that it comes from.
@pytest.mark.parametrize(
    ("topic", "english", "french", "rule", "figure"),
    [
        ("rules-time", "{} seconds", "{} secondes", "time", "seconds"),
        ("rules-lost", "{} minutes", "{} minutes", "lost", "minutes"),
        ("rules-lost", "{} penalty throw", "{} lancer de pénalité", "lost", "penalty"),
        ("rules-lost", "{} m rule", "la règle des {} m", "above_ground", "metres"),
        ("rules-lie", "{} penalty throw", "{} lancer de pénalité", "stance", "penalty"),
        ("rules-mando", "{} penalty throw", "{} lancer de pénalité", "mandatory", "penalty"),
        ("rules-ob", "{} penalty throw", "{} lancer de pénalité", "out_of_bounds", "penalty"),
        ("rules-ob", "within {} m", "à {} m au plus", "out_of_bounds", "metres"),
    ],
)
def test_a_figure_in_an_answer_is_the_published_one(
    handbook: Handbook, topic: str, english: str, french: str, rule: str, figure: str
) -> None:
    published = PUBLISHED[rule].figures[figure]

    assert english.format(published) in said(handbook, topic, "en")
    assert french.format(published) in said(handbook, topic, "fr")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("topic", ANSWERS)
def test_no_other_figure_stands_in_an_answer_about_the_rules(
    handbook: Handbook, topic: str, language: Language
) -> None:
    text = CITED[language].sub("", said(handbook, topic, language))
    figures = {int(found) for found in re.findall(r"\d+", text)}
    published = {figure for name in ANSWERS[topic] for figure in PUBLISHED[name].figures.values()}

    assert figures <= published


# 802.03: "First: warning; later in the round: one penalty throw" READ. 802.07: no warning, against a public site that says so (the trap
# in the table, READ both).
def test_slow_play_is_warned_first_and_a_bad_stance_is_not(handbook: Handbook) -> None:
    assert "warning" in said(handbook, "rules-time", "en")
    assert "avertissement" in said(handbook, "rules-time", "fr")
    assert "warning" not in said(handbook, "rules-lie", "en")
    assert "avertissement" not in said(handbook, "rules-lie", "fr")


# 805.02 READ at 31 December 2025: the two-metre rule is off unless declared.
def test_the_two_metre_rule_counts_only_where_it_was_declared(handbook: Handbook) -> None:
    assert "no penalty unless" in said(handbook, "rules-lost", "en")
    assert "sans pénalité sauf si" in said(handbook, "rules-lost", "fr")


# 806.02, content READ from the 2013 text: out of bounds only if clearly and completely surrounded; the line is out of bounds.
def test_only_a_disc_wholly_out_is_out_and_the_line_counts_as_out(handbook: Handbook) -> None:
    english, french = said(handbook, "rules-ob", "en"), said(handbook, "rules-ob", "fr")

    assert english.startswith("Fully out of bounds")
    assert "line counts as out" in english
    assert french.startswith("Tout à fait hors limites")
    assert "ligne est hors limites" in french


# Lightning, Canada: in shelter stay 30 minutes after the last thunder; READ-2 (Environment Canada advice, standards.md section 7).
def test_the_wait_after_thunder_is_the_advised_one(handbook: Handbook) -> None:
    assert handbook.knowledge.facts["en"]["weather.thunder_wait_minutes"] == "30"
    assert "30" in said(handbook, "safety", "en")
    assert "30" in said(handbook, "safety", "fr")

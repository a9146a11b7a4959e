"""What is the demo club's own (its events' names, loops, people, places, streets, prices) stands in its knowledge files and nowhere in
clubbot: not in code, not in words and rules, not in the ways of asking that ship.
"""

import re
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from tests.conftest import ROOT

SOURCES = ROOT / "clubbot"
READ = {".py", ".toml", ".txt", ".md", ".tsv"}
# How common each word of either language is: that is no text of ours.
NOT_OURS = {"words_en_fr.tsv"}
KNOWLEDGE = ROOT / "knowledge"

# Names of the demo's files that are plain words of the trade, and why each may stand in the sources. What is not here may not.
PLAIN: Mapping[str, str] = {
    "league": "a kind of event of any club",
    "league night": "the evening of any league",
    "ligue": "a kind of event of any club",
    "soiree de ligue": "the evening of any league",
    "clinic": "a kind of event of any club",
    "clinique": "a kind of event of any club",
    "beginner thing": "any clinic to who forgot its name",
    "beginner class": "what a clinic is",
    "beginners lesson": "what a clinic is",
    "beginner session": "what a clinic is",
    "lesson": "what a clinic is",
    "lessons": "what a clinic is",
    "initiation": "what a clinic is",
    "cours": "what a clinic is",
    "family day": "a kind of event of any club",
    "family": "who comes along",
    "famille": "who comes along",
    "women's night": "a kind of event of any club",
    "womens night": "a kind of event of any club",
    "ladies night": "a kind of event of any club",
    "girls night": "a kind of event of any club",
    "soiree des femmes": "a kind of event of any club",
    "women": "people",
    "women and girls": "people, as in a course for women and girls",
    "ladies": "people",
    "femmes": "people",
    "filles": "people",
    "work day": "a kind of event of any club",
    "work party": "a kind of event of any club",
    "workday": "a kind of event of any club",
    "clean-up": "a kind of event of any club",
    "cleanup": "a kind of event of any club",
    "corvee": "a kind of event of any club in Acadia",
    "travaux": "works on the ground, as a reason of closures",
    "tournament": "a kind of event of any club",
    "tourney": "a kind of event of any club",
    "big tournament": "a kind of event of any club",
    "the big one": "any tournament, in talk",
    "the open": "of anything that is open",
    "tournoi": "a kind of event of any club",
    "shore": "ground",
    "the open loop": "the loop of any course without trees",
    "by the water": "where discs get lost",
    "rivage": "ground",
    "bord de mer": "ground",
    "marsh": "ground that one sinks into",
    "swamp": "ground that one sinks into",
    "boardwalk": "a way over wet ground",
    "boardwalks": "a way over wet ground",
    "marais": "ground that one sinks into",
    "passerelles": "a way over wet ground",
    "hill": "ground",
    "woods": "ground",
    "wooded holes": "holes of any course among trees",
    "forest": "ground",
    "spruce": "trees",
    "colline": "ground",
    "bois": "ground, and drink",
    "sous-bois": "ground",
    "course": "what is played on",
    "events": "what clubs hold",
    "event": "what clubs hold",
    "closures": "what is told of a course",
    "closed": "what is told of a course",
    "conditions": "what is told of a course",
    "parcours": "what is played on",
    "terrain": "what is played on",
    "fermetures": "what is told of a course",
    "activites": "what clubs hold",
    "evenements": "what clubs hold",
    "course news": "the list of any club about its course",
    "event news": "the list of any club about its events",
    "nouvelles du parcours": "the list of any club about its course",
    "nouvelles des activites": "the list of any club about its events",
    "marchand": "who sells things, in French",
}
# What stands there as an example of how things are written, each with the reason.
EXAMPLES: Mapping[tuple[str, str], str] = {
    ("+1 902 555 0100", "handbook/loading.py"): "shows how a number is written",
    ("+1 902 555 0101", "handbook/loading.py"): "shows how a number is written",
}


def plainly(text: str) -> str:
    spelled = text.casefold().replace("œ", "oe").replace("’", "'")
    return unicodedata.normalize("NFKD", spelled).encode("ascii", "ignore").decode()


def strings(table: object) -> Iterator[str]:
    """Both languages of a name and all other names."""
    if isinstance(table, str):
        yield table
    elif isinstance(table, Mapping):
        for value in table.values():
            yield from strings(value)
    elif isinstance(table, list):
        for value in table:
            yield from strings(value)


def own_names() -> set[str]:
    """Every name in the demo's files, plain: as a whole, and the words of it that only a name has."""
    club, course, events, people = (
        tomllib.loads((KNOWLEDGE / f"{name}.toml").read_text("utf-8"))
        for name in ("club", "course", "events", "people")
    )
    names = {club["club"]["name"], club["club"]["short_name"], club["club"]["number"]}
    names |= {course["course"][key] for key in ("park", "town", "street")}
    for one in (*events["event"], *course["loop"], *club["list"]):
        names |= {one["id"], *strings(one["name"]), *one.get("also_called", [])}
    for event in events["event"]:
        names |= {without_article(meet) for meet in strings(event["meet"])}
    names |= {without_article(shop) for key in ("sports", "chandlery") for shop in strings(course["shops"][key])}
    for person in people["person"]:
        names |= {person["name"], person["number"], *person["name"].split()}
    return {plainly(name) for name in names}


def without_article(name: str) -> str:
    return re.sub(r"^(?:the|le|la|les) |^l['’]", "", name)


def prices() -> set[str]:
    """Prices as the club's texts tell them: "$25" and "25 $"; the bare number is any number."""
    club, events = (tomllib.loads((KNOWLEDGE / f"{name}.toml").read_text("utf-8")) for name in ("club", "events"))
    told = {value for key, value in club["prices"].items() if key != "check_by"}
    told |= {event[key] for event in events["event"] for key in ("price", "member_price") if key in event}
    return {form for price in told for form in (f"CA${price}", f"{price} $ CA")}


def sources() -> list[Path]:
    return sorted(
        file
        for file in SOURCES.rglob("*")
        if file.suffix in READ and file.name not in NOT_OURS and "NOTICE" not in file.name
    )


def found_in_sources(names: set[str]) -> dict[tuple[str, str], int]:
    """Which of these names stand in which file, and on which line first."""
    spelled = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    pattern = re.compile(rf"(?<![a-z0-9]){'(?:' + spelled + ')'}(?:'?s)?(?![a-z0-9])")
    found: dict[tuple[str, str], int] = {}
    for file in sources():
        for number, line in enumerate(plainly(file.read_text("utf-8")).splitlines(), start=1):
            for match in pattern.finditer(line):
                name = max((one for one in names if match[0].startswith(one)), key=len)
                found.setdefault((name, file.relative_to(SOURCES).as_posix()), number)
    return found


def test_no_name_of_the_demo_club_stands_in_the_sources() -> None:
    found = found_in_sources(own_names() - set(PLAIN))

    strangers = {place: line for place, line in found.items() if place not in EXAMPLES}
    told = [f"clubbot/{file}:{line}: {name!r}" for (name, file), line in sorted(strangers.items())]
    assert not told, "\n".join(told)


def test_no_price_of_the_demo_club_stands_in_the_sources() -> None:
    assert not found_in_sources({plainly(price) for price in prices()})


def test_every_plain_word_of_the_trade_is_a_name_of_the_demo_club() -> None:
    assert not set(PLAIN) - own_names()


def test_every_exception_is_needed() -> None:
    assert not set(EXAMPLES) - set(found_in_sources(own_names() - set(PLAIN)))


@pytest.mark.parametrize("name", ["dusk league", "fog horn", "boathouse", "quay road", "odile", "hill loop"])
def test_a_name_is_looked_for(name: str) -> None:
    assert name in own_names() - set(PLAIN)

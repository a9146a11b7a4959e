"""A club that adds topics of its own, each with five ways of asking, is understood at once, in words that are none of those."""

from pathlib import Path

import pytest

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.trying import try_one
from tests.conftest import NOON, learning_in_turn
from tests.handbook.broken import a_club

# topic: five ways of asking it, then five that nobody has learnt from.
TOPICS: dict[str, tuple[list[str], list[str]]] = {
    "kayak-rack": (
        ["can i leave my kayak on the rack", "who may use the kayak rack", "kayak storage", "where do canoes go", "how do i get a spot on the kayak rack"],
        ["is there anywhere to store a kayak", "could we keep our canoe on your rack", "kayak rack full?", "whats the deal with the kayak rack", "i have a small kayak, may it live on the rack"],
    ),
    "disc-dyeing": (
        ["when is the disc dyeing evening", "can i dye a disc with you", "what do i bring to dye discs", "disc dyeing workshop", "how does disc dyeing work"],
        ["id love to dye my own disc", "is dyeing discs hard", "do you run dyeing nights", "whats the next dye workshop like", "colours for dyeing, do you supply them"],
    ),
    "garden": (
        ["who looks after the community garden", "may i pick herbs in the garden", "community garden plots", "how do i get a garden bed", "can i help in the vegetable garden"],
        ["is a garden bed free", "could i grow tomatoes in the community garden", "garden plot waiting list", "the herbs in the garden, are they for anyone", "how do the garden beds work"],
    ),
    "stargazing": (
        ["when is the stargazing night", "can we look through the telescope", "stargazing with the club", "is the telescope out when it is cloudy", "do i need my own telescope"],
        ["is there a telescope evening soon", "my daughter wants to see saturn through the telescope", "stargazing cloudy what then", "how does stargazing go", "whose telescope is it"],
    ),
    "bird-hide": (
        ["where is the bird hide", "which birds can you see from the hide", "is the bird hide locked", "bird watching hide", "may i photograph from the bird hide"],
        ["is the hide good for herons", "who has the key to the bird hide", "birdwatching, where from", "can you sit in the bird hide all day", "what birds come to the hide"],
    ),
    "choir": (
        ["does the club have a choir", "when does the choir sing", "can i join the choir", "choir practice", "do you have to read music for the choir"],
        ["id like to sing in your choir", "what does the choir sing", "choir rehearsal room?", "is the choir only for women", "choir, any tenors needed"],
    ),
    "tool-library": (
        ["can i borrow a saw from the tool library", "what is in the tool library", "tool library opening", "how do i return a tool", "does the tool library have ladders"],
        ["do you have a drill in the tool library", "tool library, how long can i keep a tool", "i need a ladder, is there one in the tool library", "what tools do you lend", "tool library card"],
    ),
    "ice-rink": (
        ["when do you flood the ice rink", "can we skate on the rink", "are there skates for the rink", "ice rink thickness", "is hockey allowed on the rink"],
        ["is the rink frozen enough to skate", "skating rink for kids?", "do you lend skates", "who clears the rink", "shinny on the rink ok?"],
    ),
    "book-swap": (
        ["how does the book swap shelf work", "can i leave books on the swap shelf", "book swap rules", "are children's books on the shelf", "may i take a book from the swap shelf"],
        ["i have a box of novels for the book shelf", "do i need to return a swapped book", "book swap, french books too?", "where is the swap shelf", "can anyone take a book"],
    ),
    "geocache": (
        ["is there a geocache on the course", "where is the geocache hidden", "geocache hint please", "who hid the geocache", "the geocache is missing its pen"],
        ["cant find the geocache", "how many geocaches are there", "any hint for the cache", "geocaching here, is it ok", "is the geocache winter friendly"],
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    files = a_club(tmp_path_factory.mktemp("own"))
    for topic, (ways, _) in TOPICS.items():
        listed = "\n".join(f"- en: {way}" for way in ways)
        said = f"## English: {topic}\n\nOurs.\n\n## Français : {topic}\n\nLe nôtre.\n\n## Ways of asking\n\n{listed}\n"
        files.write(f"answers/{topic}.md", said)
    return files.folder


def _understood(handbook: Handbook) -> tuple[int, list[str]]:
    asked = [(topic, text) for topic, (_, texts) in TOPICS.items() for text in texts]
    missed = [
        f"{topic}: {text}"
        for topic, text in asked
        if try_one(text, handbook, "+19025550142", NOON).turned.served != (topic,)
    ]
    return len(asked) - len(missed), missed  # fmt: skip


@pytest.mark.parametrize("with_encoder", [True, False], ids=["with the sentence model", "by words only"])
def test_a_topic_of_a_clubs_own_is_understood_from_five_ways_of_asking(club: Path, with_encoder: bool) -> None:
    with learning_in_turn():
        handbook = open_handbook(club, usual_folder(), with_encoder=with_encoder)
    understood, missed = _understood(handbook)
    assert understood >= 35, missed


def test_events_with_names_that_nobody_has_heard_are_understood_by_what_they_are(tmp_path: Path) -> None:
    files = a_club(tmp_path)
    text = files.read("events.toml")
    for old, new in (("Dusk League", "Chainspotters"), ("dusk league", "chainspotters")):
        text = text.replace(old, new)
    files.write("events.toml", text)
    handbook = open_handbook(files.folder, usual_folder())
    for text, served in (
        ("what is chainspotters", "league"),
        ("count me in for Chainspotters on wednesday", "rsvp-yes"),
        ("cant make chainspotters this week", "rsvp-no"),
        ("how many spots left at chainspotters", "places"),
        ("c'est quoi chainspotters", "league"),
    ):
        assert try_one(text, handbook, "+19025550142", NOON).turned.served == (served,), text

"""Who comes and how many, in the messy way that people write: every text with the number it says and the people it tells of."""

import pytest

from clubbot.handbook.language_files import shipped_people, shipped_words
from clubbot.model.intents import Party
from clubbot.model.rsvps import Guest
from clubbot.understanding.people_parts import mentions
from clubbot.understanding.people_row import row_of
from clubbot.understanding.people_words import ROLES, people_words

people_coming = shipped_people()

NONE, UNCLEAR = Party(), Party(unclear=True)


def of_all(total: int) -> Party:
    return Party(total=total)


def more(people: int) -> Party:
    return Party(more=people)


def shown(guests: tuple[Guest, ...]) -> str:
    """Guests in few words: "me daughter 2 friend Bob"."""
    words = []
    for one in guests:
        word = "me" if one.kind == "sender" else one.name or one.label or "others"
        words.append(word if one.people == 1 else f"{one.people} {word}")
    return " ".join(words)


# text, number, who comes, who does not
COMING = [
    ("put me and my daughter down for wed pls", of_all(2), "me daughter"),
    ("me + my two boys for league", of_all(3), "me 2 boy"),
    ("hey its me again, ill be there wed w my sister n her husband", of_all(3), "me sister husband"),
    ("Me, Joe and Sam are in for thursday", of_all(3), "me Joe Sam"),
    ("me n pete wed night", of_all(2), "me pete"),
    ("dave and me for sat plz", of_all(2), "me dave"),
    ("hubby and I would love to come saturday", of_all(2), "me hubby"),
    ("in on sat with a mate", of_all(2), "mate"),
    ("bringing 2 friends to the clinic", of_all(3), "2 friend"),
    ("bringing my kid (11) and his buddy", of_all(3), "kid buddy"),
    ("my 8 year old and I want to try the lesson", of_all(2), "me kid"),
    ("my 7 and 10 yr olds and me", of_all(3), "me 2 kid"),
    ("me plus 3", of_all(4), "me 3 others"),
    ("+2 for wed", of_all(3), "2 others"),
    ("count me in with three others", of_all(4), "me 3 others"),
    ("2 adults and 2 kids for family sunday", of_all(4), "2 others 2 kid"),
    ("two grownups, one kid", of_all(3), "2 others kid"),
    ("there will be 3 girls and 1 boy", of_all(4), "3 girl boy"),
    ("my partner is joining me wednesday", more(1), "me partner"),
    ("me and my mom (72) and my daughter Ella, she is 9", of_all(3), "me mom Ella"),
    ("me my wife and our 3 kids", of_all(5), "me wife 3 kid"),
    ("see u wed, me and a couple of friends", of_all(3), "me 2 friend"),
    ("just me for the 12th", of_all(1), "me"),
    ("only me this week sorry", of_all(1), "me"),
    ("flying solo this wed", of_all(1), "me"),
    ("hi this is Dana Roy, me and my son for sunday", of_all(2), "me son"),
    ("inscris moi avec ma blonde pour jeudi", of_all(2), "me blonde"),
    ("moi pis mes deux gars samedi", of_all(3), "me 2 gars"),
    ("moi ma fille pis son amie", of_all(3), "me fille amie"),
    ("je viens mercredi avec mon frère et sa blonde", of_all(3), "me frere blonde"),
    ("Marc et moi pour la ligue", of_all(2), "me Marc"),
    ("j'amène deux chums", of_all(3), "me 2 chum"),
    ("ma fille de 9 ans et moi", of_all(2), "me fille"),
    ("moi + 2", of_all(3), "me 2 others"),
    ("2 adultes et 3 enfants", of_all(5), "2 others 3 enfant"),
    ("juste moi cette fois", of_all(1), "me"),
    ("je vais être là toute seule", of_all(1), "me"),
    ("avec mes parents dimanche", of_all(3), "2 parent"),
]

NUMBERS = [
    ("4 of us wed", of_all(4)),
    ("there's 5 of us", of_all(5)),
    ("we r 3 for sat", NONE),
    ("we're 3 for sat", of_all(3)),
    ("were gonna be 4", of_all(4)),
    ("make it 3", of_all(3)),
    ("make that 2 instead of 3", of_all(2)),
    ("make wed 3", of_all(3)),
    ("sorry 3 not 2", of_all(3)),
    ("not 2 but 4", of_all(4)),
    ("can u change us from 5 to 4", of_all(4)),
    ("4 -> 5 for wed", of_all(5)),
    ("4 ➡️ 3", of_all(3)),
    ("party of six for sunday", of_all(6)),
    ("need 2 spots thurs", of_all(2)),
    ("3 for league please", of_all(3)),
    ("ok so 2 now", of_all(2)),
    ("us two for sat", of_all(2)),
    ("both of us are in", of_all(2)),
    ("all 4 of us, 9:30 ok?", of_all(4)),
    ("i was alone for thu, add my niece", of_all(2)),
    ("we said 4 but 2 dropped out", of_all(2)),
    ("one more for wed", more(1)),
    ("add 2 to mine", more(2)),
    ("can my cousin come too? he wants in", NONE),
    ("a friend wants in, room for one more?", more(1)),
    ("2 less for sunday", more(-2)),
    ("one of us is sick", more(-1)),
    ("2 of us can't make it", more(-2)),
    ("me and the kids", UNCLEAR),
    ("bringing the whole family", UNCLEAR),
    ("my dad and my sister for sunday", UNCLEAR),
    ("on est 3 mercredi", of_all(3)),
    ("on sera quatre finalement", of_all(4)),
    ("mets 2 places pour jeudi", of_all(2)),
    ("c'est 3 pas 2", of_all(3)),
    ("pas 2, 3", of_all(3)),
    ("passe à 4 svp", of_all(4)),
    ("on passe de 5 à 3", of_all(3)),
    ("un de plus pour samedi", more(1)),
    ("un de moins", more(-1)),
    ("y en a un qui peut pas", more(-1)),
    ("rajoute ma nièce", more(1)),
    ("toute la famille vient", UNCLEAR),
    ("nous deux pour samedi", of_all(2)),
]

NO_PEOPLE = [
    "my 9 year old",
    "shes 12 is that ok",
    "im 63 and never played",
    "I am 74",
    "see you at 6",
    "wed at 6:15",
    "can i come at 5:30pm",
    "ill be there by 6",
    "in for the 9th",
    "in for june 9",
    "9 june works",
    "booked since august 2024",
    "it's been 3 years",
    "can we play 18",
    "hole 7 is under water",
    "stuck on hole 3 for 10 minutes",
    "is it 5 dollars or 8$",
    "i have 3 discs",
    "can i bring 2 dogs",
    "20 minutes late sorry",
    "50/50 for thursday",
    "bus 4 goes there?",
    "division 2",
    "throws like 200 feet",
    "how long for 9 holes",
    "are all 72 places gone",
    "2 places left?",
    "text me at 4 on wed",
    "the last 3 weeks were fun",
    "keep me posted",
    "c'est un oui",
    "ma fille a 9 ans",
    "j'ai 60 ans",
    "le 12 juin",
    "à 18 h",
    "vers 6 heures",
    "le trou 4 est inondé",
    "5 piasses ou 8",
    "ça prend 2 heures",
    "je m'appelle Aïcha et je viendrai jeudi",
    "c'est Lorraine, j'ai quoi de réservé",
    "speak with Odile please",
]

STAYING_AWAY = [
    ("my daughter's sick so just me", of_all(1), "daughter", "me", ""),
    ("Bob's out, Ana instead", NONE, "Bob", "", "Ana"),
    ("bob's out, ana instead", NONE, "bob", "", "ana"),
    ("one of the lads bailed", NONE, "lad", "", ""),
    ("my wife can't make it", NONE, "wife", "", ""),
    ("my wife cant make it but my son can", NONE, "wife", "", ""),
    ("the friend i added for thurs isnt coming, still me tho", NONE, "friend", "me", ""),
    ("Bob and Ana aren't coming anymore", NONE, "Bob Ana", "", ""),
    ("take Bob off", NONE, "Bob", "", ""),
    ("remove my son please", NONE, "son", "", ""),
    ("without my brother this time", NONE, "brother", "", ""),
    ("she can't come after all", NONE, "others", "", ""),
    ("Ana is coming instead of Bob", NONE, "Bob", "", ""),
    ("hubby has to work wed", NONE, "hubby", "", ""),
    ("2 of my friends bailed", NONE, "2 friend", "", ""),
    ("ma fille est malade, donc juste moi", of_all(1), "fille", "me", ""),
    ("Paul peut pas, Zoé à sa place", NONE, "Paul", "", "Zoé"),
    ("mon chum vient pas finalement", NONE, "chum", "", ""),
    ("ma mère ne peut plus venir", NONE, "mere", "", ""),
    ("enlève mon frère", NONE, "frere", "", ""),
    ("sans ma blonde cette fois", NONE, "blonde", "", ""),
]


@pytest.mark.parametrize(("text", "number", "who"), COMING)
def test_who_comes_is_read_with_their_number(text: str, number: Party, who: str) -> None:
    said = people_coming(text)

    assert (said.party, shown(said.said.comes)) == (number, who)
    assert not said.said.out


@pytest.mark.parametrize(("text", "number"), NUMBERS)
def test_a_number_of_people_is_read(text: str, number: Party) -> None:
    assert people_coming(text).party == number


@pytest.mark.parametrize("text", NO_PEOPLE)
def test_ages_years_hours_holes_and_prices_are_no_people(text: str) -> None:
    assert people_coming(text).party == NONE


@pytest.mark.parametrize(("text", "number", "out", "comes", "instead"), STAYING_AWAY)
def test_who_does_not_come_is_read_and_the_sender_is_not_taken_for_them(
    text: str, number: Party, out: str, comes: str, instead: str
) -> None:
    said = people_coming(text)

    assert (said.party, shown(said.said.out), shown(said.said.instead)) == (number, out, instead)
    assert comes in shown(said.said.comes)
    assert (said.said.all_out, said.said.sender_out) == (False, False)


@pytest.mark.parametrize(
    "text",
    [
        "me too, all of us out",
        "none of us can come",
        "we can't make it",
        "on peut pas venir",
        "aucun de nous peut venir",
    ],
)
def test_nobody_comes_where_that_is_said_of_all(text: str) -> None:
    assert people_coming(text).said.all_out


@pytest.mark.parametrize(
    "text",
    [
        "can't wait, my wife too",
        "we cant wait for wed",
        "i don't remember who is in",
        "we are not sure yet",
        "on est pas sûr",
    ],
)
def test_a_no_that_is_not_said_of_coming_takes_nobody_off(text: str) -> None:
    said = people_coming(text).said

    assert (said.out, said.all_out, said.sender_out) == ((), False, False)


@pytest.mark.parametrize(
    "text", ["I can't but my son still will", "my daughter is coming, not me", "can't make it but my wife is coming"]
)
def test_the_sender_may_stay_away_while_others_come(text: str) -> None:
    said = people_coming(text)

    assert said.said.sender_out
    assert said.party == of_all(1)


@pytest.mark.parametrize(
    "text",
    [
        "my kid's sick, not coming",
        "can't make it wed, my kid is sick",
        "my kid is sick so i have to cancel",
        "kid sick, cant make it",
        "wife's in labour, count me out",
        "mon gars est malade, je peux pas venir",
        "ma fille est malade, je dois annuler",
    ],
)
def test_the_sender_stays_away_because_of_somebody(text: str) -> None:
    said = people_coming(text).said

    assert (said.sender_out or said.all_out, said.comes) == (True, ())


def test_a_mention_tells_its_words_and_its_part() -> None:
    text, words = "my daughter's sick, make it 2 not 3, 9 year old", shipped_words()
    row = row_of(text, words.words(text), people_words(words.lexicons))
    found = [(one.words, one.part) for one in mentions(row)]

    assert found == [("my daughter", "out"), ("2", "total"), ("3", "refused"), ("9 year old", "none")]


def test_names_of_others_are_not_in_what_is_printed_of_a_guest() -> None:
    (_, bob) = people_coming("me and Bob for wed").said.comes

    assert (bob.name, "Bob" in repr(bob)) == ("Bob", False)


def test_the_lists_of_both_languages_are_complete() -> None:
    lexicons = shipped_words().lexicons
    lists = people_words(lexicons)

    assert lists.akin("hubby") == lists.akin("conjoint") == "partner"
    assert {role for one in lexicons for role in one.people} == ROLES

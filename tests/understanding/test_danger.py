"""Cries of an emergency and what only sounds like one. The texts are our own; there is no outside source for them,
and the words were mended until all of them were read right.

Where it is torn between the two, a text counts as a cry: the reply is short, sends to the emergency number and fetches a person.
"""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.understanding import danger
from clubbot.understanding.noticing import Notice


@pytest.fixture
def notice(handbook: Handbook) -> Notice:
    return handbook.reader.notice


ENGLISH = [
    "call 911",
    "we need an ambulance at the first tee",
    "someone got hit in the head hole 3",
    "my friend is unconscious",
    "he's not breathing",
    "she isnt breathing and her lips are blue",
    "my dad is having chest pains",
    "i think its a heart attack",
    "a disc hit my daughter in the eye and she can't see",
    "there's blood everywhere",
    "he wont stop bleeding",
    "my buddy broke his ankle on the steps at 14",
    "i fell and i think my wrist is broken",
    "she slipped on the boardwalk and hurt her back, she can't get up",
    "an old man collapsed by hole 9",
    "guy just passed out at basket 6",
    "my kid got stung and his face is swelling up",
    "shes having an allergic reaction we dont have an epipen",
    "someone fell in the water and is drowning",
    "my son is stuck in the mud and the tide is coming in",
    "my husband is having a seizure",
    "dog bit my kid, its bleeding bad",
    "lightning struck a tree and a man is down",
    "he has heat stroke i think, confused and not sweating",
    "help help hurt",
    "HELP!! kid choking on a hot dog",
    "theres been an accident on hole 8",
    "my wife has fallen and can't move",
    "someone is badly hurt on the hill loop",
    "player down on 16 need medical help now",
    "im bleeding a lot from my hand",
    "i cut my leg open on the sign at 5",
    "a girl got smacked in the face by a disc, her nose is bleeding",
    "my mother can't breathe",
    "please send help he's not moving",
    "we lost a child in the woods near 15",
    "my 4 year old is missing",
    "there is a fire in the trees behind 13",
    "i feel like killing myself",
    "man with a knife at the car park",
    "somebody drank something and is throwing up blood",
    "he hit his head and is talking nonsense",
    "concussion i think, he doesnt know where he is",
    "someone's hurt on 5",
    "my friend is unconscious what do i do",
    "could you send an ambulance to the boathouse",
    "is there a doctor around? he collapsed",
    "call 911 hole 7",
    "i'm afraid he broke his leg",
    "he's bleeding a lot, im worried",
    "a tree fell on someone",
    "What do we do, he's not breathing",
    "please hurry he is turning blue",
    "anyone near hole 4? my wife fell and broke her hip",
    "someone got hurt at work morning, deep cut from the saw",
    "he's been unconscious for a while now",
    "nobody is here and he's bleeding a lot",
    "someone's hurt at the league",
    "call an ambulence hole 12",
    "we cant find our little boy",
]

FRENCH = [
    "appelez le 911",
    "il faut une ambulance au trou 3",
    "quelqu'un est blessé au trou 7",
    "mon ami a reçu un disque sur la tête",
    "il ne respire plus",
    "ma femme est tombée et ne peut pas se relever",
    "je me suis cassé la cheville",
    "mon père a mal à la poitrine",
    "elle a perdu connaissance",
    "un monsieur s'est effondré au 9",
    "il saigne beaucoup",
    "ma fille saigne du nez et ça n'arrête pas",
    "au secours",
    "aidez-nous vite mon fils se noie",
    "il y a quelqu'un de pris dans la boue et la marée monte",
    "réaction allergique, pas d'épipen",
    "mon mari fait une crise cardiaque",
    "y a du sang partout",
    "il convulse",
    "j'ai le poignet cassé je crois",
    "un chien a mordu mon garçon",
    "un enfant s'est perdu dans le bois",
    "ma grand-mère a fait une chute, elle bouge plus",
    "il y a un feu dans les arbres",
    "accident au trou 11, venez vite",
    "il s'étouffe",
    "je veux mourir",
    "elle s'est cogné la tete et elle vomit",
    "coup de chaleur, il est confus",
    "un joueur a été frappé par la foudre",
    "il saigne depuis la chute",
]

NEAR_MISSES = [
    "has anyone ever been hurt",
    "what if i hit someone",
    "killer shot",
    "my disc is dying",
    "dead battery",
    "bleeding edge",
    "hit the tree in the head wind",
    "who do i call if someone is hurt",
    "are there first aid kits on the course",
    "killed it on hole 5",
    "i'm dying to try this game",
    "that hill is a killer",
    "my arm is sore from throwing",
    "is it dangerous for kids",
    "my phone died",
    "dead end on quay road",
    "does it hurt to use a heavy disc",
    "i broke my disc",
    "my favourite driver is broken",
    "got hit with a parking ticket",
    "fire up the grill",
    "can we have a fire",
    "are fires allowed",
    "is there an emergency exit",
    "do you have an emergency number",
    "drowning in homework but free saturday",
    "i suck so bad its a crime",
    "the wind killed my putt",
    "what happens if a disc hits a walker",
    "is there a defibrillator at the boathouse",
    "my heart is set on an ace",
    "shot in the dark but is it open",
    "chest high weeds on 12",
    "that ace gave me a heart attack",
    "can i get help with my throw",
    "i lost my disc in the water",
    "the chain on basket 7 is broken",
    "do you get hurt often",
    "is insurance included if i get injured",
    "i was injured last year can i still play the short tees",
    "head over to the course",
    "is the head of the club around",
    "blew my mind",
    "eye on the prize",
    "i need help choosing a disc",
    "ticks, what do i do about them",
    "my back hurts when i throw how do i fix my form",
    "a broken arrow sign at 9",
    "stroke play or match play",
    "how many strokes on hole 4",
    "puis-je faire un feu",
    "je meurs d'envie d'essayer",
    "ma batterie est morte",
    "est-ce dangereux pour les enfants",
    "que faire si quelqu'un se blesse",
    "j'ai cassé mon disque",
    "ça tue ce trou",
    "j'ai perdu mon disque dans l'eau",
    "y a-t-il une trousse de premiers soins",
    "j'ai pris la tête de la ligue",
    "what do i do if someone gets hurt",
    "what if a kid gets hit in the head",
    "can you get hurt doing this",
    "my disc is stuck in the mud at 9",
    "my orange disc fell in the water",
    "a branch fell on the tee at 14",
    "the bench at 4 collapsed",
    "wind swept fairways look fun",
    "who do we call in case of emergency",
    "i'm drowning in work, next week maybe",
    "family emergency, can't make it sat",
    "this game will be the death of me",
    "i hit a tree on every throw",
    "do dogs bite there",
    "my putting is on fire",
    "is there a fire pit",
    "my heart stopped when it hit the chains",
    "i broke par today",
    "has anybody been stung by wasps there",
    "hurt my feelings with that answer lol",
    "is it safe to play with a bad knee",
    "i had a knee operation last year, is it flat",
    "c'est quoi la règle si je touche un promeneur",
    "le disque est tombé dans l'eau",
    "mon disque est coincé dans un arbre",
]


@pytest.mark.parametrize("text", ENGLISH)
def test_an_english_cry_is_heard(text: str, notice: Notice) -> None:
    assert danger.sounds_like_danger(notice(text))


@pytest.mark.parametrize("text", FRENCH)
def test_a_french_cry_is_heard(text: str, notice: Notice) -> None:
    assert danger.sounds_like_danger(notice(text))


@pytest.mark.parametrize("text", [*ENGLISH, *FRENCH])
def test_capitals_marks_and_missing_accents_drown_no_cry(text: str, notice: Notice) -> None:
    plain = text.translate(str.maketrans("àâçéèêëîïôùûœ", "aaceeeeiiouuo"))

    assert danger.sounds_like_danger(notice(f"{text.upper()}!!!"))
    assert danger.sounds_like_danger(notice(f"... {plain} 🙏"))


@pytest.mark.parametrize("text", NEAR_MISSES)
def test_what_only_sounds_like_a_cry_is_none(text: str, notice: Notice) -> None:
    assert not danger.sounds_like_danger(notice(text))


@pytest.mark.parametrize(
    "text",
    [
        "is there a doctor around? he collapsed",
        "my friend is unconscious what do i do",
        "could you send an ambulance to the boathouse",
        "i'm afraid he broke his leg",
        "y a-t-il un médecin? ma femme est tombée sur la tête",
        "il ne respire plus, que faire",
    ],
)
def test_a_question_beside_a_cry_does_not_hide_it(text: str, notice: Notice) -> None:
    assert danger.sounds_like_danger(notice(text))
    assert not danger.only_supposes(notice(text))


@pytest.mark.parametrize(
    "text",
    [
        "has anyone ever been hurt",
        "what if i hit someone",
        "what happens when a disc hits a walker",
        "who do i call if someone is hurt",
        "que faire si quelqu'un se blesse",
        "est-ce que quelqu'un a déjà été blessé",
    ],
)
def test_a_text_may_only_suppose_that_somebody_is_hurt(text: str, notice: Notice) -> None:
    assert danger.only_supposes(notice(text))


@pytest.mark.parametrize("text", ["is it open", "he's not breathing", "my disc is dying", ""])
def test_a_text_that_asks_nothing_of_the_kind_supposes_nothing(text: str, notice: Notice) -> None:
    assert not danger.only_supposes(notice(text))


# The words were mended by looking at these very lines, so both shares guard against falling back; they are no measure on unseen texts.
def test_next_to_no_ordinary_question_is_taken_for_a_cry(notice: Notice) -> None:
    ordinary = [one.text for one in shipped_examples() if one.intent not in {"danger", "outside"}]
    taken = [text for text in ordinary if danger.sounds_like_danger(notice(text))]

    assert len(taken) / len(ordinary) < 0.002, taken


def test_words_alone_hear_most_of_the_shipped_cries(notice: Notice) -> None:
    cries = [one.text for one in shipped_examples() if one.intent == "danger"]
    heard = sum(danger.sounds_like_danger(notice(text)) for text in cries)

    assert heard / len(cries) > 0.65

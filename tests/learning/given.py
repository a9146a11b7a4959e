"""Names in answer to "what name should I put on the list?", put together while learning, so that the model hears that a name adds nobody."""

import random
from collections.abc import Mapping, Sequence

from clubbot.model.messages import Language
from clubbot.understanding.marks import marks_of
from tests.learning.texts import Text

_TOPICS = ("league", "clinic", "family-day", "women", "volunteer", "tournament")
_GIVEN = (
    "Ana", "Bo", "Cat", "Dev", "Edie", "Fergus", "Gail", "Hana", "Ivo", "Jo", "Kit", "Lena", "Mo", "Nils", "Orla", "Pip", "Quinn", "Rhys", "Sal", "Tove",
    "Uma", "Vic", "Wim", "Xena", "Yara", "Zoe", "Doug", "Moira", "Priti", "Kwame", "Chidi", "Mei", "Hiro", "Olga", "Luz", "Marie-Ève", "Réjean",
    "Gisèle", "Aïcha", "Ti-Jean", "Odette", "Fatou", "Benoît", "Solange", "Big Al", "Old Pete", "Jean-Guy", "Max", "Art", "Grace", "Will", "Rose", "June", "Mark", "Bill",
)  # fmt: skip
_FAMILY = (
    "Roy", "Boudreau", "Chen", "MacNeil", "Okafor", "Singh", "Leblanc", "O'Dea", "Van Dyk", "Silva", "Nowak", "Haddad", "Tremblay", "Diop", "Larsen", "Kim",
    "Arsenault", "Fraser", "Hill", "Green", "Underwood", "Poirier", "Cormier", "Doe", "Petit", "Mbeki", "Yilmaz", "Ng", "Abbott", "Short",
)  # fmt: skip
# "G" is a given name, "F" a family name.
_FORMS: Mapping[Language, Sequence[str]] = {
    "en": [
        "G", "G", "G F", "G F", "F", "F, G", "it's G", "its G", "im G", "I'm G F", "this is G", "my name is G F", "name's G", "name is G", "G here", "put G", "put me as G",
        "put it under F", "under F", "under G's name", "the Fs", "the F family", "F family", "for G", "just G", "G is fine", "G please", "G thanks", "G, thanks", "ok G", "oh G",
        "G. shes G", "G and he's G", "G and G", "G n G", "G & G", "G, G and G", "G and G F", "me G, and G", "I'm G, she's G", "mine is G, hers G", "G with a k", "G. G is my brother",
        "G (my wife is G)", "same as always, G", "G, you have it already i think", "everyone calls me G", "G F, like last time", "sorry, G", "lol its G", "G. told you before", "Mrs F", "Mr G F",
        "use G", "say G", "you can put G F", "G will do", "G F. the other one is G F", "ask for G", "-G", "G :)", "kids are G and G, im G",
    ],
    "fr": [
        "G", "G", "G F", "G F", "F", "F, G", "c'est G", "cest G", "moi c'est G", "je m'appelle G F", "mon nom c'est G", "mon nom est G F", "G ici", "mets G", "mettez G F", "au nom de F",
        "au nom de G F", "sous F", "la famille F", "famille F", "pour G", "juste G", "G svp", "G merci", "G, merci", "ok G", "G et G", "G pis G", "G pi G", "G, G et G", "moi G, elle G",
        "G et lui c'est G", "G. elle c'est G", "moi c'est G et mon chum G", "G (ma femme c'est G)", "G comme d'habitude", "tout le monde m'appelle G", "tu peux mettre G", "désolé, G", "lol c'est G",
        "Mme F", "M. G F", "les F", "G va faire", "demande G", "G F, comme l'autre fois", "les enfants c'est G et G, moi G",
    ],
}  # fmt: skip


def a_name(language: Language, dice: random.Random) -> Text:
    """An answer to the question for a name: it says nothing of how many come."""
    text = "".join(
        {"G": dice.choice(_GIVEN), "F": dice.choice(_FAMILY)}.get(one, one) for one in dice.choice(_FORMS[language])
    )
    kind = dice.random()
    text = text.lower() if kind < 0.35 else text.upper() if kind < 0.38 else text
    down = dice.choice((1, 1, 2, 2, 3, 4))
    marks = marks_of(
        (dice.choice(("rsvp-yes", "rsvp-yes", "rsvp-change")),), dice.choice(_TOPICS), "", down, name_asked=True
    )
    return Text(text, ("name",), language, marks, count="0")

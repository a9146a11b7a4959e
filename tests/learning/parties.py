"""Answers to events that are put together while learning, so that the model hears how people are added up: "me, my wife and two from work"
is four. What stands in the lists is joined at random; no two passes hear the same.
"""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from clubbot.handbook.names_said import NamesSaid, filled
from clubbot.model.messages import Language
from clubbot.understanding.encoder import MOST_COUNTED
from clubbot.understanding.marks import marks_of
from tests.learning.texts import Text

_TOPICS = ("league", "clinic", "family-day", "women", "volunteer", "tournament")
_NUMBERS: Mapping[Language, Sequence[tuple[str, str]]] = {
    "en": [("1", "one"), ("2", "two"), ("3", "three"), ("4", "four"), ("5", "five"), ("6", "six"), ("7", "seven"), ("8", "eight")],
    "fr": [("1", "un"), ("2", "deux"), ("3", "trois"), ("4", "quatre"), ("5", "cinq"), ("6", "six"), ("7", "sept"), ("8", "huit")],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Lists:
    """The words of one language. In `groups` "N" is a number from two to four; in `ones` and `twos` are one and two people."""

    me: Sequence[str]
    ones: Sequence[str]
    twos: Sequence[str]
    groups: Sequence[str]
    names: Sequence[str]
    join: Sequence[str]
    last: Sequence[str]
    leads: Sequence[str]
    tails: Sequence[str]
    wholes: Sequence[str]
    without_me: Sequence[str]
    more: Sequence[str]
    fewer: Sequence[str]
    left: Sequence[str]


_EN = _Lists(
    me=["me", "me", "myself", "moi"],
    ones=[
        "my wife", "the wife", "my husband", "hubby", "the missus", "my partner", "my gf", "my bf", "my girlfriend", "a friend", "a mate", "a buddy",
        "my brother", "my bro", "my little sister", "my sister", "my dad", "my mum", "my mom", "dad", "mum", "grandad", "my nan", "my son", "my daughter",
        "my kid", "the little one", "my eldest", "the youngest", "my boy", "my girl", "my nephew", "a cousin", "my cousin", "my neighbour", "the neighbor",
        "my boss", "a colleague", "someone from work", "a lad from work", "a guy from the gym", "one of the guys from work", "a guest", "my roommate",
        "my flatmate", "the girl next door", "my aunt", "uncle Joe", "my mother in law", "my step son", "my 9 year old", "my 12 yr old", "a plus one",
        "my teammate", "an old friend", "one other", "1 other", "another guy", "my fiance", "our exchange student", "one from church", "his sister",
        "her husband", "my son's friend", "a friend of hers",
    ],
    twos=[
        "my parents", "mom and dad", "the twins", "both my boys", "both girls", "my two kids", "the 2 kids", "the two boys", "our 2 girls", "both kids",
        "my grandparents", "the couple next door", "a couple from next door", "her two", "my two", "both mums", "a couple of mates", "a couple friends",
        "2 of the lads", "my two nephews", "my brother and his wife", "my sister and her bf", "both my daughters", "the in-laws", "Bev and Al",
    ],
    groups=[
        "N friends", "N mates", "N buddies", "N kids", "N of my friends", "N from work", "N from the office", "N from church", "N from the shop", "N colleagues",
        "N coworkers", "N cousins", "N others", "N more", "N guys from work", "N of the lads", "N from my team", "N from the crew", "N neighbours", "my N kids", "the N kids",
        "our N grandkids", "N teenagers", "N guests", "N other people", "N from down the road", "N students", "N of the girls", "N lads from rugby",
        "N people from my class",
    ],
    names=["Bob", "Ana", "Sam", "Priti", "Liam", "Marie", "Old Pete", "Jo", "Kev", "Tash", "dave", "mikey", "Aoife", "Chen", "Yusuf", "Greta"],
    join=[", ", ", ", " and ", " & ", " n ", " + ", " plus "],
    last=[" and ", " and ", " & ", " n ", " plus ", ", plus ", " + ", " and also ", ", "],
    leads=[
        "", "", "", "put down ", "count in ", "sign up ", "please sign up ", "can you add ", "pls put ", "we're coming, ", "coming: ", "there'll be ", "it'll be ",
        "hi, ", "hello, could you put down ", "room for ", "book ", "in for it: ", "Good morning. Please register ", "need spots for ", "that'd be ",
    ],
    tails=[
        "", "", " for {event}", " for {event} please", " for wednesday", " wed", " this saturday", " on sunday", " thursday pls", " for the {event}", " at {event}", " next week",
        " tomorrow", " tonight", " thx", " please, thanks", " if there's room", " for {event} if there's room", " on the 12th", " sat 10am",
    ],
    wholes=[
        "T of us", "we are T", "we'll be T", "T in all", "T altogether", "party of T", "T people", "T places", "T spots", "there's T of us", "the T of us",
        "group of T", "T heads", "T players", "all T of us", "so T", "makes T", "T total", "T counting me", "T including me", "T with me", "a table of T lol",
        "that's T then", "T now", "T all in", "call it T", "T bodies",
    ],
    without_me=[
        "just P, not me", "only P, I'm not coming", "P, I'll just watch", "P but not me", "P, without me", "sign up P, I can't make it myself",
        "just P this time, im working", "P only. I'll drop them off",
    ],
    more=[
        "N more", "add N", "add N more", "plus N", "+N", "N more want in", "can I bring N more", "make room for N more", "N others joining us", "N extra",
        "and N from work want to come too", "also N friends", "N more just said yes",
    ],
    fewer=[
        "N of us can't come", "N of them chickened out", "N dropped out", "N less", "minus N", "take N off", "N can't make it", "we're down N",
        "N bailed on us", "N of the kids are sick", "lost N", "N of the guys backed out", "scratch N of us", "N fewer now", "N won't be there after all",
    ],
    left=[
        "only T of us now", "so just T", "down to T", "we'll only be T", "T of us left", "now T", "make it T", "change to T", "T instead", "so T not O",
        "T instead of O", "not O, T", "O no sorry T", "its T now not O", "T rather than O",
    ],
)  # fmt: skip
_FR = _Lists(
    me=["moi", "moi", "moi-même", "moé"],
    ones=[
        "ma femme", "ma blonde", "mon chum", "mon mari", "ma conjointe", "mon conjoint", "mon épouse", "un ami", "une amie", "une chum de fille", "mon frère",
        "ma soeur", "ma soeur", "mon père", "ma mère", "mom", "papa", "mon grand-père", "ma mémère", "mon fils", "ma fille", "mon garçon", "mon plus vieux", "la petite",
        "mon ado", "mon neveu", "ma nièce", "un cousin", "ma cousine", "mon voisin", "la voisine", "mon boss", "un collègue", "une collègue", "un gars de la job",
        "quelqu'un du bureau", "un invité", "mon coloc", "ma tante", "mon oncle", "ma belle-mère", "mon beau-frère", "mon gars de 9 ans", "ma fille de 12 ans",
        "une autre personne", "1 autre", "mon fiancé", "leur mère", "sa soeur", "son chum", "un ami de mon gars", "qqn de la shop", "mon best",
    ],
    twos=[
        "mes parents", "mes deux enfants", "mes 2 gars", "les jumeaux", "mes deux filles", "les deux petits", "mes grands-parents", "le couple d'à côté",
        "mon frère et sa blonde", "ma soeur pis son chum", "papa et maman", "mes beaux-parents", "deux de mes chums", "ses deux gars", "2 amies", "les 2 cousines",
    ],
    groups=[
        "N amis", "N chums", "N enfants", "N jeunes", "N de la job", "N de la shop", "N du bureau", "N collègues", "N cousins", "N autres", "N de plus", "mes N enfants",
        "les N petits", "N gars du hockey", "N filles du cours", "N voisins", "N invités", "N autres personnes", "N de mon équipe", "N étudiants", "N ados", "N potes",
        "N copains", "N de ma classe",
    ],
    names=["Luc", "Ana", "Sam", "Marie-Ève", "Réjean", "Aïcha", "Jo", "Kevin", "Ti-Paul", "Gisèle", "omar", "julie", "Chantal", "Benoît"],
    join=[", ", ", ", " et ", " pis ", " pi ", " + ", " plus "],
    last=[" et ", " et ", " pis ", " pi ", " + ", " plus ", ", plus ", " ainsi que ", ", "],
    leads=[
        "", "", "", "inscris ", "inscrivez ", "mets ", "mettez ", "ajoute ", "svp inscrire ", "on vient, ", "ça serait ", "on serait ", "allo, ", "bonjour, veuillez inscrire ",
        "y a-tu de la place pour ", "réserve pour ", "je voudrais inscrire ", "ça va être ", "compte ",
    ],
    tails=[
        "", "", " pour {event}", " pour {event} svp", " pour mercredi", " mercredi", " samedi", " pour dimanche", " jeudi svp", " à {event}", " la semaine prochaine", " demain",
        " à soir", " ce soir", " merci", " s'il vous plaît", " le 12", " s'il reste de la place", " sam 10 h",
    ],
    wholes=[
        "on est T", "on sera T", "nous serons T", "nous sommes T", "T en tout", "un groupe de T", "T personnes", "T places", "T au total", "on va être T", "on s'ra T",
        "une gang de T", "T joueurs", "T têtes", "tous les T", "ça fait T", "T en me comptant", "T avec moi", "donc T", "T là",
    ],
    without_me=[
        "juste P, pas moi", "seulement P, moi je ne viens pas", "P, moi je regarde", "P mais pas moi", "P sans moi", "inscris P, moi je travaille",
        "P seulement, je vais juste les reconduire",
    ],
    more=[
        "N de plus", "ajoute N", "ajoutez N personnes", "plus N", "+N", "N autres veulent venir", "je peux en amener N autres", "N de plus svp", "y en a N autres qui viennent",
        "pis N de la job aussi", "N amis de plus",
    ],
    fewer=[
        "N de nous peuvent pas", "y en a N qui viennent pus", "N se sont désistés", "N de moins", "moins N", "enlève N", "enlevez-en N", "N peuvent pus venir",
        "on en perd N", "N ont choké", "N des enfants sont malades", "N se désistent", "N annulent",
    ],
    left=[
        "on est juste T finalement", "donc juste T", "on sera plus que T", "on reste T", "maintenant T", "mets T", "change pour T", "T plutôt que O", "T au lieu de O", "pas O, T",
        "c'est T pas O", "T finalement", "non T",
    ],
)  # fmt: skip
_LISTS: Mapping[Language, _Lists] = {"en": _EN, "fr": _FR}


def a_party(language: Language, said: NamesSaid, dice: random.Random) -> Text:
    """An answer to an event that somebody may send, labelled with how many come by it."""
    lists, kind = _LISTS[language], dice.random()
    if kind < 0.6:
        text, count = _with_me(lists, language, dice)
    elif kind < 0.72:
        total = dice.randint(2, MOST_COUNTED)
        text, count = dice.choice(lists.wholes).replace("T", _number(total, language, dice)), total
    else:
        return _changed(lists, language, dice)
    text = dice.choice(lists.leads) + text + _tail(lists, language, said, dice)
    if count > MOST_COUNTED:
        return a_party(language, said, dice)
    return Text(text, ("rsvp-yes",), language, _before(0, dice) if dice.random() < 0.3 else (), count=f"={count}")


def _with_me(lists: _Lists, language: Language, dice: random.Random) -> tuple[str, int]:
    """People one by one, the sender mostly among them, and how many they are."""
    parts = [_part(lists, language, dice) for _ in range(dice.choice((1, 1, 1, 2, 2, 3)))]
    others = _joined([words for words, _ in parts], lists, dice)
    count = sum(many for _, many in parts)
    where = dice.random()
    if where < 0.12:
        return dice.choice(lists.without_me).replace("P", others), count
    if where < 0.75:
        return _joined([dice.choice(lists.me), *(words for words, _ in parts)], lists, dice), count + 1
    return _joined([*(words for words, _ in parts), lists.me[0]], lists, dice), count + 1


def _part(lists: _Lists, language: Language, dice: random.Random) -> tuple[str, int]:
    kind = dice.random()
    if kind < 0.4:
        return dice.choice(lists.ones), 1
    if kind < 0.55:
        return dice.choice(lists.names), 1
    if kind < 0.7:
        return dice.choice(lists.twos), 2
    many = dice.choice((2, 2, 3, 3, 4, 5))
    return dice.choice(lists.groups).replace("N", _number(many, language, dice)), many


def _joined(parts: Sequence[str], lists: _Lists, dice: random.Random) -> str:
    if len(parts) == 1:
        return parts[0]
    return dice.choice(lists.join).join(parts[:-1]) + dice.choice(lists.last) + parts[-1]


def _changed(lists: _Lists, language: Language, dice: random.Random) -> Text:
    """So many more, fewer, or another number, of somebody who is down for an event."""
    kind, many = dice.random(), dice.choice((1, 1, 2, 2, 3))
    down = dice.randint(many + 1, 8)
    number = _number(many, language, dice)
    if kind < 0.35:
        text, count = dice.choice(lists.more).replace("N", number), f"+{many}"
    elif kind < 0.75:
        text, count = dice.choice(lists.fewer).replace("N", number), f"-{many}"
    else:
        total = dice.randint(1, 8)
        text = dice.choice(lists.left).replace("T", _number(total, language, dice)).replace("O", str(down))
        count = f"={total}"
    return Text(text, ("rsvp-change",), language, _before(down, dice), count=count)


def _before(down: int, dice: random.Random) -> tuple[str, ...]:
    served = "rsvp-yes" if down else dice.choice(("events", "rsvp-yes", "places"))
    awaits = "number" if not down and dice.random() < 0.4 else ""
    return marks_of((served,), dice.choice(_TOPICS), awaits, down)


def _tail(lists: _Lists, language: Language, said: NamesSaid, dice: random.Random) -> str:
    tail = dice.choice(lists.tails)
    return filled(tail.replace("{event}", f"{{{dice.choice(_TOPICS)}}}"), said.of(language))


def _number(many: int, language: Language, dice: random.Random) -> str:
    named = _NUMBERS[language]
    return named[many - 1][dice.random() < 0.6] if many <= len(named) else str(many)

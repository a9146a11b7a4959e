"""Why something is closed, in both languages, and whether that is a danger, so that a person has to say when it is over.

What is not in the table is said in the words that were written, and taken for a danger: that is the safe direction.
"""

from collections.abc import Sequence

from clubbot.model.club import ClosureKind
from clubbot.model.messages import Said
from clubbot.texting.keywords import bare

# What it is called in each language, its kind, and the words for it without accents; "flood*" is any word that begins so, "_" a space.
_KNOWN: Sequence[tuple[str, str, ClosureKind, str]] = (
    ("thunder", "orage", "danger", "thunder lightning orage orages eclair eclairs tonnerre"),
    ("ice", "glace", "danger", "ice icy glace verglas"),
    ("flooded", "inondé", "danger", "flood* underwater under_water inond* maree_haute high_tide spring_tide"),
    ("wind", "vent", "danger", "wind* storm* hurricane vent vents tempete ouragan"),
    ("fallen tree", "arbre tombé", "danger", "tree trees branch* limb limbs arbre arbres"),
    ("damage", "dommages", "danger", "damage* broken vandal* bris* casse* endommag*"),
    ("fire", "feu", "danger", "fire smoke feu fumee*"),
    ("snow", "neige", "danger", "snow* neige"),
    ("mowing", "tonte", "planned", "mow* grass tonte tondre"),
    ("event", "activité", "planned", "event tournament league clinic activite activites tournoi ligue evenement"),
    (
        "maintenance",
        "travaux",
        "planned",
        "maintenance repair repairs work* construction travaux entretien reparation reparations",
    ),
)


def understood(words: str) -> tuple[Said, ClosureKind]:
    """The reason as it is told in both languages, and its kind; "no reason given" where there are no words."""
    if not words.strip():
        return Said(en="by the club", fr="par le club"), "danger"
    for english, french, kind, names in _KNOWN:
        if _has_any(bare(words), names):
            return _with_words(words, Said(en=english, fr=french)), kind
    return Said(en=words, fr=words), "danger"


def _has_any(plain: str, names: str) -> bool:
    spaced = f" {plain} "
    return any(f" {name.rstrip('*')}{'' if name.endswith('*') else ' '}" in spaced for name in _split(names))


def _split(names: str) -> list[str]:
    return [name.replace("_", " ") for name in names.split()]


_FRENCH = (
    "le la les du des sur dans glace verglas neige orage orages tonnerre vent vents tempete ouragan tonte tondre travaux entretien inond* "
    "arbre arbres feu fumee* tournoi ligue bris"
)
_ACCENTS = frozenset("éèêàç")


def _with_words(words: str, known: Said) -> Said:
    """The writer's own words in the writer's language, the known ones in the other."""
    french = _has_any(bare(words), _FRENCH) or bool(_ACCENTS & set(words.casefold()))
    return Said(en=known.en, fr=words) if french else Said(en=words, fr=known.fr)

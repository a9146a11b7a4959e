"""Why something is closed, in both languages, and whether that is a danger, so that a person has to say when it is over.

What is not in the table is said in the words that were written, and taken for a danger: that is the safe direction.
"""

from collections.abc import Sequence

from clubbot.model.club import ClosureKind
from clubbot.model.messages import Said
from clubbot.texting import patterns

_KNOWN: Sequence[tuple[str, str, str, ClosureKind]] = (
    (r"thunder|lightning|orages?|eclairs?|éclairs?|tonnerre", "thunder", "orage", "danger"),
    (r"ice|icy|glace|verglas", "ice", "glace", "danger"),
    (r"flood\w*|under ?water|inond\w*|mar[ée]e haute|high tide|spring tide", "flooded", "inondé", "danger"),
    (r"wind\w*|storm\w*|hurricane|vents?|temp[eê]te|ouragan", "wind", "vent", "danger"),
    (r"(?:fallen |downed )?trees?|branch\w*|limbs?|arbres?|branches?", "fallen tree", "arbre tombé", "danger"),
    (r"damage\w*|broken|vandal\w*|bris\w*|cass[ée]\w*|endommag\w*", "damage", "dommages", "danger"),
    (r"fire|smoke|feu|fum[ée]e", "fire", "feu", "danger"),
    (r"snow\w*|neige", "snow", "neige", "danger"),
    (r"mow\w*|grass|tonte|tondre", "mowing", "tonte", "planned"),
    (r"event|tournament|league|clinic|activit[ée]s?|tournoi|ligue|[ée]v[eè]nement", "event", "activité", "planned"),
    (
        r"maintenance|repairs?|work\w*|construction|travaux|entretien|r[ée]parations?",
        "maintenance",
        "travaux",
        "planned",
    ),
)
_REASONS = tuple(
    (patterns.compile(rf"\b(?:{pattern})\b", patterns.IGNORECASE), english, french, kind)
    for pattern, english, french, kind in _KNOWN
)


def understood(words: str) -> tuple[Said, ClosureKind]:
    """The reason as it is told in both languages, and its kind; "no reason given" where there are no words."""
    if not words.strip():
        return Said(en="by the club", fr="par le club"), "danger"
    for pattern, english, french, kind in _REASONS:
        if pattern.search(words):
            return _with_words(words, Said(en=english, fr=french)), kind
    return Said(en=words, fr=words), "danger"


_FRENCH = patterns.compile(
    r"\b(?:le|la|les|du|des|sur|dans|glace|verglas|neige|orages?|tonnerre|vents?|temp[eê]te|ouragan|tonte|tondre|travaux|entretien|inond\w*|arbres?|feu|fum[ée]e|tournoi|ligue|bris)\b|[éèêàç]",
    patterns.IGNORECASE,
)


def _with_words(words: str, known: Said) -> Said:
    """The writer's own words in the writer's language, the known ones in the other."""
    return Said(en=known.en, fr=words) if _FRENCH.search(words) else Said(en=words, fr=known.fr)

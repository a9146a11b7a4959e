"""The name by which a sender introduces himself or herself."""

import re

_SAYS = re.compile(
    r"\b(?:my name(?: is|'s|s)|name's|names|i am|i'm|im|this is|it's|its|call me|put me down as|you can call me|je m'appelle|je m appelle|jm'appelle|mon nom est|mon nom c'est|moi c'est|moi,? c est|ici|c'est|c est|appelez[- ]moi|appelle[- ]moi|mon prénom est|mon prenom est|je suis|je me nomme)\s+"
    r"(?P<name>[^\W\d_][\w'’-]+(?: [^\W\d_][\w'’-]+)?)",
    re.IGNORECASE,
)
_HERE = re.compile(r"(?P<name>[^\W\d_][\w'’-]+)\s+(?:here|ici|speaking|à l'appareil)\b", re.IGNORECASE)
_SIGNED = re.compile(
    r"(?:^|[\s,.-])(?:name|nom|prénom)\s*[:=-]?\s*(?P<name>[^\W\d_][\w'’-]+(?: [^\W\d_][\w'’-]+)?)\s*$", re.IGNORECASE
)
# Words that follow "I'm" or end a name without being one.
_NO_NAME = frozenset(
    [
        "a",
        "an",
        "the",
        "not",
        "in",
        "out",
        "new",
        "here",
        "on",
        "at",
        "going",
        "coming",
        "so",
        "very",
        "just",
        "your",
        "my",
        "interested",
        "looking",
        "hoping",
        "wondering",
        "bringing",
        "from",
        "with",
        "and",
        "but",
        "by",
        "for",
        "to",
        "of",
        "who",
        "is",
        "was",
        "im",
        "sure",
        "down",
        "up",
        "sorry",
        "ready",
        "late",
        "lost",
        "hurt",
        "stuck",
        "good",
        "fine",
        "ok",
        "okay",
        "still",
        "too",
        "also",
        "now",
        "today",
        "tomorrow",
        "un",
        "une",
        "le",
        "la",
        "les",
        "en",
        "de",
        "du",
        "des",
        "pas",
        "ici",
        "nouveau",
        "nouvelle",
        "avec",
        "et",
        "mais",
        "pour",
        "qui",
        "dans",
        "au",
        "aux",
        "votre",
        "mon",
        "ma",
        "je",
        "tu",
        "il",
        "elle",
        "est",
        "again",
        "calling",
        "texting",
        "writing",
        "speaking",
        "the",
        "dad",
        "mom",
        "mum",
        "thanks",
        "please",
        "merci",
        "svp",
        "allo",
        "salut",
        "hello",
        "hi",
        "hey",
        "there",
        "been",
        "new",
        "here",
    ]
)


def name_in(text: str) -> str | None:
    """The name given in a text, as written but with a capital; None where none can be made out."""
    for pattern in (_SAYS, _HERE, _SIGNED):
        for found in pattern.finditer(text):
            kept = _kept(found["name"])
            if kept:
                return kept
    return None


def _kept(words: str) -> str | None:
    good: list[str] = []
    for word in words.split():
        if word.casefold() in _NO_NAME or len(word) > 30:
            break
        good.append(word)
    if len(good) == 2 and not good[1][0].isupper():
        good = good[:1]
    return " ".join(word[0].upper() + word[1:] for word in good) or None

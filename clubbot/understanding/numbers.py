"""How many holes and how many people a text speaks of, in figures or words, English and French."""

import re

_WORDS: dict[str, int] = {
    word: number
    for number, words in enumerate(
        (
            "one un une",
            "two deux",
            "three trois",
            "four quatre",
            "five cinq",
            "six",
            "seven sept",
            "eight huit",
            "nine neuf",
            "ten dix",
            "eleven onze",
            "twelve douze",
        ),
        start=1,
    )
    for word in words.split()
} | {"eighteen": 18, "couple": 2, "both": 2}
_NUMBER = r"(?P<n>\d{1,3}|" + "|".join(sorted(_WORDS, key=len, reverse=True)) + r"|dix huit)"

_HOLES = re.compile(
    rf"\b{_NUMBER} (?:more )?(?:holes?|trous?|paniers?|baskets?)\b|\b(?:quick|play|jouer|faire|the|les?|a|just) (?P<bare>six|6|9|nine|12|douze|18|eighteen|dix huit)\b(?! ?(?:of us|people|h\b|pm|am|:|personnes|joueurs))"
)
_FULL = re.compile(
    r"\b(?:full|whole|entire|complete|all of it|complet|complete|au complet|toute?) ?(?:round|course|18|parcours|partie|tour)?\b"
)
_PEOPLE = re.compile(
    rf"\b{_NUMBER} (?:of us|people|persons?|players?|adults?|guys|friends and i|personnes?|joueurs?|amis et moi)\b"
    rf"|\b(?:we are|we re|were|group of|on est|on sera|nous sommes|nous serons|groupe de|a|us|party of) {_NUMBER.replace('<n>', '<n2>')}\b(?! ?(?:h\b|heures?|am|pm|:|trous?|holes?))"
)
_PLUS = re.compile(
    rf"\b(?:me and|with|plus|moi et|avec|me plus) (?:my )?{_NUMBER} (?:friends?|buddies|mates?|others|kids|amis?|copains?|autres|enfants)\b"
)
_HOLE = re.compile(r"\b(?:hole|trou|basket|panier|tee|number|no|h) ?#? ?(?P<n>\d{1,2})\b|#(?P<m>\d{1,2})\b")
_HOLE_WORD = re.compile(
    r"\b(?:hole|trou|basket|panier) (?P<n>" + "|".join(sorted(_WORDS, key=len, reverse=True)) + r"|dix huit)\b"
)


def number(word: str) -> int:
    """The number that a figure or a word stands for; 18 for "dix huit"."""
    return 18 if word == "dix huit" else int(word) if word.isdigit() else _WORDS[word]


def holes(text: str, all_holes: int) -> int | None:
    """How many holes are to be played; `all_holes` for a full round; None where the text does not say."""
    found = _HOLES.search(text)
    if found:
        return number(found["n"] or found["bare"])
    return all_holes if _FULL.search(text) else None


def people(text: str) -> int | None:
    """How many people play, the sender included; None where the text does not say."""
    found = _PLUS.search(text)
    if found:
        return number(found["n"]) + 1
    found = _PEOPLE.search(text)
    return number(found["n"] or found["n2"]) if found else None


def hole(text: str) -> int | None:
    """The number of the one hole that is spoken of ("hole 7", "trou sept", "#7"); None where none is named."""
    found = _HOLE.search(text)
    if found:
        return int(found["n"] or found["m"])
    found = _HOLE_WORD.search(text)
    return number(found["n"]) if found else None

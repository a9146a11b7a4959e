"""How many holes and how many people a text speaks of, in figures or words, English and French."""

from clubbot.texting import patterns

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
} | {
    "thirteen": 13,
    "treize": 13,
    "fourteen": 14,
    "quatorze": 14,
    "fifteen": 15,
    "quinze": 15,
    "sixteen": 16,
    "seize": 16,
}
_WORDS |= {"seventeen": 17, "eighteen": 18, "couple": 2, "both": 2, "dix huit": 18, "dix sept": 17}
_ORDINALS: dict[str, int] = {
    word: number
    for number, words in enumerate(
        (
            "first premier premiere",
            "second deuxieme",
            "third troisieme",
            "fourth quatrieme",
            "fifth cinquieme",
            "sixth sixieme",
            "seventh septieme",
            "eighth huitieme",
            "ninth neuvieme",
            "tenth dixieme",
            "eleventh onzieme",
            "twelfth douzieme",
        ),
        start=1,
    )
    for word in words.split()
}
_WORD = "|".join(sorted(_WORDS, key=len, reverse=True))
_NUMBER = rf"(?P<n>\d{{1,3}}|{_WORD})"
# What a number counts when one of these follows it: then it is no hour, no day of the month, and no number of players.
COUNTED = (
    r"holes?|holer|trous?|tees?|baskets?|paniers?|loops?|boucles?|years?|yrs?|yo|ans|months?|mois|weeks?|semaines?|days?|jours?|hours?|hrs?|heures?"
    r"|minutes?|mins?|metres?|meters?|m|km|feet|ft|bucks|dollars|euros|piasses|discs?|disques?|throws?|lancers?|shots?|times|fois|tries|places?|spaces|spots|percent"
)
PERSONS = r"of (?:us|them|you|the)|people|persons?|personnes?|players?|joueurs?|joueuses|adults?|adultes|guys|kids|children|enfants?|friends|amis"
_HOUR = r"h\b|am\b|pm\b|a m\b|p m\b|:|st\b|nd\b|rd\b|th\b"

_HOLES = patterns.compile(
    rf"\b{_NUMBER} (?:more |easy |short |quick |autres )?(?:holes?|trous?|paniers?|baskets?|holer)\b"
    rf"|\b(?:quick|play|jouer|faire|the|les?|a|just|all|full) (?P<bare>six|6|9|nine|12|douze|18|eighteen|dix huit)\b(?! ?(?:(?:{COUNTED}|{PERSONS})\b|{_HOUR}))"
)
_FULL = patterns.compile(
    r"\b(?:full|whole|entire|complete) (?:round|course|thing|loop of 18|game|lot|18)\b|\ball of (?:it|them)\b|\ball the holes\b"
    r"|\b(?:partie|parcours|ronde|tour) (?:au complet|complete?|entiere?)\b|\btout (?:le|un) (?:parcours|terrain|tour|18)\b|\btous les (?:trous|paniers)\b|\btoute la partie\b"
)
_PEOPLE = patterns.compile(
    rf"\b{_NUMBER} (?:of us|people|persons?|players?|adults?|guys|friends and i|personnes?|joueurs?|joueuses|adultes|amis et moi)\b"
    rf"|\b(?:we are|we re|were|group of|on est|on sera|on serait|on va etre|nous sommes|nous serons|groupe de|a|us|party of) {_NUMBER.replace('<n>', '<n2>')}\b(?! ?(?:(?:{COUNTED})\b|{_HOUR}))"
)
_PLUS = patterns.compile(
    rf"\b(?:me and|me plus|i m with|with|plus|moi et|moi plus|avec) (?:my |mes |des )?{_NUMBER} (?:other |autres )?(?:friends?|buddies|mates?|others|kids|children|sons|daughters|people|amis?|copains?|copines|autres|enfants|personnes)\b"
)
_ALONE = patterns.compile(
    r"\b(?:just me|only me|alone|on my own|by myself|solo|one player|tout seul|toute seule|seulement moi|juste moi)\b"
)
_PAIR = patterns.compile(
    r"\b(?:me and|with|moi et|avec) (?:my|a|mon|ma|une?) (?:wife|husband|partner|girlfriend|boyfriend|gf|bf|son|daughter|kid|friend|buddy|mate|mom|mum|dad|brother|sister|femme|mari|blonde|chum|conjointe?|fils|fille|ami|amie|copain|copine|frere|soeur|pere|mere)\b"
    r"|\bmy \w+ and (?:i|me|myself)\b|\b(?:ma|mon) \w+ et moi\b"
)
_HOLE = patterns.compile(
    r"\b(?:hole|trou|basket|panier|tee|number|no|numero|(?<!\d )h) ?#? ?(?P<n>\d{1,2})\b(?! ?(?:people|personnes|minutes?|h|am|pm|:|problem)\b)|#(?P<m>\d{1,2})\b"
    r"|\b(?P<th>\d{1,2})(?:st|nd|rd|th|e|er|eme) (?:hole|tee|basket|fairway|trou|panier|depart)\b"
)
_HOLE_WORD = patterns.compile(
    rf"\b(?:hole|trou|basket|panier) (?P<n>{_WORD})\b"
    rf"|\b(?P<th>{'|'.join(_ORDINALS)}) (?:hole|tee|basket|fairway|trou|panier)\b"
)


def number(word: str) -> int:
    """The number that a figure or a word stands for; 18 for "dix huit"."""
    return int(word) if word.isdigit() else _WORDS[word]


def number_or_none(word: str) -> int | None:
    """The number that a figure or a word stands for; None for any other word."""
    return int(word) if word.isdecimal() else _WORDS.get(word)


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
    if found:
        return number(found["n"] or found["n2"])
    if _ALONE.search(text):
        return 1
    return 2 if _PAIR.search(text) else None


def hole(text: str) -> int | None:
    """The number of the one hole that is spoken of ("hole 7", "trou sept", "#7", "the 7th tee"); None where none is named."""
    found = _HOLE.search(text)
    if found:
        return int(found["n"] or found["m"] or found["th"])
    found = _HOLE_WORD.search(text)
    if found is None:
        return None
    return number(found["n"]) if found["n"] else _ORDINALS[found["th"]]

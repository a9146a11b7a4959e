"""The words by which people stop and start texts: the carriers' key words as whole messages, and the same wish said plainly.

Sources: CTIA Messaging Principles (2023) 5.1; US 47 CFR 64.1200(a)(10), words that always count as a revocation; Canadian
common short code guidelines: STOP answered in English, ARRET in French. The word YES starts nothing here, since it
is also how people answer a question.
"""

import unicodedata
from dataclasses import dataclass
from typing import Literal

from clubbot.model.messages import Language
from clubbot.texting import patterns

KeywordKind = Literal["stop", "help", "start"]


@dataclass(frozen=True, slots=True)
class Keyword:
    """A key word read, and the language it is answered in."""

    kind: KeywordKind
    language: Language


_STOP_EN = ("stop", "stopall", "stop all", "unsubscribe", "cancel", "end", "quit", "revoke", "optout", "opt out")
_STOP_FR = ("arret", "arreter", "arrete", "arretez", "desabonner", "desabonnement")
_HELP_EN = ("help", "info")
_HELP_FR = ("aide",)
_START_EN = ("start", "unstop")
_START_FR = ("reprendre",)

KEYWORDS: dict[str, Keyword] = (
    {word: Keyword("stop", "en") for word in _STOP_EN}
    | {word: Keyword("stop", "fr") for word in _STOP_FR}
    | {word: Keyword("help", "en") for word in _HELP_EN}
    | {word: Keyword("help", "fr") for word in _HELP_FR}
    | {word: Keyword("start", "en") for word in _START_EN}
    | {word: Keyword("start", "fr") for word in _START_FR}
)

# Words of courtesy that may stand around a key word: "STOP please", "arret svp", "ok stop now".
_COURTESY = r"(?:please|pls|plz|plse|now|thanks|thx|thank you|ok|okay|svp|stp|merci|maintenant|s ?il (?:vous|te) plait)"
_COURTEOUS = patterns.compile(rf"\b{_COURTESY}\b")
_COURTESY_LAST = patterns.compile(rf"(?: {_COURTESY}){{1,9}}$")

_NOT_LETTERS = patterns.compile(r"[^a-z0-9]+")

# The plain wish, within a short message. Each is a whole idea ("do not text me"), so that "stop by the clubhouse?" is none.
_TEXT = r"(?:text|txt|message|msg|contact|write|bother|spam)"
_TEXTING = r"(?:texting|txting|messaging|msging|contacting|writing(?: to)? me|bothering|spamming|pestering|harassing)"
_TEXTS = r"(?:texts|txts|(?:text )?messages|msgs|sms|spam|texting|messaging)"
_THESE = r"(?: (?:all|any|more|further|of|the|these|those|this|that|your|ur|my))*"
_ME = r"(?:me|us|this number|my (?:number|phone|cell))"
_NOT = "".join(
    rf"(?<!\b{word} )" for word in ("don t", "dont", "do not", "won t", "wont", "never", "did you", "did they")
)
_IMPERATIVE = r"(?<!\bi )(?<!\byou )(?<!\bthey )(?<!\bwhy )"  # "you never text me" is a complaint

_TEXTER = r"(?:m ?(?:ecrire|envoyer|texter|achaler)|me (?:texter|contacter|deranger|spammer))"
_TEXTEZ = r"(?:ecris|ecrivez|textez?|contactez?|derangez?|achalez?)"
_TEXTOS = r"(?:textos?|messages?|msgs?|sms)"
_CES_TEXTOS = rf"(?:(?:de|d|les|ces|vos|tes|aucun) {_TEXTOS}|rien)"
_ARRETEZ = r"(?:(?<!\bavez )(?<!\bavez vous )(?<!\bas )(?<!\bas tu )arretez?|arreter|cessez?|cesser)"
_ENLEVEZ = r"(?:enlev|retir|effac|supprim|ray|ot)(?:e|ez|er)"

_WISHES: dict[Language, tuple[patterns.Pattern, ...]] = {
    "en": tuple(
        patterns.compile(pattern)
        for pattern in (
            rf"{_NOT}\b(?:stop|quit|cease) (?:{_TEXT}|{_TEXTING})\b(?! (?:the|him|her|them|people)\b)",
            rf"{_NOT}\b(?:stop|quit|cease|cancel|end)(?: with| sending| send| getting)?(?: me| us)?{_THESE} {_TEXTS}\b",
            rf"{_NOT}\b(?:stop|quit) sending(?: me| us)?{_THESE}(?: stuff| things| crap| anything)?$",
            rf"{_IMPERATIVE}\b(?:don ?t|do not|never)(?: you)?(?: ever)? {_TEXT} (?:{_ME}|here)\b",
            rf"{_IMPERATIVE}\b(?:don ?t|do not|never)(?: ever)? (?:text|txt|message|msg|contact)(?: again| any ?more)?$",
            rf"{_IMPERATIVE}\b(?:don ?t|do not|never)(?: ever)? send (?:me|us){_THESE}(?: {_TEXTS}\b| anything\b|$)",
            rf"\b(?:don ?t|do not|no longer) (?:want|wish|need)(?: to)?(?: get| receive| have)?{_THESE} {_TEXTS}\b",
            r"\b(?:don ?t|do not|no longer) (?:want|wish) to be (?:texted|messaged|contacted|bothered)\b",
            rf"(?<!\bthere )(?<!\bget )(?<!\bgetting )\b(?:no more|no further|enough){_THESE} (?:{_TEXTS}|text)\b",
            rf"\b(?:take|get|remove|delete) {_ME} (?:off|from|out of){_THESE} (?:{_TEXTS}|system|database|contacts|everything)\b",
            rf"\b(?:take|get|remove|delete) {_ME} (?:off|from|out of){_THESE} (?:(?<= your )|(?<= this )|(?:text|texting|sms|phone|contact|mailing) )lists?$",
            rf"{_NOT}\b(?:lose|delete|remove|forget|erase) (?:my|this) (?:phone |cell )?number\b",
            rf"{_NOT}\b(?:unsubscribe(?: me)?|opt(?:ing)? (?:me )?out)(?:(?: (?:of|from){_THESE}(?: lists?)?)?$| (?:of|from){_THESE} (?:{_TEXTS}|everything|it)\b)",
            r"\b(?:revoke|withdraw) (?:my )?(?:consent|permission)\b",
            r"\bleave me alone\b",
        )
    ),
    "fr": tuple(
        patterns.compile(pattern)
        for pattern in (
            rf"\b{_ARRETEZ} (?:de |d )?{_TEXTER}\b",
            rf"\b(?:{_ARRETEZ}|stop|stoppez) (?:avec )?(?:tous )?(?:les|ces|vos|tes) {_TEXTOS}\b",
            rf"(?<!\bvous )(?<!\btu )(?<!\bvous ne )(?<!\btu ne )\b(?:m ?|me ){_TEXTEZ} (?:plus|pas)\b",
            rf"(?<!\bvous )(?<!\btu )(?<!\bvous ne )(?<!\btu ne )\bm ?(?:envoie|envoyez) (?:plus|pas)(?: {_CES_TEXTOS}\b|$)",
            r"\b(?:textez?|ecrivez|ecris) moi plus$",
            rf"\b(?:ne|veux|ne voudrais|souhaite|desire) plus (?:{_TEXTER}|(?:recevoir |avoir )?{_CES_TEXTOS}|rien recevoir|etre (?:contacte|derange|texte)e?)\b",
            r"\b(?:veux|souhaite) (?:plus|pas) que (?:vous|tu) (?:m ?|me )(?:ecri|envo|text|contact|derang)\w+",
            rf"^(?:(?:bonjour|non|merci|svp|stp) )*(?:plus|pas) (?:de|aucun) {_TEXTOS}$",
            rf"\b{_ENLEVEZ} (?:mon|ce) numero\b",
            rf"\b{_ENLEVEZ}(?: moi)? de (?:tout|vos (?:contacts|listes?|{_TEXTOS})|votre (?:systeme|liste))$",
            rf"\b(?:desabonnez? ?moi|me desabonner)(?: de (?:tout|tous|votre liste|(?:tous )?(?:vos|ces|les) {_TEXTOS}))?$",
            r"\bretire mon consentement\b",
            r"\blaissez? moi tranquille\b",
        )
    ),
}  # fmt: skip

# What makes the wish a smaller or another one where it follows: a single list, some hours only, the number on a disc.
_SMALLER: dict[Language, patterns.Pattern] = {
    "en": patterns.compile(
        r"(?<!\bcare )\babout (?!everything|anything|all\b)|\bon (?!this|my)|\bto stop\b"
        r"|\bdiscs?\b(?! golf)|\b(?:league|doubles|closures?|events?|reminders?|news|newsletter|only|before|after|until|till|unless|when|while|if)\b"
    ),
    "fr": patterns.compile(
        r"\bsur (?!ce|mon)|\b(?:au sujet|a propos|concernant|tout de suite|avant|apres|sauf|quand|pendant|si|tard|tot|souvent)\b"
        r"|\b(?:disques?|ligue|doubles|fermetures?|evenements?|activites?|nouvelles|resultats?|rappels?|attente)\b"
    ),
}  # fmt: skip
_LONGEST_WISH = 30  # words: a longer text tells a story, and a person or the reader should judge it


def bare(text: str) -> str:
    """Lower case, accents off, everything but letters and digits to single spaces."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    unaccented = "".join(letter for letter in decomposed if not unicodedata.combining(letter))
    return _NOT_LETTERS.sub(" ", unaccented).strip()


def keyword(text: str) -> Keyword | None:
    """The key word that the whole message is, once or repeated, any case or punctuation, courtesy left aside."""
    words = bare(text)
    found = KEYWORDS.get(words)
    if found:
        return found
    return KEYWORDS.get(" ".join(dict.fromkeys(_COURTEOUS.sub(" ", words).split())))


def plain_stop(text: str) -> Keyword | None:
    """The wish to get no more texts at all, said in a sentence; None where it is only about one list or something else."""
    words = bare(text)
    if len(words.split()) > _LONGEST_WISH:
        return None
    words = _COURTESY_LAST.sub("", words)
    for language, wishes in _WISHES.items():
        for wish in wishes:
            found = wish.search(words)
            if found and not _SMALLER[language].search(words, found.end()):
                return Keyword("stop", language)
    return None

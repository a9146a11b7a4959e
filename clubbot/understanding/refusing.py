"""Texts that refuse what we made of the one before: "no the other one", "thanks but i meant borrow", "pas ça, le stationnement"."""

from dataclasses import dataclass

from clubbot.texting import patterns
from clubbot.texting.keywords import bare


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """What we read was wrong. `meant` are the words that tell what was meant, empty where none do; `other` where the other of two is."""

    meant: str = ""
    other: bool = False


_POLITE = r"(?:(?:thanks|thank you|thx|merci|ok|okay|oh|ah|um|euh|hm+|sorry|pardon|desole|desolee|oops|oups|hey|lol|haha|well|ben|but|mais|actually|no|nope|nah|non|wait|attends?|attendez|en fait) )*"
_NO = r"(?:no|nope|nah|non|oops|oups|wrong|pardon|sorry)"
_OTHER = patterns.compile(
    rf"^{_POLITE}(?:(?:not|pas) (?:that|this|it|that one|this one|ca|celui la|celle la|lui|elle) )?(?:the |i meant (?:the )?|i mean (?:the )?|je voulais dire (?:l )?|l )?(?:other(?: one)?|autre)(?: (?:one|thing|please|pls|thanks|svp|stp|merci|choice|option))*$"
)
_MEANT = patterns.compile(
    rf"^{_POLITE}(?:i (?:actually |really |just )?(?:meant?(?: (?:about|if))?|(?:was asking|am asking|was talking|asked)(?: (?:about|if|for))?)|im asking(?: about| for| if)?|i m asking(?: about| for| if)?|what i (?:meant?|wanted|asked)(?: to (?:know|ask|say))? (?:is|was)|meant"
    r"|je (?:voulais|veux|voudrais) dire|je (?:parlais|parle)(?: d[eu]s?)?|j parle(?: d[eu]s?)?|c est plutot|plutot|je disais) (?P<meant>.+)$"
)
# A polite way to ask by itself; a correction only after a "no" or a "but".
_WANTED = patterns.compile(
    rf"^(?:{_POLITE})?(?:no|nope|nah|non|but|mais|wait|sorry) (?:i (?:actually |really |just )?(?:wanted to (?:know|ask)|was wondering|want to know|need to know|want|wanted|need)(?: (?:about|if|for))?|je (?:voulais|veux|voudrais|cherche)(?: (?:savoir|parler d\w+))?(?: si)?|je demand(?:e|ais)(?: si)?) (?P<meant>.+)$"
)
# Said of nothing that we misread.
_NO_CORRECTION = patterns.compile(
    r"^(?:it|that|this|so|well|yes|no|to (?:say )?(?:thank|thanks)|thanks|thank you|what i said|every word|no (?:harm|offen[cs]e|disrespect)|merci|oui|business|you|come on|like|pas|anglais|francais|english|french|(?:for )?a friend|(?:pour )?un(?:e)? amie?|seriously|honestly|really)\b"
)
_WRONG = r"(?:it|that|what i (?:meant?|asked|wanted|was asking)(?: (?:for|about))?|right|correct|my question|the question|what i want)"
_NOT_THAT = patterns.compile(
    rf"^{_POLITE}(?:not (?:that|this|it|that one|this one)|(?:that|this|it) ?(?:s not|isn t|isnt|is not|ain t|aint|wasn t|wasnt|was not) {_WRONG}|(?:that|this) ?(?:s|is) (?:wrong|the wrong (?:one|thing|answer))"
    r"|not what i (?:meant?|asked|wanted|was asking)(?: (?:for|about))?|wrong(?: (?:answer|one|thing))?|(?:c est |ce n est |c )?pas (?:ca|cela|celui la|celle la|ma question|la question|la bonne(?: (?:reponse|chose))?)|mauvaise reponse"
    r"|(?:c est |ce n est |c )?pas (?:ca |ce )?(?:que |qu )(?:je (?:veux|voulais|demande|demandais)(?: (?:dire|savoir))?|j ai demande)|you (?:misunderstood|got it wrong|didn t (?:answer|understand))(?: (?:me|my question))?|(?:that|this) (?:doesn t|does not|didn t) answer (?:my|the) question|(?:tu as|vous avez|t as) mal compris|(?:ca|cela) (?:ne )?repond pas a ma question)"
    r"(?: (?:thanks|thank you|merci|sorry|please|pls|svp|though|at all|du tout))*$"
)
_PAUSE = patterns.compile(r"\s{0,9}(?:[,.;:!]+|\s[-–—]+)\s*|\s{1,9}(?:but|mais)\s+")
_OF_TWO = patterns.compile(r"^(?:no |non )?(?:not|pas) (?P<not>[\w ]+?) (?:but|mais|rather|plutot) (?P<meant>[\w ]+)$")
_LONGEST = 18


def refusal(text: str) -> Refusal | None:
    """What a text says against how we read the one before; None where it says nothing of that kind."""
    words = bare(text)
    if not words or len(words.split()) > _LONGEST:
        return None
    if _OTHER.match(words):
        return Refusal(other=True)
    for pattern in (_MEANT, _WANTED, _OF_TWO):
        found = pattern.match(words)
        if found is not None:
            return None if _NO_CORRECTION.match(found["meant"]) else Refusal(meant=as_written(found["meant"], text))
    if _NOT_THAT.match(words):
        return Refusal()
    for pause in _PAUSE.finditer(text):
        rest = text[pause.end() :].strip()
        if rest and _NOT_THAT.match(bare(text[: pause.start()])):
            return refusal(rest) or Refusal(meant=rest)
    return None


def as_written(words: str, text: str) -> str:
    """The end of a text that these plain words are, as it was written."""
    written = text.split()
    ends = (" ".join(written[begin:]) for begin in range(len(written)))
    return next((end for end in ends if bare(end) == words), words)


def said_after_no(text: str) -> str | None:
    """The rest of a text that begins with "no": it mends what we read where it is nothing but a detail."""
    found = patterns.match(rf"^{_NO} (?P<rest>.+)$", bare(text))
    return as_written(found["rest"], text) if found else None

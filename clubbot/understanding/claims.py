"""Plain statements of coming or not: "in for wed", "can't make it", "on sera trois", "Bjorn is going instead of me".

People say these in so few words that a scorer of whole texts takes them for questions about the event they name. Here the sentence
itself is looked at: who says what of himself or herself. A question is no statement, but "can you put me down" is one. Of two
statements in a text the last holds, since that is how people change their minds. Weak words ("I'll be there", "playing") count only
beside an event, or a day that has one. Whatever the club calls its events is "event" here (`mentions.as_event`).
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from clubbot.model.wants import RsvpKind
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.people import People
from clubbot.understanding.people_words import people_words

_SELF = r"(?:i|we|i m|im|we re|i am|we are|i ll|ill|il|we ll|i will|we will|i d|we d|i can|we can|i could|we could|me|us|both|all of us|my \w+(?: \w+)? and (?:i|me)|\w+ and (?:i|me)|me and \w+(?: \w+){0,2})"
_COME = r"(?:come|coming|comin|be there|be thre|be at|attend|attending|make it|join|joining|joinin|play|playing|playin|help|helping|do|go|going|show up|turn up|be in|be coming|be joining|be playing|take part|participate)"
_COMES = rf"(?:(?:will|ll|gonna|going to|can|able to|happy to|hoping to|planning to|plan to|love to|like to|want to|wanna|would|d|just|both|all|also|still|definitely|def|totally|for sure|pretty sure i ll|are|is|am|m|re|r|be|up to|keen to) ){{0,9}}{_COME}"

_STRONG_YES = patterns.compile(
    r"\b(?:signing (?:up )?(?:me|us|my|our)|(?:i d|id|we d|i would|we would|i ll|we ll) (?:like|love|need|have|take) (?:a|an|one|two|three|four|\d|my|our) (?:spot|place|seat)s?|(?:is|s|it s|its|that s) a yes|yes from (?:me|us)|c est (?:un )?oui|count (?:me|us|my|our|the|both|in|\w+ and (?:i|me))\b(?!.* out)|(?:put|pencil|mark|write|jot) (?:me|us|him|her|them|my|our|the|\w+ and (?:i|me)|me and \w+|both)\b(?!.*\b(?:off|maybe|my place|my spot)\b)|sign (?:me|us|my|our|him|her|the)\b(?! up for (?:news|texts))|sing me up|register (?:me|us|my|our)|enrol+ (?:me|us|my)"
    r"|(?:save|reserve|book|hold|keep|grab) (?:me|us|a|one|two|three|four|\d|my|our)\b|add (?:me|us) (?:to|for|in|on)\b"
    r"|(?:i m|im|i am|we re|we are|me|r|are|am|both|us|all|of us|all of us|friend|wife|husband|kids?|grandad|grandpa|dad|mom|mum|son|daughter|boys|girls|they re) in(?= (?:for|on|this|next|wed|thu|sat|sun|mon|tue|fri|too|please|pls|again|comma|as)|$)|imin\b|(?:i m|im|we re) down(?= (?:for|$))"
    r"|(?:^|comma |ok |okay |yes |yeah |yep |so |then |also |still |both |all )in (?:for|on)\b|^in$|(?:^|comma |but |mais |and |et )(?:yes|yep|yeah|yup|yas|ok|okay|sure|oui|ouais|ok oui) (?:for|to|pour|a)\b"
    r"|wouldn t miss|would not miss|wouldnt miss|(?:yes|yep|yeah|ok|sure) (?:put|sign|count|save|book)\b"
    r"|(?:je|j|jme|m) (?:veux |voudrais |voudrai |aimerais |souhaite |viens |vais |vas )?m inscri\w*|(?:je|j) (?:voudrais|veux|aimerais|souhaite\w*) (?:m inscrire|nous inscrire|inscrire|reserver|participer|venir|etre la)|inscri\w* (?:moi|nous|ma|mon|mes|les|toute|un|une|deux|trois|\d)|inscrivez|incris|incrivez|(?:mets|met|mettez|compte|comptez|ajoute|ajoutez|note|notez|marque|marquez)[ ](?:moi|nous|sur moi|sur nous)\b"
    r"|(?:reserve|reserver|reservez|garde|gardez|gardes)[ ](?:moi|nous|une|deux|trois|quatre|\d|pour|la|ma|une place)\b|(?:suis|chu|chui|chuis|jsuis|sommes|est|on est) (?:partante?s?|dedans|game|des votres)|partante?s? pour|j ?embarque|on embarque|j en suis|comptez sur (?:moi|nous)|compte sur (?:moi|nous))"
)
_WEAK_YES = patterns.compile(
    rf"\b{_SELF} {_COMES}\b(?! (?:anything|something|what|you|it\b|how|wrong|to do))|^(?:def|deffo|definitely|totally|yes|yep|yeah|ok|so|hi|hey|hello|sure)? ?{_COMES}\b|\bcomma {_COME}\b|\bsee (?:you|ya|u|y all|everyone|you all|you guys|you folks)\b|\bbe there\b|\bcoming (?:on|to|for|this|next|w|with|mon|tue|wed|thu|fri|sat|sun)\b|\bmy \w+ (?:\w+ )?(?:will|is going to|wants to|would like to|would love to|is|are) (?:come|coming|join|attend|play|playing|there)\b"
    r"|\b(?:bringing|bring) (?:my|a|the|two|three|\d|along)\b|\b(?:works|good) for (?:me|us)\b|\b(?:i m|im|we re|i ll|ill|we ll|i will|we will) (?:\w+ )?there\b|\bi can do\b|\bi ll do\b|^(?:me|us|moi|nous|myself)\b"
    r"|\b(?:je|j|jm|on|nous|moi|j y|jy|on y|nous y|tu peux) ?(?:y |le |la |me |va |vais |vas |veux |voudrais |peux |pourrais |pourrai |compte |pense |serai |sera |serons |suis |est |ferai ){0,9}(?:aimerait|aimerions|aimerais) (?:faire|venir|participer|jouer|essayer|etre|aider)|(?:je|j|on|nous|moi|j y|on y) ?(?:y |va |vais |serai |sera |serons |suis |est ){0,9}(?:viens|vient|venir|viendrai|viendra|viendrons|viendrait|venons|vien|viendre|serai|sera|serons|serais|etre la|etre present|participe\w*|joue|jouerai|jouer|arrive|la|present|presente|aide|aiderai|aider|fais|fait|ferai|vais|va|irai|ira|irons|pointe)\b"
    r"|\b(?:jviens|jvien|jvais|jvas|jserai|jsrai|chu|chui|chuis|jsuis|jsui) ?(?:etre |venir )?(?:la|present|presente|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|venir|au|a)?\b|\bon (?:sera|va etre|est|va|sera la)\b|\bca fait \w+ en tout\b|\b(?:nous sommes|on est) (?:une|un)\b"
)
_NO = patterns.compile(
    r"\b(?:(?:is|s|it s|its|that s) a no\b|no from (?:me|us)|c est (?:un )?non\b|(?:do|go|carry on|manage) without (?:me|us)|sans (?:moi|nous)\b|pull(?:ing)? out\b|(?:can ?t|cant|cannot|can not|cnat|couldn t|won ?t|wont|will not|shan t|unable to|not able to|not gonna|not going to|m not|am not|re not|are not|isn t|not) (?:\w+ )?(?:be (?:able|there|at|in|coming|playing|joining)|make|mkae|come|coming|go|going|attend|attending|play|playing|help|do (?:it|the|this|mon(?:day)?\b|tue|wed|thu|fri(?:day)?\b|sat|sun|event|tomorrow|tonight)|join|joining|there|work)"
    r"|(?:can ?t|cant|cannot|won ?t) (?:mon|tue|wed|weds|thu|thurs|fri|sat|sun|tonight|tomorrow|anymore|any more|this|after all|comma)|\bcan ?t$|cant$"
    r"|count (?:me|us) out|(?:i m|im|we re|i am|we are) out\b|out for\b|(?:have to|gotta|got to|going to|gonna|ll|will|must|should) (?:pass|skip|miss|sit)|i pass\b|skip(?:ping)? (?:the|event|this|mon(?:day)?\b|tue|wed|thu|fri(?:day)?\b|sat|sun|it)|(?:take|took|scratch|remove|drop|cross|strike|pull|get|leave) (?:me|us|my name|our names?)(?: name)? (?:off|from|out|of)|scratch (?:me|us)|cancel (?:me|us|my|our|mon|tue|wed|thu|fri(?:day)?\b|sat|sun|event|the|for)|drop(?:ping)? out|bail(?:ing)?|something (?:came|has come|s come|come) up|no (?:good|can do|go) for (?:me|us)|not (?:this|for (?:me|us))|won ?t (?:work|be|do)|doesn ?t work|don t expect|(?:pls|please) (?:free|release) (?:up )?(?:my|our)|free up (?:my|our)|neither of us|none of (?:the )?(?:\w+ of )?us|won ?t be (?:coming|there)|(?:be|am|m) away|sitting (?:this|it) (?:one )?out"
    r"|(?:peux|peut|pourrai|pourra|pourrons|pouvons|puis|pourrais|pourrait|peus|vais|va|suis|sera|serai|serons|allons) (?:malheureusement |finalement |vraiment )?(?:pas|pu|plus|point)\b(?! (?:sur|certain|sure|encore))|(?:viens|vient|viendrai|viendra|viendrons|venons|irai|ira|participe|participerai|joue|jouerai|etre|etes|sera) (?:pas|pu|plus|point)\b|pas (?:la|dispo|disponible|capable|libre|venir)\b|(?:ca |ce )?(?:marche|fonctionne|fait|adonne|marchera) (?:pas|pu|plus|point)\b|(?:enleve|enlevez|retire|retirez|raye|rayez|efface|effacez|oublie|oubliez|ote|otez|desinscri\w*)[ ](?:moi|nous|mon nom|ma|notre)|annul\w+ (?:ma|mon|pour|notre|moi|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|mes)|j annule|on annule|c est non|non pour|je passe mon tour|on passe notre tour|aucun\w* de nous|absente?s?\b|un empechement|empechee?s? d|impossible (?:pour moi|de|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche)|(?:je|on) (?:dois|doit) annuler|je dois (?:me )?(?:desister|passer))"
)
_MAYBE = patterns.compile(
    r"\b(?:maybe|mayb|mebbe|might|may (?:come|join|be|make|play|go)|perhaps|possibly|poss|not (?:100 )?sure|not 100|unsure|50 50|fifty fifty|probably|prob|probs|proly|probaly|likely|tentative\w*|depend(?:s|ing)|if (?:i|we|my|the|it|work|nothing|all|he|she|they)\b|on the fence|toss up|could be|hoping to|hope to|try(?:ing)? to|will try|ll try|not certain|undecided|we ll see|we will see|a perhaps|pencil\w*|thinkin(?:g)? (?:about|of)|hold me to|(?:has|have|need|got) to (?:ask|check|see)|say yes first|waiting on|(?:ll|will) confirm|to be confirmed|tbc|toying with)\b"
    r"|\b(?:peut etre|peutetre|peut et|ptet|p etre|p e|ptetre|pt et|possible(?:ment)? qu\w*|il est possible|c est possible que|pas (?:encore )?(?:sure?s?|certaine?s?)|on verra|je verrai|ca depend|dependant|depend|si (?:je|on|mes|mon|ma|le|la|les|il|elle|jamais|tout|j)\b|probablement|prob|je vais essayer|j essaie|on va essayer|indecis\w*|hesit\w+)\b"
)
_NOT_UNDECIDED = patterns.compile(
    r"\b(?:might|may|could|peut etre|will|ll|probably|prob) (?:be |arrive |etre |arriver )?(?:a (?:bit|little|few) |\d+ ?\w* |un peu |en )?(?:late|retard|10|15|5|20)\b|\bif (?:i may|that s ok|thats ok|that is ok|it s ok|you don t mind|possible|there s room|theres room|there is room|there are)|\bsi (?:c est possible|possible|vous voulez|ca va|il reste|y reste)\b|\bif (?:i|we) (?:need|can bring|could bring)"
)
_CHANGES = patterns.compile(
    r"\b(?:make (?:it|that|us|me|my|our|mon|tue|wed|thu|fri|sat|sun|event)|change|chnage|changing|update|switch|bump|correct|actually|now|instead|rather than|not \d|not (?:one|two|three|four|five|six)|after all|meant|mean|less|fewer|more|another|extra|add|drop|dropped|no longer|isn t|anymore|any more|changer?|changez|modifi\w+|corrig\w+|mets? (?:\d|un|une|deux|trois|quatre|cinq|six)|rendus?|asteure|maintenant|finalement|au lieu|plutot|pas (?:\d|un|deux|trois|quatre)|de plus|de moins|rajout\w*|ajout\w+|enlev\w+|voulais dire|avais dit|s ajoute|comme prevu|en fait|apres tout|juste|instead of)\b"
)
_ONLY_PEOPLE = patterns.compile(
    r"\b(?:me|us|i|moi|nous|my|our|mon|ma|mes|the|a|an|and|n|plus|with|w|et|pis|avec|for|pour|on|at|to|au|a|la|le|les|du|de|des|l|d|this|next|night|evening|soir|matin|morning|please|pls|plz|svp|stp|merci|thanks|thx|hi|hey|hello|salut|bonjour|allo|comma|sunday s|thing|yes|oui|ok|in all|all|total|en tout|of|kids?|friends?|wife|husband|partner|blonde|chum|chums|ami|amis|amie|amies|mere|pere|mom|mum|dad|son|daughter|fils|fille|enfants?|gars|brother|sister|frere|soeur|buddy|buddies|twins|boys?|girls?|baby|people|personnes?|adults?|cousine?|voisine?|\d{1,2}(?:th|st|nd|rd|er)?|one|two|three|four|five|six|un|une|deux|trois|quatre|cinq|both|monday|tuesday|wednesday|wed|weds|thursday|thu|thurs|thur|friday|fri|saturday|sat|sunday|sun|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|tomorrow|tonight|demain|june|july|august|september|juin|juillet|aout|septembre)\b"
)
_QUESTION = patterns.compile(
    r"\?\s*$|^(?:and |so |but |also |hi |hey |hello |et |mais |bonjour |salut |comma ){0,9}(?:can i|can we|could i|could we|may i|may we|is|are|do|does|did|will there|will it|would there|what|whats|when|whens|where|wheres|how|hows|who|whos|whose|which|why|any|should|has|have you|still|est ce|y a|a t|ou est|ou|quand|comment|combien|qui|quel|quelle|quels|peut on|puis je|peut tu|faut|c est (?:ou|quand|combien|quoi|plein|encore)|avez vous|as tu|reste t|il reste|pourquoi)\b"
    r"|\b(?:comment (?:je|on|ca|faire|c est)|qu est ce|est ce qu|c est quoi|c est combien|combien (?:de|c est|ca)|obligatoire|je me demand\w+|wondering (?:if|whether|how|what)|wanted to (?:know|ask)|i d like to know|combien|any idea|tell me|dites moi|savoir|(?:chu|suis|est|sont|va|vas|es|peux|peut|ya|y a) (?:tu|je|t il|t on)|pouvez vous)\b"
)
_ASKS_US = patterns.compile(
    r"\b(?:can|could|would|will|pls|please) (?:you|u|ya|someone) (?:please )?(?:put|sign|sing|add|save|count|hold|reserve|book|register|pencil|mark|take|remove|scratch|cancel|change|make|keep|free)\b|\b(?:pouvez vous|peux tu|pourriez vous|pourrais tu|tu peux|vous pouvez) (?:m|me|nous|mettre|inscrire|ajouter|enlever|garder|reserver|changer|noter)\b|\bcan (?:\w+ )?have my (?:place|spot)\b"
)
_OTHERS_ASKED = patterns.compile(
    r"\b(?:who s|whos|who is|how many|anyone|anybody|is anyone|are people|is \w+|are \w+) (?:coming|going|playing|in|there)\b|\bqui (?:vient|va|sera|y va)\b"
)


_MARK = "comma"
# One of a party stays away, and the others come.
_LEAVES = patterns.compile(
    r"\b(?:so|just|only|keep|leaves|leaving|make|dropped|drops|drop|alone|seule?|one less|less|fewer|donc|juste|garde|gardez|reste|plus que|de moins|avais dit|said|had)\b"
)
_NOBODY = patterns.compile(
    r"\b(?:none of (?:the )?(?:\w+ of )?us|neither of us|nobody of us|aucune? de nous|ni l un ni l autre)\b"
)
# A parent signs the children up and stays away himself.
_SIGNS_OTHERS = patterns.compile(
    r"\b(?:put|sign|add|book|register|enrol+|inscris|inscrivez|mets|mettez) (?:my|our|him|her|them|the|ma|mon|mes|nos|les|un|une|\d)\b"
)


@dataclass(frozen=True, slots=True)
class Claim:
    """What is stated in the words `said`, and the rest of the text, which may ask something else. `weak` where an event or a day with
    one must bear it out.
    """

    kind: RsvpKind
    said: str
    rest: str
    weak: bool


@lru_cache(maxsize=1024)
def marked(text: str) -> str:
    """The plain form of a text with a word where a clause ends, "+" and "&" written out."""
    spelled = patterns.sub(r"\(\d+\)", " ", text)  # "my daughter Ella (13)"
    spelled = patterns.sub(r"\s*\+\s*", " plus ", spelled)
    spelled = patterns.sub(r"\bw/ ?", "with ", spelled.replace("&", " and "), flags=patterns.IGNORECASE)
    # Where a clause ends matters: "only 2, Jake has exams". A word stands for the mark, since the plain form keeps none.
    plain = plain_for_dates(patterns.sub(r"[,;!?]+|\.(?!\d)", f" {_MARK} ", spelled))
    return " ".join(_without_odds(plain.split()))


def _without_odds(words: Sequence[str]) -> Iterator[str]:
    """Without "50 50", "30 percent", and numbers that are taken back: "not 3 of us"."""
    at = 0
    while at < len(words):
        here = words[at : at + 4]
        number = [one.isdigit() or one in people_words().numbers for one in here]
        if here[:2] == ["50", "50"] or (here[0].isdigit() and here[1:2] == ["percent"]):
            at += 2
        elif len(here) > 3 and here[0] in {"not", "pas", "plus"} and number[1] and here[2:] == ["of", "us"]:
            at += 4
        else:
            yield words[at]
            at += 1


def claim(text: str, plain_of: Callable[[str], str], people: People, *, about_event: bool) -> Claim | None:
    """The statement in a text, None where it makes none. `about_event` tells that the text names an event, or a day with one."""
    stated: list[tuple[str, str]] = []
    rest: list[str] = []
    for sentence in _sentences(text):
        plain = plain_of(sentence)
        asks = _QUESTION.search(plain if "?" not in sentence else f"{plain}?") is not None
        if (asks and not _ASKS_US.search(plain)) or _OTHERS_ASKED.search(plain):
            rest.append(sentence)
        else:
            stated.append((sentence, plain))
    whole = " comma ".join(plain for _, plain in stated)
    if not whole:
        return None
    found = _kind(whole, people, about_event)
    if found is None:
        return None
    said = " ".join(sentence for sentence, _ in stated)
    return Claim(kind=found[0], said=said, rest=" ".join(rest), weak=found[1])


def asks(plain: str) -> bool:
    """Whether a plain part of a text asks something, and not for a place."""
    return _QUESTION.search(plain) is not None and _ASKS_US.search(plain) is None


def _kind(plain: str, people: People, about_event: bool) -> tuple[RsvpKind, bool] | None:
    if people.stand_in is not None:
        return "rsvp-change", False
    if _NOBODY.search(plain):
        return "rsvp-no", False
    if people.corrected:
        return "rsvp-change", not about_event
    refused = [found.span() for found in _NO.finditer(plain)]
    no = max((start for start, _ in refused), default=-1)
    yes, weak_yes = _last(_STRONG_YES, plain, refused), _last(_WEAK_YES, plain, refused) if about_event else -1
    counted = people.party.total is not None or people.party.more is not None or bool(people.said.out)
    others_leave = no >= 0 and _LEAVES.search(plain) is not None
    if counted and yes < 0 and (others_leave or (no < 0 and _CHANGES.search(plain))):
        return "rsvp-change", not about_event and people.party.more is None
    if about_event and not _NOT_UNDECIDED.search(plain) and _last(_MAYBE, plain, []) > max(yes, no):
        return "rsvp-maybe", True
    if no > max(yes, weak_yes) and not _SIGNS_OTHERS.search(plain):
        return _after_no(plain, no)
    if yes >= 0:
        return "rsvp-yes", False
    many = (people.party.total or 0) > 1
    if weak_yes >= 0 or (
        about_event and no < 0 and (many or ((counted or people.party.unclear) and _nothing_else(plain)))
    ):
        return "rsvp-yes", True
    return None


def _after_no(plain: str, place: int) -> tuple[RsvpKind, bool]:
    """Not then, but another day instead."""
    tail = plain[place:]
    if patterns.search(r"\b(?:instead|plutot|a la place)\b", tail) and patterns.search(
        r"\b(?:next|mon(?:day)?\b|tue|wed|thu|fri(?:day)?\b|sat|sun|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|semaine|prochain)",
        tail,
    ):
        return "rsvp-yes", True
    return "rsvp-no", False


def _last(pattern: patterns.Pattern, plain: str, within: Sequence[tuple[int, int]]) -> int:
    """Where the last of these words begin, leaving out what lies `within` other words: "not gonna be there"; -1 where there are none."""
    starts = [found.start() for found in pattern.finditer(plain)]
    return max((one for one in starts if not any(begin <= one < end for begin, end in within)), default=-1)


def _nothing_else(plain: str) -> bool:
    """Whether a text is only people and a day: "me and grandad sunday"."""
    left = _ONLY_PEOPLE.sub(" ", plain).split()
    return len(left) <= 2


_CUT = patterns.compile(
    r"(?<=[?!;])\s*|(?<=[a-zA-Z0-9)\]])\.+\s+|\n+|,\s*+(?=(?:can|could|is|are|do|does|where|what['’]?s?|when|how|who|any|still|may|je peux|on peut|pouvez|ya|y['’]?a|peux|faut|est-ce|y a|où|combien|quand|c['’]est (?:encore|où|combien|quoi)|est-ce|peut-on|comment|avez|as-tu)\b)"
    r"|(?<!\s)\s++(?=(?:can (?:i|we) (?:borrow|bring|park|rent|start|pay|come early|use)|do (?:i|we) (?:need|have)|is there|are there|where (?:is|do|can)|what time|how much)\b)",
    patterns.IGNORECASE,
)


def _sentences(text: str) -> list[str]:
    return [piece.strip() for piece in _CUT.split(text) if piece and any(letter.isalnum() for letter in piece)]

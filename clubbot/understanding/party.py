"""How many people a text says are coming, the sender included, English and French; and who comes in the sender's place.

Three ways of saying it, looked for in this order: the whole number ("3 of us", "make it 4", "on sera deux"), a change to it ("one
more", "un de moins"), and the people one by one ("me, my wife and our two kids", "avec deux chums"). Of whole numbers said one after
the other the last counts, since that is how people correct themselves. A number that counts something else (holes, years,
hours, the 12th) is none of people. Whatever the club calls its events is "event" here (`mentions.as_event`), so that "2 for chain gang" is
read as "2 for the event".
"""

from dataclasses import dataclass
from functools import lru_cache

from clubbot.model.wants import Party
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.numbers import COUNTED, number

_NUMBERS = "one two three four five six seven eight nine ten eleven twelve un une deux trois quatre cinq sept huit neuf dix onze douze"
_N = rf"(?P<n>\d{{1,4}}|{'|'.join(_NUMBERS.split())})"
_M = rf"(?:\d{{1,4}}|{'|'.join(_NUMBERS.split())})"
# What makes a number something else than people.
_NOT_OTHER = (
    rf"(?! ?(?:{COUNTED.replace('|places?', '').replace('|spaces', '').replace('|spots', '')}|st|nd|rd|th|er|e|eme|h\d*|am|pm|a m|p m|o clock|year|yr|"
    r"dogs?|chiens?|bags?|sacs?|cars?|january|february|march|april|may|june|july|august|september|october|janvier|fevrier|mars|avril|mai|juin|juillet|aout|septembre|octobre|handicap|cad|loops?)\b)(?! ?[:$])(?! \d)"
)
_SEATS = r"(?:places?|spots?|spaces?|seats?|tickets?|slots?|entries|names|inscriptions?)"
_HEADS = r"(?:pe?o?ple|pepole|poeple|peopel|persone?s?|personn?es?|persons?|ppl|players?|pers|joueurs?|joueuses|of us|of em|heads|golfers|bodies)"
_BE = r"(?:we are|we re|were|we ll be|we will be|we would be|we d be|will be|there are|there s|there will be|there ll be|gonna be|going to be|be|that s|thats|that makes|makes|its|it s|it is|it ll be|now|are)"
_ON = r"(?:on est|on sera|on serait|on va etre|on vient|on viendra|on viendrait|on arrive|on y sera|on s en vient|on y va|on sera finalement|on est finalement|nous sommes|nous serons|serons|ca fait|ca va faire|ca fera|c est|fait|sera)"
_HOW = r"(?: (?:just|only|all|now|still|actually|probably|maybe|prob|likely|about|finally|a|juste|seulement|plutot|peut etre|finalement|maintenant|les|the|down to|back to|up to|plus que|rendus?)){0,9}"
_PUT = r"(?:put|sign|mark|count|book|reserve|save|hold|keep|register|mets|met|mettez|met|inscris|inscrivez|inscrire|reserve|reservez|reserver|garde|gardez|garder|compte|comptez|note|notez|faut|besoin de)"

_PAIR = r"(?:(?<!they )(?<!them )(?<!want )both(?! of them)|the two of us|the 2 of us|us two|us both|two of us|nous deux|tous les deux|toutes les deux|les deux|nous 2|us 2|the pair of us)"
_ALONE = patterns.compile(
    r"(?<!not )(?<!pas )\b(?:on his own|on her own|but keep me|just keep me|keep just me|mais garde moi|garde juste moi|just me|only me|just myself|only myself|just the one|just 1|just one|solo|on my own|by myself|alone|me alone|me only|just for me|only for me|moi seul|moi seule|tout seul|toute seule|juste moi|seulement moi|rien que moi|juste pour moi|que moi|just going to be me|just gonna be me|just be me|just be myself|plus que moi|en solo|party of one)\b"
)
# The whole number. Where two are compared, the one that holds.
_INSTEAD = patterns.compile(
    rf"\b{_N}(?: {_HEADS})?(?: \w+){{0,3}}? (?:not|instead of|rather than|pas|au lieu de|au lieu d|plutot que|et non|et pas|non pas|and not)(?: the)? {_M}\b{_NOT_OTHER}"
    rf"|\b(?:not|pas|instead of|au lieu de|rather than) {_M}(?: {_HEADS})?(?: but| mais| more like| it s| its| make it| c est| on est| on sera| we re| we are| we ll be)? {_N.replace('<n>', '<n2>')}\b{_NOT_OTHER}"
    rf"|\b(?:from|de) {_M}(?: {_HEADS})? (?:to|down to|up to|a) {_N.replace('<n>', '<n3>')}\b{_NOT_OTHER}"
)
_TOTAL = patterns.compile(
    rf"\b(?:{_BE}|{_ON}){_HOW} (?:a )?{_N}\b{_NOT_OTHER}(?! (?:more|extra|less|fewer|other|others|new|de plus|de moins|friends?|kids?|buddies|guests?|autres?)\b)"
    rf"|(?<!add )(?<!ajoute )(?<!ajouter )\b{_N.replace('<n>', '<n2>')} (?:{_HEADS})\b(?! (?:more|extra|less|with me|of my|de plus|de moins|en plus|en moins))"
    rf"|\b{_N.replace('<n>', '<n3>')} (?:in total|total|in all|all together|altogether|all told|all in|en tout|au total|en gros|tout compris)\b"
    rf"|\b(?:make|change|switch|update|bump|move|set|drop|knock|cut|changer|change|modifie|modifier|passe|passer|monte|monter|baisse|descends|corrige|corriger|mettre|mets)(?: (?:that|it|this|us|me|my|our|the|mine|ca|le|la|nous|moi|mon|ma|notre|rsvp|sign up|signup|booking|reservation|inscription|number|numbers|count|party|spot|nombre|for|pour|de|event)){{0,9}}(?: down| up)?(?: to| a| for| pour| as)?{_HOW} {_N.replace('<n>', '<n4>')}\b{_NOT_OTHER}(?! (?:more|extra|less|fewer|other|new|de plus|de moins|friends?|kids?|autres?)\b)"
    rf"|\b(?:party|group|family|crew|team|carload|gang|bunch|foursome|famille|groupe|equipe|gang|bande) (?:of|de){_HOW} {_N.replace('<n>', '<n5>')}\b{_NOT_OTHER}"
    rf"|\b{_PUT}(?: (?:me|us|my|our|the|in|on|up|down|family|fam|nous|moi|on|for|pour|names|list|sur|la|liste|crew|gang|whole|all)){{0,9}}(?: for| pour| at| a)? {_N.replace('<n>', '<n6>')}\b{_NOT_OTHER}(?! (?:more|extra|less|fewer|other|others|new|de plus|de moins|autres?|friends?|kids?|buddies|guests?|children|amis?|amies?|enfants?|chums?)\b)"
    rf"|\b{_N.replace('<n>', '<n7>')} {_SEATS}\b(?! (?:left|more|still|open|free|de plus|restantes?|libres?))"
    rf"|\b(?:tous|toutes) les {_N.replace('<n>', '<n15>')}{_NOT_OTHER}"
    rf"|\b(?:us|nous|the|all|les) {_N.replace('<n>', '<n8>')}(?= (?:of us|are|will|can|come|want|on|vont|viennent|serons|sommes|pour|for|coming|in|comma|$)|$){_NOT_OTHER}"
    rf"|\b(?:in|coming|come|down|going|us|up|venir|viens|inscription|inscrire|table|rsvp|oui|yes|yep|sure) (?:for|pour|with|a) {_N.replace('<n>', '<n9>')}\b{_NOT_OTHER}(?! (?:friends?|kids?|others?|people|buddies|guests?|mates?|more|amis?|amies?|enfants?|autres?|chums?|of my|de mes|\w+s)\b)"
    rf"|(?:^|comma ){_N.replace('<n>', '<n17>')} (?:from|of|pers|places?|spots?|people|adults?|kids?|ladies|friends?|de|du)?(?: \w+){{0,5}} (?:for|pour|pr) (?:the |this |next |la |le |l )?(?:event|monday|tuesday|wednesday|thursday|friday|saturday|sunday|mon|tue|tues|wed|weds|thu|thurs|fri|sat|sun|tonight|tomorrow|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|demain)\b"
    rf"|(?:^|(?<!plus)(?<!avec)(?<!with) ){_N.replace('<n>', '<n10>')} (?:for|pour|pr) (?:the |this |next |la |le |l |ce |cette )?(?:event|monday|tuesday|wednesday|thursday|friday|saturday|sunday|mon|tue|tues|wed|weds|thu|thurs|fri|sat|sun|tonight|tomorrow|lundi|mardi|mercredi|jeudi|vendredi|samedi|dimanche|demain|ce soir)\b"
    rf"|\b(?:meant|mean|voulais dire|veux dire|vx dire|disais)(?: to say| for)? {_N.replace('<n>', '<n13>')}\b{_NOT_OTHER}"
    rf"|\b(?:to|at|a) {_N.replace('<n>', '<n14>')}(?= (?:for|pour|people|please|pls|svp|stp)\b){_NOT_OTHER}"
    rf"|\ba (?P<n16>deux|trois|quatre|cinq|six|[2-6])\b{_NOT_OTHER}(?! (?:heures?|trous?|minutes?))"
    rf"|\bx ?{_N.replace('<n>', '<n11>')}\b(?! ?\w)"
    rf"|\b(?:so|then|now|only|just|actually|no|sorry|wait|hang on|hold on|oops|comma|leaves|leaving|donc|alors|non|plutot|oups|excuse|scuse|desole|attends|reste|restera|plus que|juste|seulement|finalement) (?:comma )?(?:it s |its |we re |that s |us |c est |on est |on sera )?(?:just |only |juste )?{_N.replace('<n>', '<n12>')}(?= (?:comma|now|then|instead|finally|finalement|please|pls|thanks|svp|stp|merci|maintenant|instead|for|pour|of us|left|on)\b|$)"
)
_MARK = "comma"
_ONE = patterns.compile(r"1|one|une?")
_ODDS = patterns.compile(r"\b50 50\b|\b\d+ percent\b")
_TAKEN_BACK = patterns.compile(rf"\b(?:not|pas|plus) {_M} of us\b")
_ONE_MORE = patterns.compile(
    rf"\b(?:{_N}(?: {_HEADS})? (?:more|extra|additional|de plus|additionnelle?|autres? de plus|more people|more person|en plus|supplementaires?)"
    rf"|(?:add|adding|ajoute|ajouter|ajoutez|plus|bring|bringing) (?:another|an extra|one extra|encore) ?(?P<n2>\d|one|two|une?|deux)?"
    rf"|(?:another|an extra|one other|encore) (?:person|one|friend|player|spot|place|seat|guest|buddy|ami|amie|personne|joueur|kid)"
    rf"|(?:my|mon|ma|a|un|une) \w+ (?:s ajoute|se joint|is joining|wants in|wants to join|wants to come too|is coming too|comes too|vient aussi)"
    rf"|(?:add|ajoute|ajouter|ajoutez|rajoute|rajoutes|rajouter|rajoutez)(?: moi| us| me| en){{0,9}} {_N.replace('<n>', '<n3>')}{_NOT_OTHER})\b"
)
_DROPPED = patterns.compile(
    rf"\b{_N}(?: of (?:us|them|my \w+)| d entre nous| person| personne| friend| ami)?(?: qui| who)? (?:has |have |just |a |ont |is |are |of them )?(?:dropped|drops|drop out|can t|cant|cannot|bailed|backed out|cancell?ed|isn t|not coming|is out|won t|wont|annule|ne vient|ne peut|peut pas|peut pu|vient pas|vient pu|viendra pas|s est desiste)"
)
# What it was before: counts only together with what has changed since.
_WAS = patterns.compile(
    rf"\b(?:we were|i was|were|was|said|told you|had|on etait|j avais dit|j ai dit|etait|etions|avait|down for|signed up for|inscrite?s? pour|inscrite?s? a) (?:down |for |a |pour |as ){{0,9}}{_N}\b{_NOT_OTHER}"
)
_ONE_LESS = patterns.compile(
    rf"\b(?:{_N} (?:less|fewer|de moins|en moins)|(?:minus|moins|drop|remove|enleve|enlever|retire|retirer|take off) {_N.replace('<n>', '<n2>')}{_NOT_OTHER})\b"
)

# The people one by one.
_SELF_WORDS = """
me i myself moi je j im ill meself
"""
_SELF = frozenset(_SELF_WORDS.split())
_KIN_WORDS = """
wife husband hubby partner girlfriend boyfriend gf bf fiance fiancee spouse son daughter kid kiddo child boy girl brother bro sister sis mom
mum mother mommy dad father daddy grandson granddaughter grandchild grandma grandpa granny grandad nana nephew niece cousin friend buddy pal
mate bud roommate neighbour neighbor colleague coworker guest teammate uncle aunt toddler baby teen teenager dude student boss person other
stepson stepdaughter missus newbie beginner bestie fella lad lass youngster preteen twin half teammate rookie femme mari blonde chum
conjoint conjointe copain copine ami amie fils fille enfant gars frere soeur mere pere maman papa cousine neveu niece voisin voisine
collegue invite invitee ado bebe garcon petit petite grand pote epoux epouse coloc personne autre belle bru gendre jumeau fillette oncle
tante
"""
_KIN = frozenset(_KIN_WORDS.split())
_KINS_WORDS = """
adults adultes children wives kiddies buddies babies ppl people folks grandchildren grandkids kiddos peeps twins jumeaux jumelles flos
"""
_KINS = (frozenset(f"{word}s" for word in _KIN) | frozenset(_KINS_WORDS.split())) - {"fils"}
_OWN_WORDS = """
my our his her their the a an another mon ma mes notre nos un une des le la les ses son sa leur leurs ton ta l d de
"""
_OWN = frozenset(_OWN_WORDS.split())
_KIND_OF_WORDS = """
young little old older younger big new other best good two three own teenage teen adult small wee eldest oldest youngest year yr yrs years
olds year-old yo elderly fellow work school golf dear lovely better first law in law jeune jeunes petit petite petits petites grand grande
grands grandes autre autres vieux vieille meilleur meilleure bon bonne nouveau nouvelle ans age ages agee beau belle
"""
_KIND_OF = frozenset(_KIND_OF_WORDS.split())
_JOINS_WORDS = """
comma and n plus with w et avec pis puis ainsi que also aussi as well bringing bring takes taking take along together amene amenant emmene
amenerai emmenant j ai le la x amenerai viens coming come
"""
_JOINS = frozenset(_JOINS_WORDS.split())
_BRINGS = patterns.compile(
    r"\b(?:with|w|plus|bringing|bring|brings|taking|take|dragging|along with|avec|amene|amenerai|emmene|amener|emmener|accompagne de|accompagnee de|aussi|too|as well|and|tagging along|vient avec moi|come with me|coming with me|comes with me)\b"
)
_NOT_ME = patterns.compile(
    r"\b(?:not me|drop(?:ping)? (?:her|him|them|my \w+) off|without me|sans moi|pas moi|i (?:can t|cant|cannot|won t|wont) (?:but|make it but|come but|be there but)|i (?:will not|won t|wont|m not going to|am not going to) (?:stay|be|play|come|join)|i m not (?:coming|going|playing) but|je (?:ne )?(?:peux|viens|serai|pourrai) pas (?:moi )?(?:mais|meme))\b"
)
_PLUS_N = patterns.compile(
    rf"\bplus (?P<n>\d|one|two|three|four|five|un|une|deux|trois|quatre|cinq)\b{_NOT_OTHER}(?! (?:holes?|trous?))"
)
_WHOLE_FAMILY = patterns.compile(
    r"\b(?:the (?:whole )?(?:family|fam|gang|crew|kids|boys|girls|clan|team)|(?:my|our|whole) (?:family|fam|kids|children|friends|buddies|boys|girls|crew|gang|clan)|(?:some|a few|several|few) (?:friends|people|buddies|others|mates|pals|of us)|toute la (?:famille|gang|bande)|(?:mes|les|des|nos) (?:enfants|amis|amies|chums|flos|copains|copines)|quelques (?:amis|amies|chums|personnes)|la (?:famille|gang)|ma (?:famille|gang)|en famille)\b"
)

_A_ROUND = 18  # "playing all 18": of holes
# Family whom one names without "my".
_UNOWNED_WORDS = """
hubby mom mum mommy dad daddy grandad grandpa granny grandma nana wife maman papa wifey mamie papi
"""
_UNOWNED = frozenset(_UNOWNED_WORDS.split())

_NAME = r"[A-ZÉÈÀÂÎÔ][a-zéèêëàâîïôùûç'’-]+"
_NO_NAMES_WORDS = """
me i my we the and event night evening morning monday tuesday wednesday thursday friday saturday sunday june july august september may april hi hey hello yes yeah yep ok okay sure please thanks can could is are am put count sign
add save oui salut bonjour allo moi je on nous lundi mardi mercredi jeudi vendredi samedi dimanche juin juillet mai mon ma mes just
also sorry both all see coming bringing with plus us in not no two three four so still mets inscris est vous peut avec et
"""
_NO_NAMES = frozenset(_NO_NAMES_WORDS.split())
_WITH_ME = patterns.compile(
    rf"\b(?:[Mm]e|I|[Mm]yself|[Mm]oi)(?:,| and| n| &| \+| plus| with| et| avec| pis){{1,4}} (?P<first>{_NAME}(?:(?:,| and| &| et| pis|, and) {_NAME}){{0,11}})"
    rf"|(?P<before>{_NAME}(?:(?:,| and| &| et| pis) {_NAME}){{0,11}})(?:,| and| n| &| et| pis|, and) (?:[Mm]e|I|[Mm]yself|[Mm]oi)\b"
    rf"|\b(?:with|bringing|avec|j'amène|amène|j’amène) (?P<with>{_NAME}(?:(?:,| and| &| et| pis) {_NAME}){{0,11}})"
)
_SMALL_NAME = patterns.compile(r"^\W*(?P<name>[a-zà-ÿ]{3,}) (?:and|n|&|et|pis) (?:me|i|myself|moi)\b")
_STANDS_IN = patterns.compile(
    rf"(?:(?:[Mm]y|[Mm]on|[Mm]a) (?:\w+ )?)?(?P<who>{_NAME})(?:,? who)? (?:is|will be|'s|’s|will|can|'ll|’ll)? ?(?:going|coming|comes|goes|plays|joins|playing|come|go|play|take|taking|have|be there|takes|fill in|filling in|using|on|in)?"
    r" ?(?:there )?(?:instead of me|in my place|in my stead|for me instead|my (?:spot|place|slot)|instead(?= of me|\.|$)|for me\b)"
    rf"|(?:[Gg]ive|[Pp]ass|[Tt]ransfer|[Hh]and|[Ss]witch|[Cc]hange|[Ss]wap|[Mm]ove|put)(?: over)? (?:my|mine|the) ?(?:\w+ ){{0,3}}?(?:spot|place|slot|rsvp|RSVP|name|sign-?up|booking|entry)?(?: over)?(?: (?:in|at|for|on) (?:the )?\w+(?: \w+)?)? (?:to|with|for|into) (?:my \w+,? )?(?P<to>{_NAME})"
    rf"|(?:[Ii]nstead of me|[Rr]eplace me|[Ss]wap me|[Ss]witch me|[Ss]ub me)(?: out)?(?:,| it'?s| put| with| for| by){{1,4}} (?:my \w+ )?(?P<for>{_NAME})"
    rf"|(?:[Pp]ut|[Mm]ets|[Mm]ettez|[Mm]ettre|[Ii]nscris) (?:my \w+ |(?:mon|ma) \w+ )?(?P<put>{_NAME}) (?:in|on|into|à|a|dans) (?:my|ma) (?:place|spot|slot)"
    rf"|(?:[Gg]ive|[Ll]et) (?:my \w+ )?(?P<give>{_NAME}) (?:have )?my (?:spot|place|slot)"
    rf"|(?P<fr>{_NAME})(?: qui)? (?:va y aller|y va|vient|viendra|va venir|ira|prend|prendra|va prendre|joue|jouera|va jouer|me remplace|va me remplacer|me remplacera|sera là|prends)"
    r"(?: ma place| à ma place| a ma place| au lieu de moi| pour moi|(?<=remplace)|(?<=remplacer)|(?<=remplacera))"
    rf"|(?:[Dd]onne|[Dd]onner|[Dd]onnez|[Cc]ède|[Pp]asse|[Ll]aisse|[Tt]ransfère)[zr]? ma place (?:(?:du|de la|de|au|à la|pour) \w+(?: \w+){{0,3}}? )?à (?:(?:mon|ma) \w+,? )?(?P<don>{_NAME})"
    rf"|[Àà] ma place(?:,| ce sera| c'est| mets| il y aura| y'aura){{1,4}} (?:(?:mon|ma) \w+,? )?(?P<place>{_NAME})|[Rr]emplace[zr]?[- ]moi par (?:(?:mon|ma) \w+,? )?(?P<par>{_NAME})"
)


_NOBODY_NAMED = Party()


@dataclass(frozen=True, slots=True)
class People:
    """What a text says of people coming: how many, who instead of the sender, and whether one number takes the place of another."""

    party: Party = _NOBODY_NAMED
    stand_in: str | None = None
    corrected: bool = False


@lru_cache(maxsize=256)
def people_coming(text: str) -> People:
    """How many come, and who comes instead of the sender, as far as `text` says."""
    plain, stand_in = marked(text), _stand_in(text)
    more, alone, was = _change(plain), _ALONE.search(plain) is not None, _WAS.search(plain)
    if more is not None and was is not None:  # "I said 3 but one dropped out"
        return People(Party(total=max(0, _value(was) + more)), stand_in, corrected=True)
    total = _whole_number(plain) if _OF_US_NOT.search(plain) is None else None
    if total is not None:
        return People(Party(total=total), stand_in, corrected=_INSTEAD.search(plain) is not None)
    if alone:
        return People(Party(total=1 + max(0, more or 0)), stand_in)
    if more is not None:
        return People(Party(more=more), stand_in)
    listed = None if stand_in else _one_by_one(text, plain)
    if listed is not None:
        return People(Party(total=listed), stand_in)
    return People(Party(unclear=stand_in is None and _WHOLE_FAMILY.search(plain) is not None), stand_in)


@lru_cache(maxsize=1024)
def marked(text: str) -> str:
    """The plain form of a text with a word where a clause ends, "+" and "&" written out."""
    spelled = patterns.sub(r"\(\d+\)", " ", text)  # "my daughter Ella (13)"
    spelled = patterns.sub(r"\s*\+\s*", " plus ", spelled)
    spelled = patterns.sub(r"\bw/ ?", "with ", spelled.replace("&", " and "), flags=patterns.IGNORECASE)
    # Where a clause ends matters: "only 2, Jake has exams". A word stands for the mark, since the plain form keeps none.
    plain = plain_for_dates(patterns.sub(r"[,;!?]+|\.(?!\d)", f" {_MARK} ", spelled))
    return _TAKEN_BACK.sub(" ", _ODDS.sub(" ", plain))


def _whole_number(plain: str) -> int | None:
    """The last whole number said; of a comparison the side that holds."""
    found = [
        (match.start(), _value(match))
        for pattern in (_INSTEAD, _TOTAL)
        for match in pattern.finditer(plain)
        if not (
            match.groupdict().get("n") and _ONE.fullmatch(match.groupdict()["n"])
        )  # "c'est un oui", "we're one short"
    ]
    instead = list(_INSTEAD.finditer(plain))
    if instead:  # the other side of the comparison is a number too, and would come last
        return _value(instead[-1])
    pair = patterns.search(rf"\b{_PAIR}\b", plain)
    if pair:
        found.append((pair.start(), 2))
    good = [(place, value) for place, value in found if value != _A_ROUND]
    return max(good)[1] if good else None


def _value(found: patterns.Match) -> int:
    return number(next(group for group in found.groups() if group))


_OF_US_NOT = patterns.compile(
    rf"\b{_N} of (?:us|them|the \w+) (?:now )?(?:can ?t|cant|cannot|can not|won ?t|wont|will not|isn ?t|is not|aren ?t|are not)\b|\b{_N.replace('<n>', '<n2>')} (?:de nous|d entre nous|des \w+) (?:ne )?(?:peut|peuvent|vient|viennent|viendra) (?:pas|plus)\b"
)


def _change(plain: str) -> int | None:
    missing = _OF_US_NOT.search(plain)
    if missing:
        return -_value(missing)
    fewer = _ONE_LESS.search(plain) or _DROPPED.search(plain)
    if fewer:
        return -_value(fewer)
    more = _ONE_MORE.search(plain)
    if more:
        said = next((group for group in more.groups() if group), None)
        return number(said) if said else 1
    return None


def _one_by_one(text: str, plain: str) -> int | None:
    """The longest run of people joined by "and", "with", commas; the sender counted in unless he or she stays at home."""
    words = plain.split()
    named = _names_beside(text)
    best, with_self, place = 0, False, 0
    while place < len(words):
        count, myself, end = _run(words, place)
        if count > best:
            best, with_self = count, myself
        place = max(end, place + 1)
    plus = _PLUS_N.search(plain)
    if plus is not None:
        best = max(best, number(plus["n"]))
    others = best + named
    if others == 0:
        return None
    if patterns.search(r"\badult(?:e)?s\b", plain):  # "two adults three kids" leaves nobody out
        return others
    if _NOT_ME.search(plain):
        return others
    brings = with_self or _BRINGS.search(plain) is not None or named > 0
    return others + 1 if brings else None


def _run(words: list[str], place: int) -> tuple[int, bool, int]:
    """People named one after the other from `place` on: how many besides the sender, whether the sender is among them, where it ends."""
    count, myself, end = 0, False, place
    while end < len(words):
        if words[end] in _SELF:
            myself, end = True, end + 1
            continue
        item = _item(words, end)
        if item is not None:
            count, end = count + item[0], item[1]
            continue
        if words[end] in _JOINS and (count or myself):
            end += 1
            continue
        break
    return count, myself, end


def _item(words: list[str], place: int) -> tuple[int, int] | None:
    """One entry of such a list, "my two young kids": how many people, and where it ends; None where there is none."""
    many, end, owned = 1, place, False
    said = False
    while end < len(words) and end - place < 6:
        word = words[end]
        age = words[end + 1 : end + 2] and patterns.match(r"(?:year|yr|yrs|yo|ans|an|y)$", words[end + 1])
        if (word.isdigit() or word in _NUMBERS.split()) and age:
            end += 2
            if end < len(words) and words[end] in {"old", "olds"}:
                end += 1
                if owned and not (end < len(words) and words[end] in _KIN):
                    return many, end
            continue
        if word in {"couple", "pair"}:
            many, said, end = 2, True, end + 1
            if end < len(words) and words[end] == "of":
                end += 1
            continue
        if (word.isdigit() and len(word) < 5) or (word in _NUMBERS.split() and word not in {"un", "une", "one"}):
            many, said, end = number(word), True, end + 1
            continue
        if word in {"one", "un", "une"}:
            said, end = True, end + 1
            continue
        if word in _KINS:
            if not said and not (word == "twins" or word in {"jumeaux", "jumelles"}):
                return None  # "my kids": who knows how many
            return (many if said else 2), _past_age(words, end + 1)
        if (word in _KIN and (owned or said)) or word in _UNOWNED:
            return many, _past_age(words, end + 1)
        if word in _OWN:
            owned, end = True, end + 1
            continue
        if word in _KIND_OF and (owned or said):
            end += 1
            continue
        return None
    return None


def _past_age(words: list[str], place: int) -> int:
    """Past "in law", "de 8 ans", "aged 9", "of mine"."""
    rest = " ".join(words[place : place + 4])
    found = patterns.match(r"(?:in law|aged? \d+|de \d+ ans|\d+ ans|of mine|a moi|who is \d+|s \w+)\b", rest)
    return place + len(found[0].split()) if found else place


def _names_beside(text: str) -> int:
    """How many people are named beside the sender, "Me, Jo and Sam"."""
    found = _WITH_ME.search(text)
    if found is None:
        small = _SMALL_NAME.match(text)
        return int(small is not None and small["name"] not in _NO_NAMES | _KIN | _KINS | _SELF | _JOINS | _KIND_OF)
    names = patterns.findall(_NAME, next(group for group in found.groups() if group))
    return sum(name.casefold() not in _NO_NAMES for name in names)


def _stand_in(text: str) -> str | None:
    found = _STANDS_IN.search(text)
    if found is None:
        return None
    groups = found.groupdict()
    who = next((name for name in groups.values() if name), None)
    if who is None or who.casefold() in _NO_NAMES:
        return None
    return who if patterns.fullmatch(_NAME, who) else None

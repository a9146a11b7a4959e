"""Texts that make sense only after something was said: "how much?", "and for kids", "what about sunday", "pis la boucle du haut?".

A small closed grammar, English and French: words of courtesy and of joining on aside, a text leans where all of it is a bare question
("where is that") or a bare detail (a day, an hour, an event, a part of the course). Anything longer stands for itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from clubbot.model.wants import When
from clubbot.texting import patterns
from clubbot.understanding import dates, numbers
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions

# What a bare question asks of the thing that was spoken of.
Side = Literal[
    "cost",
    "where",
    "time",
    "until",
    "long",
    "children",
    "level",
    "reduced",
    "rain",
    "winter",
    "sign-up",
    "dogs",
    "parking",
    "best",
    "why",
    "how",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaning:
    """A text that leans: the side it asks about, or the details that it names, or (`open`) a few words of its own after "and for".

    `number` is a bare one, "and 7": a hole after a hole. `asks` tells a question from a wish: "what about thursday" is one, "and thursday" need not be. `joined` where it begins with "and",
    "for" and the like.
    """

    side: Side | None = None
    event: str | None = None
    when: When | None = None
    place: str | None = None
    people: int | None = None
    holes: int | None = None
    number: int | None = None
    asks: bool = False
    joined: bool = False
    open: bool = False


_IT = r"(?:it|that|this|this one|that one|they|those|these|the event)"
_I = r"(?:i|we|you|u|one|people)"
_WHO = r"(?:a |the |my |an |two |2 )?(?:kids?|child|children|students?|seniors?|members?|non ?members?|adults?|person|people|family|us|beginners?)"
_QUI = r"(?:les |un |une |des |deux |2 )?(?:enfants?|etudiante?s?|aines?|membres?|non membres?|adultes?|personnes?|debutante?s?|nous)"
_COURTESY_FIRST = patterns.compile(
    r"^(?:ok|okay|k|oki|thanks|thank you|thx|ty|merci|great|cool|nice|perfect|parfait|super|oh|ah|ahh?|alright|right|hey|hi|hello|allo|salut|um|so|alors|bon|sweet|awesome|good|got it|d accord|dac|pardon|excellent|sure|ouais|oui|yes|yeah|yep|sorry|genial|good to know|bon a savoir|quick question) "
)
_COURTESY_LAST = patterns.compile(
    r" (?:please|pls|plz|thanks|thank you|thx|ty|then|too|also|though|svp|stp|s il (?:vous|te) plait|merci|alors|aussi|donc|la|as well|btw|exactly|exactement|au fait|anyway|normally|usually|d habitude)$"
)
_OPENER = patterns.compile(
    r"^(?P<join>and|n|also|plus|or|but|et|pis|puis|ou|mais|aussi)?\b ?"
    r"(?P<asks>(?:what|how|wat|wht|whats|hows) (?:about|abt|bout)|what of|what if it s|is it the same|same (?:question |thing |goes )?(?:for|with|on)|qu en est il|c est pareil|est ce pareil|meme chose|pareil)?\b ?"
)
_OPEN = patterns.compile(
    r"^(?:(?:(?:and|also|et|pis|puis) )?(?:for|with|pour|avec|(?:what|how) (?:about|abt|bout)(?: for| with)?|qu en est il d\w+) |(?:and|et|pis|puis) )(?P<rest>[a-z]+(?: [a-z]+){0,2} ?)$"
)
_VERBS = patterns.compile(
    r"\b(?:is|are|was|can|could|do|does|did|will|would|should|have|has|want|need|know|tell|sign|put|est|sont|peux|peut|veux|faut|dois|sais|dire|suis|it|that|you|me|my|him|her|them|us|thing|one|now)\b"
)

_QUESTIONS: Mapping[Side, tuple[str, ...]] = {
    "cost": (
        rf"(?:how|hw) ?much(?: (?:is|s|are|does|do|would|will|for))?(?: (?:{_IT}|we|i|you))?(?: (?:cost|costs|costing|be|pay))?(?: for {_WHO})?",
        rf"how much do {_I} (?:have to |need to )?pay(?: for {_IT})?",
        rf"what ?(?:is|s)? (?:the|{_IT}) (?:cost|price|fee|entry|entry fee)",
        r"(?:any |the |a )?(?:cost|price|fee|fees|charge)",
        rf"(?:is|are) {_IT} (?:free|expensive|paid)|it s free|free",
        rf"(?:does|do|will) {_IT} cost(?: (?:anything|something|money|much|me))?",
        rf"what (?:does|do|will) {_IT} cost",
        rf"do {_I} (?:have to |need to )?pay(?: for {_IT})?|at what cost",
        rf"(?:c est |ca fait |ca coute |c est a |cest |c )?(?:combien|cb|cmb)(?: (?:ca coute|c est|cest|ca fait|ca|coute|est ce|pour ca|est ce que ca coute))?(?: pour {_QUI})?",
        r"(?:est ce que )?(?:c est|cest|c|est ce|ca) (?:tu )?(?:gratuit|payant|cher)(?: ca)?|gratuit|payant",
        r"(?:a )?(?:quel est |c est quoi |quel |le )(?:le )?(?:prix|cout|tarif)(?: de ca)?",
        r"(?:est ce que )?ca coute(?: tu)?(?: (?:quelque chose|qqch|cher|de quoi))?",
        r"(?:il )?faut(?: il| tu)? payer|on paye(?: tu)?(?: combien)?|combien on paye",
    ),
    "where": (
        rf"where ?(?:is|s|are)? ?(?:{_IT})?(?: (?:at|held|located|happening|on|exactly|again))?",
        rf"where(?:abouts)?(?: (?:do|should|would|to))?(?: {_I})? (?:meet|go|meet up|show up|come)(?: (?:for|to) {_IT})?",
        rf"how do {_I} (?:get|find) (?:there|{_IT})|what (?:place|location)|(?:at )?(?:which|what) place|what ?(?:is|s) the (?:address|location|place)",
        r"(?:c est |cest |c |et )?ou(?: (?:ca|c est|est ce|ca se trouve|exactement|au juste|ca exactement|est ce que c est))?",
        r"(?:c est |cest )?(?:a )?(?:quel endroit|quelle place|quelle adresse)(?: ca)?|l adresse|quelle est l adresse",
        r"(?:on|je) (?:se rejoint|se retrouve|va|vais|doit aller|se rencontre) ou|ou (?:est ce qu )?(?:on|je) (?:se rejoint|se retrouve|va|vais|doit aller|se rencontre)",
        r"comment (?:on |je )?(?:s y rend|m y rends|y va|y vais|se rend la|y aller|s y rendre|se rendre)",
    ),
    "time": (
        rf"(?:at )?(?:what|wat|wht) time(?: (?:is|s|does|do|are|will|should))?(?: (?:{_IT}|{_I}))?(?: (?:start|starts|begin|begins|on|at|happening|be|come|show up|get there|be there|arrive))?(?: there)?",
        rf"when(?: (?:is|s|does|are|do|will))?(?: {_IT})?(?: (?:on|start|starts|begin|begins|happening|held|be))?(?: (?:next|again|exactly))?|whens (?:{_IT})",
        rf"(?:on )?(?:what|which) (?:day|days|date|dates)(?: (?:is|are) {_IT})?|when ?(?:is|s) the next(?: one)?",
        r"(?:c est |cest |c |ca commence |ca debute )?(?:a )?quelle heure(?: (?:c est|ca commence|ca|est ce|ca debute|exactement))?",
        r"(?:c est |cest |c |ca commence )?quand(?: (?:ca|c est|est ce|ca commence|exactement|la prochaine|le prochain|la prochaine fois))?|(?:c est )?(?:quel|quels|quelle|quelles) (?:jours?|dates?)(?: (?:ca|c est))?",
    ),
    "until": (
        r"(?:open )?(?:until|till|til) (?:when|what time)",
        rf"(?:what time|when) (?:does|do|will) {_IT} (?:end|finish|close|stop|be over)|when ?(?:is|s) {_IT} over",
        r"(?:c est ouvert )?jusqu a (?:quand|quelle heure)|(?:ca|c) (?:finit|ferme|termine|se termine) (?:a quelle heure|quand)|(?:a )?quelle heure ca (?:finit|ferme|termine)",
    ),
    "long": (
        rf"(?:for )?how long(?: (?:is|s|does|do|would|will|are))?(?: {_IT})?(?: (?:take|takes|last|lasts|be|go|run|go on))?(?: for)?",
        rf"how many hours(?: (?:is|does) {_IT}(?: (?:take|last))?)?|(?:is|does) {_IT} (?:take )?long",
        r"(?:c est |ca dure |ca prend |pendant )?combien de temps(?: (?:ca dure|ca prend|c est|ca))?|combien d heures|ca dure(?: (?:combien|longtemps))?|c est(?: tu)? long|ca prend longtemps",
    ),
    "children": (
        rf"(?:(?:is|are) {_IT} |is |are )?(?:ok |okay |good |fine |suitable |open |free |safe |fun )?(?:for |with )?(?:a |the |my |our |small |little |younger |young )?(?:kids?|kiddos?|child|children|little ones?|toddlers?|teens?|teenagers?|juniors?|son|daughter|grandkids?)(?: (?:ok|allowed|welcome|free|come|pay|friendly))?",
        rf"can {_I} (?:bring|take) (?:the |my |our )?(?:kids?|children|child|son|daughter)(?: along)?",
        rf"can (?:the |my |our |small )?(?:kids?|children|child|son|daughter) (?:come|play|join|join in|do (?:{_IT}))(?: along)?",
        r"(?:est ce que )?(?:c est |ca va |ok |bon |correct |gratuit )?(?:tu )?(?:pour |avec )(?:les |mes |des |nos |un |l |mon )?(?:petits |jeunes |jeune )?(?:enfants?|flos?|ados?|jeunes|petits|tout petits|kids|fils|fille|gars)(?: (?:c est combien|ok|c est ok|ca va))?",
        r"(?:les |mes |nos )(?:enfants?|flos?|ados?|jeunes|petits|kids)(?: (?:peuvent (?:tu )?(?:venir|jouer)|sont bienvenus|sont acceptes|paient))?",
    ),
    "level": (
        rf"(?:(?:is|are) {_IT} )?(?:ok |okay |good |suitable |open |fine |just )?for (?:a |the |us |total |complete |absolute )?(?:beginners?|newbies?|newcomers?|first timers?|all levels|everyone|anyone)",
        r"(?:are )?(?:beginners?|newbies?|newcomers?|first timers?) (?:ok|allowed|welcome)|beginners?|can anyone (?:come|join|play)",
        r"(?:c est |ca va |ok )?(?:tu )?(?:bon )?pour (?:les |un |une |des |tous les )?(?:vrais )?(?:debutante?s?|nouveaux|niveaux|monde)|(?:les )?debutante?s?(?: (?:peuvent venir|sont bienvenus))?|c est pour tous",
    ),
    "reduced": (
        r"for (?:the |a )?(?:seniors?|students?|members?|non ?members?|over 65s?|retirees|pensioners|adults)|(?:do )?(?:seniors?|students?|members?)(?: pay)?",
        r"pour (?:les |un |une )?(?:aines?|etudiante?s?|membres?|non membres?|retraitee?s?|adultes?)|(?:les )(?:aines?|etudiants?|membres?)",
    ),
    "rain": (
        r"(?:what )?(?:if|when) (?:it |it s |its |it is |there s |there is )?(?:rain\w*|pour\w*|wet|storm\w*|thunder\w*|windy|bad weather|a storm)(?: (?:out|outside|that day))?",
        r"(?:what )?(?:if|when) the (?:weather|forecast) (?:is |s )?(?:bad|sucks|awful|terrible)|(?:even )?(?:in|with) (?:the )?(?:rain|bad weather)|rain or shine|(?:in case of )?(?:rain|bad weather)",
        rf"(?:is {_IT}|will {_IT} be|does {_IT}|do {_IT}|are {_IT}) (?:still )?(?:on|happen|happening|go ahead|going ahead|run|cancell?ed|called off)(?: even)? (?:if|when|in) (?:it )?(?:s |is |the )?(?:rain\w*|pour\w*|storm\w*)",
        r"(?:(?:ca a lieu|c est(?: annule)?|ca se fait|ca tient|ca marche) )?(?:quand meme |encore |meme )?(?:s il|si il|sil|si|quand il|quand y|s y|si ca) (?:pleut|mouille|vente|fait mauvais|fait pas beau|y a de l orage|tonne)",
        r"(?:meme )?(?:sous|avec) la pluie|en cas de (?:pluie|mauvais temps|orage)|beau temps mauvais temps|(?:la )?pluie",
    ),
    "winter": (
        r"(?:in |during |over |for )?(?:the )?winter(?: ?time)?|(?:when there s |in |with )?(?:the )?snow|when it (?:snows|s snowing)",
        r"(?:en |l |pendant l |durant l |dans l |a )hiver|(?:avec |dans |sous )?la neige|quand il (?:neige|y a de la neige)",
    ),
    "sign-up": (
        rf"(?:do|should|must) {_I} (?:need to|have to|gotta|got to|want to|need|have)? ?(?:sign ?up|register|book|rsvp|reserve|pre ?register)(?: (?:first|ahead|for {_IT}|in advance|beforehand|before|to (?:play|come)|a (?:spot|place)))?",
        rf"(?:is )?(?:sign ?up|registration|booking|rsvp) (?:needed|required|necessary)|(?:need|have) to (?:sign ?up|register|book)(?: for {_IT})?|need to register",
        rf"how (?:do|can|would) {_I} (?:sign ?up|register|enter|book)(?: for {_IT})?|how do {_I} join {_IT}|can {_I} just (?:show|turn) up",
        r"(?:est ce qu )?(?:il |y )?faut(?: il| tu)? (?:s inscrire|reserver|s enregistrer)(?: (?:avant|d avance|a l avance))?",
        r"(?:est ce que )?(?:je|on|j) (?:dois|doit|ai besoin de|a besoin de) (?:tu )?(?:m inscrire|s inscrire|reserver|m enregistrer)(?: (?:avant|d avance|a l avance))?|(?:dois je|doit on) (?:m inscrire|s inscrire|reserver)",
        r"comment (?:je m inscris|on s inscrit|s inscrire|m inscrire)|(?:l )?inscription(?: (?:obligatoire|requise))?",
    ),
    "dogs": (
        rf"(?:can|may|could) {_I} (?:bring|take|have) (?:my|our|the|a) (?:dogs?|puppy|pup)(?: (?:along|there|with me|to {_IT}))?",
        r"(?:are )?(?:my |our |the )?(?:dogs?|puppy|pup|pets)(?: (?:ok|allowed|welcome|come))?|with (?:my|our|a|the) (?:dogs?|puppy|pup)",
        r"(?:est ce que )?(?:je|on|j) peu[xt]s? (?:tu )?(?:amener|apporter|venir avec|emmener) (?:mon|notre|le|un) (?:chien|pitou)|(?:avec )?(?:les |mon |notre |un )(?:chiens?|pitou)",
    ),
    "parking": (
        rf"(?:is there |is |any |where ?(?:s|is) )?(?:the )?parking(?: (?:there|available|free|nearby|ok))?|where (?:do|can|should) {_I} park",
        r"(?:y a t il |il y a |y a tu |y a )?(?:du |un |le |d )?(?:stationnement|parking)(?: (?:sur place|gratuit))?|(?:on|je) (?:se |me )?(?:stationne|gare|parke) ou|ou (?:est ce qu )?(?:on|je) (?:se |me )?(?:stationne|gare|parke)",
    ),
    "best": (
        r"which (?:one |of (?:them|those|these) )?(?:is |s |are |would be )?(?:the )?(?:best|easiest|easier|better|good|shortest|nicest)(?: one)?(?: for (?:me|beginners|a beginner|us|kids|starting|a first time|first timers))?",
        r"which(?: one)?(?: (?:should|would|do) (?:i|we|you) (?:take|get|pick|do|play|use|choose|recommend|suggest))?|what do you (?:recommend|suggest)",
        r"(?:laquelle|lequel|lesquels|lesquelles)(?: (?:est|c est|sont))?(?: (?:la|le|les))?(?: (?:meilleure?s?|mieux|plus faciles?|choisir|prendre|conseillez vous|tu conseilles|vous conseillez))?",
    ),
    "why": (r"(?:but )?why(?: (?:is that|not|so|s that|that))?|how come|pourquoi(?: (?:ca|pas))?|comment ca se fait",),
    "how": (
        rf"how(?: (?:so|do {_I} do (?:{_IT})|does {_IT} work|do {_I}))?|comment(?: (?:ca|faire|ca marche|on fait|je fais))?",
    ),
}
_SIDES = {side: tuple(patterns.compile(rf"^(?:{one})$") for one in asked) for side, asked in _QUESTIONS.items()}

_JOINTS = """
on at for in the a an this that next coming by around about to from of s le la les l du de des d au aux pour en ce cette cet vers si then only just
one same day date heure hour and or et ou instead plutot either
"""
_DAYS = """
monday mondays mon tuesday tuesdays tue tues wednesday wednesdays wed weds thursday thursdays thu thur thurs friday fridays fri saturday saturdays sat
sunday sundays sun lundi lundis mardi mardis mercredi mercredis jeudi jeudis vendredi vendredis samedi samedis dimanche dimanches lun ven dim sam
january february march april may june july august september october november december jan feb mar apr jun jul aug sept sep oct nov dec
janvier fevrier mars avril mai juin juillet aout septembre octobre novembre decembre
today tonight tonite tomorrow tomorow tommorow tommorrow tmrw tmr tmw demain dem aujourd hui ajd auj now later maintenant tantot
morning afternoon evening night noon midday midi matin soir aprem apres weekend weekends week end wknd wkend fin semaine semaines weeks fds
prochain prochaine suivant suivante after early late month mois am pm h o clock oclock
"""
_THINGS = """
whole entire hole holes trou trous loop boucle course parcours basket panier tee
people personnes personne us players joueurs
"""
_DETAIL_WORDS = frozenset(f"{_JOINTS} {_DAYS} {_THINGS}".split())
_MONTHS = "january|february|march|april|may|june|july|august|september|october|november|december"
_COUNT = patterns.compile(r"^#?\d{1,2}(?:st|nd|rd|th|er|e|h|am|pm|h\d\d)?$|^\d{1,2}:\d\d(?:am|pm)?$|^20\d\d$")
_NUMBERS = "one two three four five six seven eight nine ten eleven twelve un deux trois quatre cinq sept huit neuf dix onze douze first second third"
_SMALL = frozenset(_NUMBERS.split())
_JOINED = patterns.compile(r"^(?:for|with|pour|avec)\b")
# "in for thursday", "two for saturday": an answer to an event, whatever was said before.
_COMING = patterns.compile(
    rf"^(?:just |only )?(?:in\b(?! (?:the|an|about|{_MONTHS})\b)|(?:\d{{1,2}}|{'|'.join(_NUMBERS.split())}) (?:for|pour|on|le|of|[a-z]+day|[a-z]+di|dimanche)\b)"
)
_LONGEST = 9


def leaning(text: str, mentions: Mentions, days: Days, now: datetime, zone: ZoneInfo) -> Leaning | None:
    """How a text leans on what was said before it; None where it stands for itself."""
    plain = _without_courtesy(_joined_up(dates.plain_for_dates(text)))
    if not plain or len(plain.split()) > _LONGEST:
        return None
    opener = _OPENER.match(plain)
    rest = _without_courtesy(plain[opener.end() :].strip()) if opener else plain
    asks = "?" in text or bool(opener and opener["asks"])
    joined = bool(opener and opener.group().strip())
    side = bare_question(plain) or bare_question(rest)
    if side is not None:
        return Leaning(side=side, asks=True, joined=joined or _JOINED.match(plain) is not None)
    return _details(rest, mentions, days, asks, joined, now, zone) or _open(plain)


def bare_question(plain: str) -> Side | None:
    """The side that a plain text asks about where it is nothing but that question."""
    return next(
        (side for side, asked in _SIDES.items() if any(pattern.match(plain) for pattern in asked)),
        None,
    )


def _joined_up(plain: str) -> str:
    """ "what's" and "whats" as "what s", so that one pattern reads both."""
    return patterns.sub(r"\b(what|where|when|how|it|that|there)s\b", r"\1 s", plain)


def _without_courtesy(plain: str) -> str:
    while (found := _COURTESY_FIRST.match(plain)) is not None:
        plain = plain[found.end() :]
    while (last := _COURTESY_LAST.search(plain)) is not None:
        plain = plain[: last.start()]
    return plain


def _details(
    rest: str, mentions: Mentions, days: Days, asks: bool, joined: bool, now: datetime, zone: ZoneInfo
) -> Leaning | None:
    """A text of nothing but a day, an hour, an event, a part of the course, a number of people or of holes to play."""
    if _COMING.match(rest):
        return None
    if joined and rest.isdigit() and 1 <= int(rest) <= mentions.holes:
        return Leaning(number=int(rest), asks=asks, joined=True)
    without_event = mentions.without_event(rest)
    others = mentions.without_place(without_event).split()
    if any(word not in _DETAIL_WORDS and word not in _SMALL and _COUNT.match(word) is None for word in others):
        return None
    place = mentions.place(without_event)
    found = Leaning(
        event=mentions.event(rest),
        when=days.when(mentions.without_place(without_event), now, zone),
        place=place if place != "course" or patterns.search(r"\b(?:course|parcours)\b", rest) else None,
        people=numbers.people(without_event),
        holes=numbers.holes(without_event, mentions.holes),
        asks=asks,
    )
    return None if found == Leaning(asks=asks) else found


def _open(plain: str) -> Leaning | None:
    """ "and for seniors", "what about toilets": a few words that name something new."""
    found = _OPEN.match(plain)
    return None if found is None or _VERBS.search(found["rest"]) else Leaning(open=True, asks=True)

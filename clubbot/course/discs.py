"""Lost discs and found ones: what a report says of the disc, and how well two reports speak of the same one."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import combinations

from rapidfuzz import process
from rapidfuzz.distance import OSA

from clubbot.texting import patterns

# The weights are chosen by hand and by sense, not fitted to anything. What speaks for a pair is added up as chances
# of being wrong are multiplied: 1 - (1 - a)(1 - b)... ; what speaks against it is a factor below 1.
SAME_COLOUR = 0.5  # many discs are red: alone it must not be enough
OTHER_SHADE = 0.3  # dark blue against light blue: light and memory change a shade, so less, not nothing
NEAR_COLOUR = 0.3  # turquoise against blue: two people name a colour in between differently
SAME_LOOK = 0.35  # glow, swirled, neon: rarer than a colour, but said by few
SAME_KIND = 0.3  # there are only three kinds
SAME_NAME = 0.9  # nearly proof; not quite, since a mould's name is read as a name too
SAME_INITIALS = 0.6  # "JB" against "Jean Boucher": likely, but initials are shared by many
SAME_NAME_OF_SEVERAL = 0.3  # a word in common while each names others: the mould is the same, the owner perhaps not
SAME_HOLE = 0.35  # where the loser looked is where it lies, more often than not
NEXT_HOLE = 0.2  # a stray throw lies on the neighbour's fairway, and one disc is left behind a hole early
OTHER_KIND = 0.3  # a factor: strong, since two red discs are told apart by little else
OTHER_KIND_SAME_NAME = 0.7  # a factor: who finds a disc may not know a putter from a driver, but can read a name
OTHER_NAMES = 0.5  # a factor: names that differ; not less, because one may give the mould and one the owner
FAR_HOLE = 0.8  # a factor, mild: people are wrong about holes, and carry discs along
# A colour and one thing more, or a name. A colour alone stays below, and so do kind and hole without a colour.
ENOUGH = 0.6
# The club keeps what is found that long ("Lost and found" of the demo club); older reports are over.
KEPT = timedelta(days=60)

PUTTER, MID_RANGE, DRIVER = "putter", "mid-range", "driver"


@dataclass(frozen=True, slots=True)
class DiscWords:
    """What a text says of a disc. A colour is a hue ("blue"), a shaded one ("dark blue") or a look ("glow").

    Names are the single words written on it, initials, numbers, and its make, as the texter wrote them in lower case.
    """

    colours: frozenset[str]
    kind: str | None
    names: frozenset[str]


@dataclass(frozen=True, slots=True)
class DiscReport:
    """A disc lost or found: its number, the hole if one was named, its words, and when it was told."""

    number: int
    hole: int | None
    words: DiscWords
    at: datetime


# Each line: what it is called here, then the words for it in both languages, without accents.
_HUE_LINES = """
red: red reddish rouge rouges
orange: orange oranges orangey orangish orangee
yellow: yellow yellowish jaune jaunes
green: green greenish vert verts verte vertes
blue: blue blu bluish blueish bleu bleus bleue bleues bleute
purple: purple purplish violet violette violets violettes mauve lavender lavande lilac lilas
pink: pink pinkish rose roses rosee
white: white whitish blanc blancs blanche blanches ivory ivoire
black: black noir noirs noire noires
grey: grey gray greyish grayish gris grise grises silver argent argente argentee
brown: brown brownish brun brune bruns brunes marron
beige: beige tan cream creme
gold: gold golden dore doree
clear: transparent transparente translucent translucide
turquoise: turquoise teal aqua cyan
lime: lime chartreuse
coral: coral corail peach peche saumon salmon
magenta: magenta fuchsia
dark red: maroon burgundy bordeaux
dark blue: navy indigo
dark green: olive
"""
_HUES = {
    word: name
    for line in _HUE_LINES.split("\n")
    if line
    for name, words in [line.split(": ")]
    for word in words.split()
}
_SHADE_LINES = """
dark: dark darker deep forest fonce foncee fonces foncees sombre marine
light: light lighter pale pales pastel baby sky powder clair claire clairs claires ciel
neon: neon fluo fluos fluorescent fluorescente bright hot electric vif vive
"""
_SHADES = {
    word: name
    for line in _SHADE_LINES.split("\n")
    if line
    for name, words in [line.split(": ")]
    for word in words.split()
}
_BEFORE_WORDS = "dark darker deep forest light lighter pale pastel baby sky powder neon fluo bright hot electric"
_BEFORE = frozenset(_BEFORE_WORDS.split())
_AFTER = frozenset(_SHADES) - frozenset(("dark", "darker", "deep", "forest", "light", "lighter", "baby", "sky", "hot"))
# "neon" needs no hue beside it; "light", "hot" and "clair" mean nothing without one.
_LOOK_WORDS = "glow glows glowing phosphorescent phosphorescente luminescent luminescente"
_SWIRL_WORDS = (
    "swirl swirls swirly swirled marbled marbre marbree multicolour multicolor "
    "multicoloured multicolored rainbow multicolore tiedye tiedyed dye dyed tourbillon"
)
_LOOKS = (
    dict.fromkeys(_LOOK_WORDS.split(), "glow")
    | dict.fromkeys(_SWIRL_WORDS.split(), "swirled")
    | dict.fromkeys(("neon", "fluo", "fluos", "fluorescent", "fluorescente"), "neon")
)
# Only the colours in between, which one calls this and another that. Anything else that differs is a conflict.
_NEAR = frozenset(
    frozenset(pair.split("-"))
    for pair in (
        *("turquoise-blue", "turquoise-green", "lime-green", "lime-yellow", "coral-orange", "coral-pink"),
        *("magenta-pink", "magenta-purple", "gold-yellow", "clear-white", "beige-white", "beige-brown", "grey-white"),
    )
)
_KIND_WORDS = {
    **dict.fromkeys(("putter", "putters", "puter", "putteur", "approach", "approche"), PUTTER),
    **dict.fromkeys(("mid", "mids", "midrange", "midranges", "midistance"), MID_RANGE),
    **dict.fromkeys(("driver", "drivers"), DRIVER),
}
_DISC_NOUNS = "disc discs disk disks disque disques frisbee one plastic plastique colour color couleur"
_DISC_WORDS = frozenset(_DISC_NOUNS.split())
_DETERMINER_WORDS = "a an my the this that his her our their un une mon ma le la ce cet cette mes son sa"
_DETERMINERS = frozenset(_DETERMINER_WORDS.split())

# Beside these a colour is not the disc's: an English one stands before its thing, a French one behind it.
_THING_WORDS = """
pine pines spruce oak birch maple fir tree trees bush bushes rock rocks grass tee tees basket baskets sign signs post
marker markers flag bin box bag car truck van house shed bench bridge boat door dog shirt jacket hat cap water hoodie
sharpie ink pen marker writing letters lettering text print stamp foil logo dot dots sticker tape paint flies loop
"""
_THINGS = frozenset(_THING_WORDS.split())
_CHOSE_WORDS = """
pin pins sapin epinette epinettes chene bouleau erable arbre arbres roche herbe panier paniers depart poteau drapeau
boite sac auto voiture camion maison banc pont bateau porte chien chandail manteau casquette feutre encre crayon stylo
lettres texte logo point collant autocollant marqueur estampe etampe fait
"""
_CHOSES = frozenset(_CHOSE_WORDS.split())
_PLACING_WORDS = """
near by behind under beside past over into in on off from to at around of against pres derriere sous dans sur vers
devant contre cote
"""
_PLACING = frozenset(_PLACING_WORDS.split())
_PLACING_THE = frozenset(("du", "au", "des", "aux"))  # a preposition and an article in one
_NEGATIVE_WORDS = (
    "no not without never nothing isnt wasnt doesnt didnt dont hasnt pas sans aucun aucune rien ni non nor"
)
_NEGATIVE = frozenset(_NEGATIVE_WORDS.split())
_BETWEEN_WORDS = (
    "a an my the any even really de d un une mon ma le la have has had put write wrote is s of mes nom or ou ni nor"
)
_BETWEEN = frozenset(_BETWEEN_WORDS.split())

# After these a name is awaited, over the words that may lie between.
_SAYS_WORDS = """
says say saying reads read marked labelled labeled signed initials initial initialled name names written belongs
property engraved inscribed stamped nickname appartient marque marquee marques ecrit ecrite inscrit inscrite signe
signee grave gravee dit nom noms prenom initiales initiale surnom
"""
_SAYS = frozenset(_SAYS_WORDS.split())
# These say much else ("I'd say purple"), so the name must show by a capital.
_SAYS_LOOSELY = frozenset(("say", "saying", "read", "reading", "dit", "stamped", "names", "noms"))
_OVER_WORDS = """
on it the back front bottom top rim inside underside of is are it's with as in my name names initials initial s
sharpie marker pen ink permanent est sont c sur au a l dos dessus dessous arriere endos bord de mes mon nom ses son sa
le la et feutre en his her prenom by d avec les lettres letters letter number numero word words mot mots un une what
looks like please return to belongs property if found disc disk disque propriete appartient
"""
_OVER = frozenset(_OVER_WORDS.split())
_ON_IT = patterns.compile(
    r"\b(?:(?:is |was |are |c est )?(?:written|marked|ecrit|inscrit|marque)\b"
    r"|(?:on|sur|in|under|a|au|en) (?:(?:the|its?|l|le|la) )?"
    r"(?:it|back|front|bottom|top|rim|inside|underside|dos|dessus|dessous|arriere|endos|bord|verso)\b"
    r"|dessus\b|derriere$)"
)
# Words that are no name wherever they stand; wide, because a name in common is nearly proof.
_ORDINARY_WORDS = """
a an and any anybody anyone are as at be been but by can could did do does for from get got had has have he her hey hi
hello his i if im in is it its just let like me my no not of off oh on or our out please she so some somebody someone
that the their them then there they this to today tomorrow tonight too up us was we were what when where which who
will with would yes yesterday you your thanks thank thx lost lose losing loose found find finding left leave forgot
forgotten missing miss looking look seen see saw threw throw thrown throwing hit went gone landed using used picked
pick turned turn handed hand hole holes tee tees basket baskets loop course park clubhouse desk water marsh shore hill
grass woods trees tree rough fairway distance range near by behind under beside past over into around between after
before morning afternoon evening night noon week weekend round league club old new brand fave favorite favourite lucky
beat beaten base premium nice good great small big little lovely heavy soft hard stiff worn beautiful expensive second
first third last only other another spare starter shiny own same really very pretty kinda sorta mostly maybe probably
sure think know guess phone cell number tel telephone contact call text back front bottom top rim inside underside
edge stamp stamped logo sticker ring rings scratch scratches scratched dent dents mud dirt muddy bite marks mark chew
chewed teeth tape dots dot writing written letters letter ink sharpie marker pen faded name names named initials
nothing none something anything illegible unreadable smudged owner owners somewhere here there also still ago gram
grams g weight max overstable understable stable one two three four five six seven eight nine ten eleven twelve zero
un deux trois quatre cinq sept huit neuf dix zero monday tuesday wednesday thursday friday saturday sunday lundi mardi
mercredi jeudi vendredi samedi dimanche january february march april june july august september october november
december janvier fevrier mars avril mai juin juillet aout septembre octobre novembre decembre le la les l une des du
de d et ou mais je j ai as il elle on nous vous ils mon ma mes ton ta son sa ses notre votre ce cet cette ca feutre
encre crayon stylo marqueur autocollant trail path sign landed sitting lying stuck stepped sunk c est sont etait pas
ne n rien aucun aucune sans avec dans sur sous au aux pres cote chez par pour qui que quoi quand si oui non perdu
perdue perdus trouve trouvee trouves laisse oublie oubliee cherche lance tombe hier aujourdhui matin soir apres midi
ce semaine trou trous panier depart parcours boucle bord eau marais herbe bois arbre dos dessus dessous arriere endos
derriere nom prenom initiales ecrit marque inscrit lettres lettre telephone numero petit petite grand grande vieux
vieille nouveau nouvelle neuf neuve prefere preferee beau belle bon bonne merci bonjour salut allo svp quelqu quelquun
quelque chose tout tres peu plutot
"""
_ORDINARY = frozenset(_ORDINARY_WORDS.split())
_LOSING_WORDS = "lost found find forgot left missing perdu trouve oublie laisse cherche"
_LOSING = frozenset(_LOSING_WORDS.split())

# Real words that one slip turns into a colour; a slip is only mended in words that are none.
_NOT_A_SLIP_WORDS = """
rough route while write whit quite back block blank slack blacks greens greet greed grew gree agree crown brow brows
range ranges jeune jeunes verse verge vertu noire poire croire boire blame bland plank bunch branche branches planche
fellow mellow yell slider sliver argument violent crawl ran pine pink bridge orage oranger grange marrow maron viole
violon beings gris grisly grows team tear seal real call coal moral carol pitch peace teach beach perche cheap poach
clean cleat cyan rouler bouge rogue vague price prices blond blonde branch broken bronze grand grise creme dream
scream pearl reach polar solar whites site wrote whole wait grain grin grip blancs stream gold olives alive sold greek
jane blown bruce bruno burns volet noise violente violents transparence roue roues roule routes macron gordon
"""
_NOT_A_SLIP = frozenset(_NOT_A_SLIP_WORDS.split())
_MENDED_WORDS = (
    "orange yellow green purple violet white black brown silver turquoise magenta maroon burgundy lavender golden "
    "rouge jaune blanc blanche noire mauve transparent"
)
_MENDED = tuple(_MENDED_WORDS.split())

# Seven figures or more with anything but words between them: a phone number (or a date, which is no loss).
_PHONE = patterns.compile(r"\+?\(?\d(?:[\s().,/·+_‐-―−-]*\d){6,}")
_LONG_FIGURE = patterns.compile(r"\d{3,}")
_PHONE_LENGTH = 7
_ROUND_ZERO = patterns.compile(r"(?<=\d)[oO](?=\d)|\b[oO](?=\d{2})")
_ADDRESS = patterns.compile(r"\S+@\S+|https?://\S+|www\.\S+", patterns.IGNORECASE)
_PHONE_WORD = patterns.compile(
    r"\b(?:phone|cell|mobile|tel|telephone|cellulaire|call|appele[rz]|text me|contact"
    r"|my (?:\w+ )?(?:number|num|no|digits)"
    r"|mon (?:\w+ )?num(?:ero)?|ends? (?:in|with)|ending|last (?:four|4)|finit|derniers chiffres)\b"
)
_DOTTED = patterns.compile(r"\b(?:[^\W\d_]\.){2,}")
_ORDINAL = patterns.compile(r"(?<!\d)\d+(?:st|nd|rd|th|e|er|eme|g|gr|am|pm|h|m|ft|x)")
_QUOTED = patterns.compile(r"[\"“”«]\s{0,9}([^\"“”«»\n]{1,30}?)\s{0,9}[\"“”»]")
_ONE_WORD = (
    (patterns.compile(r"\btie[- ]+dyed?\b", patterns.IGNORECASE), "tiedye"),
    (patterns.compile(r"\bmid[- ]+range(s?)\b", patterns.IGNORECASE), "midrange"),
    (patterns.compile(r"\bmi[- ]+distance\b", patterns.IGNORECASE), "midistance"),
    (patterns.compile(r"\bglow[- ]+in[- ]+(?:the[- ]+)?dark\b", patterns.IGNORECASE), "glow"),
    (patterns.compile(r"\bmulti[- ]+(?=colo)", patterns.IGNORECASE), "multi"),
    (
        patterns.compile(
            r"\bsee[- ]+thr(?:ough|u)\b|\bclear(?= (?:plastic|dis[ck]|driver|mid|putter|one))", patterns.IGNORECASE
        ),
        "transparent",
    ),
)
_TOKEN = patterns.compile(r"[^\W_]+(?:['’][^\W_]+)*|[.!?;\n]|[,:()]")
_ELIDED = patterns.compile(r"\b([ldjncsmt]|qu)['’](?=\w)", patterns.IGNORECASE)
_POSSESSED = patterns.compile(r"['’]s\b", patterns.IGNORECASE)
# Numbers that a disc bears for its weight in grams say nothing of whose it is.
_WEIGHTS = range(140, 181)
# Up to a number drawn on for fun, or a player's number; four figures are as a rule the end of a phone number.
_FIGURES = frozenset((1, 2, 3, 5, 6))
_MOST_NAME_WORDS = 3


@dataclass(slots=True)
class _Word:
    """A word or mark as written, and plain: small, without accents."""

    written: str
    plain: str
    named: bool = False

    @property
    def mark(self) -> bool:
        return not self.written[0].isalnum()

    @property
    def ends(self) -> bool:
        return self.written in ".!?;\n"


def disc_words(text: str) -> DiscWords:
    """The colours, the kind and the names that a report gives. A phone number is cut out before anything is read."""
    text = "".join(letter for letter in unicodedata.normalize("NFKC", text) if unicodedata.category(letter) != "Cf")
    text = _ROUND_ZERO.sub("0", text)
    without = _ADDRESS.sub(" , ", _PHONE.sub(" , ", text))
    # Where a phone number is said or could be, in one piece or several, no figure is taken for anything else.
    pieces = sum(len(piece) for piece in _LONG_FIGURE.findall(text))
    figures = pieces < _PHONE_LENGTH and not _PHONE.search(text) and not _PHONE_WORD.search(_plain(text))
    words = _words_of(without)
    # In a text of capitals only, a capital tells nothing.
    capitals = any(letter.islower() for letter in without)
    names = _names(words, without, figures=figures, capitals=capitals)
    return DiscWords(frozenset(_colours(words)), _kind(words), names)


def likeness(lost: DiscReport, found: DiscReport) -> float:
    """How well two reports speak of one disc, 0 to 1; 0 where the lost one was told later, or more than 60 days before.

    Only the times have a direction: the first report is the earlier one. For somebody who reports a loss after the disc
    was handed in, pass the found report as `lost` and the new one as `found`.
    """
    waited = found.at.astimezone(UTC) - lost.at.astimezone(UTC)
    if not timedelta(0) <= waited <= KEPT or _empty(lost.words) or _empty(found.words):
        return 0.0
    colour = _colour_support(lost.words.colours, found.words.colours)
    if colour is None:
        return 0.0
    name, against = _name_support(lost.words.names, found.words.names)
    wrong = (1 - colour) * (1 - name)
    if lost.words.kind and found.words.kind:
        if lost.words.kind == found.words.kind:
            wrong *= 1 - SAME_KIND
        else:
            against *= OTHER_KIND_SAME_NAME if name >= SAME_NAME else OTHER_KIND
    if lost.hole is not None and found.hole is not None:
        apart = abs(lost.hole - found.hole)
        wrong *= 1 - (SAME_HOLE if apart == 0 else NEXT_HOLE if apart == 1 else 0)
        against *= FAR_HOLE if apart > 1 else 1
    return (1 - wrong) * against


def fitting(found: DiscReport, lost: Sequence[DiscReport], at_least: float = ENOUGH) -> list[DiscReport]:
    """The lost discs that the found one may be, best first, and of equals the one lost last.

    The other way round it takes a new loss as `found` and the discs that were handed in before it as `lost`.
    """
    scored = [(likeness(one, found), one) for one in lost]
    good = [(score, one) for score, one in scored if score > 0 and score >= at_least]
    return [one for _, one in sorted(good, key=lambda pair: (-pair[0], -pair[1].at.timestamp(), pair[1].number))]


def _empty(words: DiscWords) -> bool:
    return not (words.colours or words.kind or words.names)


def _colour_support(ours: frozenset[str], theirs: frozenset[str]) -> float | None:
    """What the colours say for the pair; None where they conflict. A look ("glow") conflicts with nothing."""
    looks = {_look(one) for one in ours} & {_look(one) for one in theirs} - {None}
    look = SAME_LOOK if looks else 0.0
    pairs = [(one, other) for one in ours for other in theirs if _hue(one) and _hue(other)]
    if not pairs:
        return look
    hue = max(_pair_support(one, other) for one, other in pairs)
    return 1 - (1 - hue) * (1 - look) if hue else None


def _pair_support(one: str, other: str) -> float:
    hues = {_hue(one), _hue(other)}
    if len(hues) == 1:
        shades = {one.split()[0], other.split()[0]} & {"dark", "light", "neon"}
        return OTHER_SHADE if "dark" in shades and len(shades) > 1 else SAME_COLOUR
    return NEAR_COLOUR if hues in _NEAR else 0.0


def _hue(colour: str) -> str | None:
    last = colour.split()[-1]
    return None if last in {"glow", "swirled", "neon"} else last


def _look(colour: str) -> str | None:
    first = colour.split()[0]
    return first if first in {"glow", "swirled", "neon"} else None


def _name_support(ours: frozenset[str], theirs: frozenset[str]) -> tuple[float, float]:
    """What the names say for the pair, and the factor against it."""
    one, other = {_plain(name) for name in ours}, {_plain(name) for name in theirs}
    if not one or not other:
        return 0.0, 1.0
    shared = one & other
    if shared and (shared in (one, other)):
        return SAME_NAME, 1.0
    if _initials_fit(one - shared, other - shared) or _initials_fit(other - shared, one - shared):
        return SAME_INITIALS, 1.0
    return (SAME_NAME_OF_SEVERAL if shared else 0.0), OTHER_NAMES


def _initials_fit(short: set[str], full: set[str]) -> bool:
    """Whether "jb" stands for two of the full names; in any order, since a set has none."""
    return any(
        sorted(name) == sorted(word[0] for word in words)
        for name in short
        if 2 <= len(name) <= 3 and name.isalpha()
        for words in combinations([word for word in full if len(word) > 1], len(name))
    )


def _plain(text: str) -> str:
    split = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in split if not unicodedata.combining(letter)).replace("'", "").replace("’", "")


def _words_of(text: str) -> list[_Word]:
    for pattern, word in _ONE_WORD:
        text = pattern.sub(word, text)
    text = _DOTTED.sub(lambda found: found.group().replace(".", ""), text)
    text = _ELIDED.sub(r"\1 ", _POSSESSED.sub(" s", text))
    return [_Word(found, _plain(found)) for found in _TOKEN.findall(text)]


def _at(words: Sequence[_Word], index: int) -> str:
    """The plain word there, or nothing beyond the ends."""
    return words[index].plain if 0 <= index < len(words) else ""


def _negated(words: Sequence[_Word], index: int) -> bool:
    index -= 1
    while _at(words, index) in _BETWEEN:
        index -= 1
    return _at(words, index) in _NEGATIVE


# Colours


def _colours(words: Sequence[_Word]) -> Iterator[str]:
    for index, word in enumerate(words):
        if word.named or word.mark:
            continue
        hue = _colour_word(word.plain)
        if hue is not None and not _negated(words, index) and not _of_something_else(words, index):
            yield hue if " " in hue else _shaded(words, index, hue)
        elif hue is None and word.plain in _LOOKS and not _negated(words, index) and not _shades_a_hue(words, index):
            yield _LOOKS[word.plain]


def _colour_word(plain: str) -> str | None:
    """The hue that a word means, one slip of the thumb mended."""
    if plain in _HUES:
        return _HUES[plain]
    if len(plain) < 4 or plain in _NOT_A_SLIP or plain in _ORDINARY or plain in _THINGS or plain in _CHOSES:
        return None
    near = process.extractOne(plain, _MENDED, scorer=OSA.distance, score_cutoff=1)
    return _HUES[near[0]] if near is not None and near[0][0] == plain[0] else None


def _shaded(words: Sequence[_Word], index: int, hue: str) -> str:
    before, after = _at(words, index - 1), _at(words, index + 1)
    if before in _BEFORE and _colour_word(_at(words, index - 2)) is None:
        return f"{_SHADES[before]} {hue}"
    if after in _AFTER and _colour_word(_at(words, index + 2)) is None:
        return f"{_SHADES[after]} {hue}"
    # "rouge bleu clair": the shade between two colours goes with its language; French words stand behind.
    if before in _BEFORE and before not in _AFTER:
        return f"{_SHADES[before]} {hue}"
    return f"{_SHADES[after]} {hue}" if after in _AFTER and after not in _BEFORE else hue


def _shades_a_hue(words: Sequence[_Word], index: int) -> bool:
    beside = _at(words, index - 1), _at(words, index + 1)
    return words[index].plain in _SHADES and any(_colour_word(one) is not None for one in beside)


def _of_something_else(words: Sequence[_Word], index: int) -> bool:
    """Whether the colour is a tree's, a tee's, the ink's: "white pine", "by the red house", "feutre noir"."""
    after = _at(words, index + 1)
    if after in _THINGS or (after in {"permanent", "metallic"} and _at(words, index + 2) in _THINGS):
        return True
    start = index - 1
    while _at(words, start) in _SHADES or _at(words, start) in _HUES:
        start -= 1
    before = _at(words, start)
    if before in _CHOSES or before in _PLACING_THE:
        return True
    behind = index + 1
    while _at(words, behind) in _SHADES or _at(words, behind) in _HUES:
        behind += 1
    of_disc = any(_about_disc(_at(words, one)) for one in range(behind, behind + 3))
    if before in {"in", "en"} and not of_disc and any(_at(words, one) in _SAYS for one in range(start - 5, start)):
        return True
    if before in _DETERMINERS:
        return _at(words, start - 1) in _PLACING and not of_disc
    if _about_disc(before) or before in _ORDINARY - _DETERMINERS or words[max(start, 0)].mark:
        return False
    # "pres de la maison jaune": preposition, article, thing, colour.
    article = _at(words, start - 1)
    return article in _PLACING_THE or (article in _DETERMINERS and _at(words, start - 2) in _PLACING | {"de"})


def _about_disc(plain: str) -> bool:
    return plain in _DISC_WORDS or plain in _KIND_WORDS


# The kind


def _kind(words: Sequence[_Word]) -> str | None:
    """The one kind that is named; None for none and for two, since nobody knows which of them is meant."""
    kinds = {
        _KIND_WORDS[word.plain]
        for index, word in enumerate(words)
        if word.plain in _KIND_WORDS and not word.named and not _negated(words, index) and _is_disc(words, index)
    }
    return kinds.pop() if len(kinds) == 1 else None


_MIDDLE_WORDS = (
    "morning afternoon day week june july august season round fairway flight air hole april may september october"
)
_MIDDLE_OF = frozenset(_MIDDLE_WORDS.split())
_DRIVING_WORDS = "bus cart truck mower taxi cab"
_DRIVES = frozenset(_DRIVING_WORDS.split())


def _is_disc(words: Sequence[_Word], index: int) -> bool:
    """Not "mid july", "the bus driver", "on my approach"."""
    match words[index].plain:
        case "mid":
            return _at(words, index + 1) not in _MIDDLE_OF
        case "driver":
            return _at(words, index - 1) not in _DRIVES
        case "approach" | "approche":
            before = index - 1
            while _at(words, before) in _DETERMINERS | {"l", "first", "second", "deuxieme"}:
                before -= 1
            shot = _at(words, index + 1) in {"shot", "shots", "throw"}
            return not shot and _at(words, before) not in {"on", "after", "for", "sur", "apres", "during", "pendant"}
        case _:
            return True


# Names


def _names(words: list[_Word], text: str, *, figures: bool, capitals: bool) -> frozenset[str]:
    """All names, each word marked so that "says GREEN" gives no colour."""
    runs: list[list[_Word]] = []
    for index, word in enumerate(words):
        if word.plain in _SAYS and not _negated(words, index) and not _introduces_sender(words, index):
            runs.append(_run_after(words, index, capitals=capitals))
    runs += [_run_before(words, index, capitals=capitals) for index in range(1, len(words))]
    runs += [_make(words, index, capitals=capitals) for index in range(len(words))]
    for quoted in _QUOTED.findall(text):
        inside = [one for one in _words_of(quoted) if not one.mark]
        if len(inside) <= _MOST_NAME_WORDS:
            plain = [one.plain for one in inside]
            runs += [
                words[at : at + len(plain)]
                for at in range(len(words) - len(plain) + 1)
                if plain == [one.plain for one in words[at : at + len(plain)]]
                and all(_may_be_name(words, at + one, capitals=capitals) for one in range(len(plain)))
            ]
    names: set[str] = set()
    for run in runs:
        for one in run:
            one.named = True
        names.update(_joined(run, figures=figures))
    return frozenset(names)


def _joined(run: Sequence[_Word], *, figures: bool) -> Iterator[str]:
    """The names of a run: letters that stand alone are put together ("J B"); a single letter proves nothing."""
    alone = ""
    for word in [*run, None]:
        if word is not None and len(word.plain) == 1 and word.plain.isalpha():
            alone += word.written.lower()
            continue
        if len(alone) > 1:
            yield alone
        alone = ""
        if word is not None and _allowed(word.plain, figures=figures):
            yield word.written.lower()


def _allowed(plain: str, *, figures: bool) -> bool:
    if plain.isdecimal():
        weight = len(plain) == 3 and int(plain) in _WEIGHTS
        return figures and len(plain) in _FIGURES and not weight
    digits = sum(letter.isdecimal() for letter in plain)
    return (not digits or (figures and digits <= 2)) and not _ORDINAL.fullmatch(plain)


def _may_be_name(words: Sequence[_Word], index: int, *, capitals: bool) -> bool:
    word = words[index]
    if word.mark or word.plain in _KIND_WORDS or (word.plain in _DISC_WORDS and word.plain != "one"):
        return False
    shouted = capitals and word.written.isupper()
    if len(word.plain) == 1:
        return shouted or word.plain.isdecimal()
    if word.plain in _ORDINARY or word.plain in _SAYS or word.plain in _OVER:
        return shouted and len(word.plain) > 2
    if word.plain in _HUES or word.plain in _LOOKS or word.plain in _SHADES:
        return capitals and word.written[0].isupper() and not _about_disc(_at(words, index + 1))
    return True


def _introduces_sender(words: Sequence[_Word], index: int) -> bool:
    """ "My name is Dana": who texts, unless the sentence says that it is written on the disc."""
    if words[index].plain not in {"name", "nom", "prenom"} or _at(words, index - 1) not in {"my", "mon"}:
        return False
    if _at(words, index + 1) not in {"is", "s", "est", "c"}:
        return False
    rest: list[str] = []
    for word in words[index + 1 :]:
        if word.ends or word.written == ",":
            break
        rest.append(word.plain)
    return not _ON_IT.search(" ".join(rest))


def _run_after(words: Sequence[_Word], index: int, *, capitals: bool) -> list[_Word]:
    """The name that follows "says", over "on the back", "in black marker", ":"."""
    start = index + 1
    while start < len(words) and not words[start].ends and not _may_be_name(words, start, capitals=capitals):
        over = words[start].plain in _OVER or words[start].plain in _HUES or words[start].written in ":(,"
        if not over or (words[start].written == "," and _at(words, start - 1) not in {"initials", "name"}):
            return []
        start += 1
    run = _run_from(words, start, capitals=capitals)
    loose = words[index].plain in _SAYS_LOOSELY and not (run and capitals and run[0].written[0].isupper())
    return [] if loose else run


def _run_from(words: Sequence[_Word], start: int, *, capitals: bool) -> list[_Word]:
    run: list[_Word] = []
    while start < len(words) and len(run) < _MOST_NAME_WORDS and _may_be_name(words, start, capitals=capitals):
        # After a name with a capital, a small word is no more of it: "says KIM blah".
        if run and run[0].written[0].isupper() and words[start].written[0].islower():
            break
        run.append(words[start])
        start += 1
    return run


def _run_before(words: Sequence[_Word], index: int, *, capitals: bool) -> list[_Word]:
    """The name before "on it", "on the back", "dessus"; a small letter only after "with", "has" or a comma."""
    if not _ON_IT.match(" ".join(one.plain for one in words[index : index + 4])):
        return []
    start = index
    while start > 0 and index - start < _MOST_NAME_WORDS and _may_be_name(words, start - 1, capitals=capitals):
        start -= 1
    run = list(words[start:index])
    bare = start
    while _at(words, bare - 1) in {"a", "an", "the", "un", "une", "number", "numero", "le"}:
        bare -= 1
    led = _at(words, bare - 1) in {"with", "w", "has", "had", "got", "having", "avec"}
    if _at(words, bare - 1) in {"hole", "trou", "basket", "panier", "tee"} or _negated(words, start):
        return []
    if led or (start > 0 and words[start - 1].mark):
        return run
    while run and not (capitals and run[0].written[0].isupper()):
        run, start = run[1:], start + 1
    return run


def _make(words: Sequence[_Word], index: int, *, capitals: bool) -> list[_Word]:
    """The make of a disc, from where it stands: "a red zorbex driver", "lost my Zorbex", "putter Zorbex rouge"."""
    if words[index].plain.isdecimal() or not _unknown(words, index):
        return []
    if _in_phrase(words, index - 1) and _unknown(words, index):
        end = index + 1
        while end < len(words) and end - index < 2 and _unknown(words, end):
            end += 1
        run = list(words[index:end])
        closed = _in_phrase(words, end) and _at(words, end) not in _DETERMINERS
        if closed and not _of_thing_phrase(words, index):
            return run
        behind = _at(words, index - 1)
        looked_for = behind in _DETERMINERS and _at(words, index - 2) in _LOSING | {"called", "s", "its", "est"}
        if capitals and words[index].written[0].isupper() and (behind not in _DETERMINERS or looked_for):
            return [one for one in run if one.written[0].isupper() or one.plain.isdecimal()]
        return []
    starts = index == 0 or words[index - 1].mark
    told = _at(words, index - 1) in _LOSING and capitals and words[index].written[0].isupper()
    return (
        [words[index]]
        if (starts or told) and _about_disc(_at(words, index + 1)) and _at(words, index + 1) != "one"
        else []
    )


def _of_thing_phrase(words: Sequence[_Word], index: int) -> bool:
    return _at(words, index - 1) in _DETERMINERS and _at(words, index - 2) in _PLACING


def _unknown(words: Sequence[_Word], index: int) -> bool:
    """A word with no meaning here: neither everyday, nor a thing, nor said of discs."""
    word = words[index]
    if word.mark or len(word.plain) < 2 or word.named or _in_phrase(words, index) or word.plain.isdecimal():
        return False
    everyday = (_ORDINARY, _SAYS, _THINGS, _CHOSES, _PLACING, _NEGATIVE, _OVER, _LOSING, _PLACING_THE)
    return not any(word.plain in group for group in everyday) and word.plain not in {"permanent", "w", "fairway"}


def _in_phrase(words: Sequence[_Word], index: int) -> bool:
    """Said of a disc: its article, colour, shade, look, kind, or the word for it."""
    plain = _at(words, index)
    if not plain:
        return False
    known = (_DETERMINERS, _HUES, _SHADES, _LOOKS, _KIND_WORDS, _DISC_WORDS)
    return any(plain in group for group in known) or _colour_word(plain) is not None

"""The words that people use of discs, in both languages, without accents: colours, shades, kinds, and what is no name."""

PUTTER, MID_RANGE, DRIVER = "putter", "mid-range", "driver"

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
HUES = {
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
SHADES = {
    word: name
    for line in _SHADE_LINES.split("\n")
    if line
    for name, words in [line.split(": ")]
    for word in words.split()
}
_BEFORE_WORDS = "dark darker deep forest light lighter pale pastel baby sky powder neon fluo bright hot electric"
BEFORE = frozenset(_BEFORE_WORDS.split())
AFTER = frozenset(SHADES) - frozenset(("dark", "darker", "deep", "forest", "light", "lighter", "baby", "sky", "hot"))
# "neon" needs no hue beside it; "light", "hot" and "clair" mean nothing without one.
_LOOK_WORDS = "glow glows glowing phosphorescent phosphorescente luminescent luminescente"
_SWIRL_WORDS = (
    "swirl swirls swirly swirled marbled marbre marbree multicolour multicolor "
    "multicoloured multicolored rainbow multicolore tiedye tiedyed dye dyed tourbillon"
)
LOOKS = (
    dict.fromkeys(_LOOK_WORDS.split(), "glow")
    | dict.fromkeys(_SWIRL_WORDS.split(), "swirled")
    | dict.fromkeys(("neon", "fluo", "fluos", "fluorescent", "fluorescente"), "neon")
)
KIND_WORDS = {
    **dict.fromkeys(("putter", "putters", "puter", "putteur", "approach", "approche"), PUTTER),
    **dict.fromkeys(("mid", "mids", "midrange", "midranges", "midistance"), MID_RANGE),
    **dict.fromkeys(("driver", "drivers"), DRIVER),
}
_DISC_NOUNS = "disc discs disk disks disque disques frisbee one plastic plastique colour color couleur"
DISC_WORDS = frozenset(_DISC_NOUNS.split())
_DETERMINER_WORDS = "a an my the this that his her our their un une mon ma le la ce cet cette mes son sa"
DETERMINERS = frozenset(_DETERMINER_WORDS.split())

# Beside these a colour is not the disc's: an English one stands before its thing, a French one behind it.
_THING_WORDS = """
pine pines spruce oak birch maple fir tree trees bush bushes rock rocks grass tee tees basket baskets sign signs post
marker markers flag bin box bag car truck van house shed bench bridge boat door dog shirt jacket hat cap water hoodie
sharpie ink pen marker writing letters lettering text print stamp foil logo dot dots sticker tape paint flies loop
"""
THINGS = frozenset(_THING_WORDS.split())
_CHOSE_WORDS = """
pin pins sapin epinette epinettes chene bouleau erable arbre arbres roche herbe panier paniers depart poteau drapeau
boite sac auto voiture camion maison banc pont bateau porte chien chandail manteau casquette feutre encre crayon stylo
lettres texte logo point collant autocollant marqueur estampe etampe fait
"""
CHOSES = frozenset(_CHOSE_WORDS.split())
_PLACING_WORDS = """
near by behind under beside past over into in on off from to at around of against pres derriere sous dans sur vers
devant contre cote
"""
PLACING = frozenset(_PLACING_WORDS.split())
PLACING_THE = frozenset(("du", "au", "des", "aux"))  # a preposition and an article in one
_NEGATIVE_WORDS = (
    "no not without never nothing isnt wasnt doesnt didnt dont hasnt pas sans aucun aucune rien ni non nor"
)
NEGATIVE = frozenset(_NEGATIVE_WORDS.split())
_BETWEEN_WORDS = (
    "a an my the any even really de d un une mon ma le la have has had put write wrote is s of mes nom or ou ni nor"
)
BETWEEN = frozenset(_BETWEEN_WORDS.split())

# After these a name is awaited, over the words that may lie between.
_SAYS_WORDS = """
says say saying reads read marked labelled labeled signed initials initial initialled name names written belongs
property engraved inscribed stamped nickname appartient marque marquee marques ecrit ecrite inscrit inscrite signe
signee grave gravee dit nom noms prenom initiales initiale surnom
"""
SAYS = frozenset(_SAYS_WORDS.split())
# These say much else ("I'd say purple"), so the name must show by a capital.
SAYS_LOOSELY = frozenset(("say", "saying", "read", "reading", "dit", "stamped", "names", "noms"))
_OVER_WORDS = """
on it the back front bottom top rim inside underside of is are it's with as in my name names initials initial s
sharpie marker pen ink permanent est sont c sur au a l dos dessus dessous arriere endos bord de mes mon nom ses son sa
le la et feutre en his her prenom by d avec les lettres letters letter number numero word words mot mots un une what
looks like please return to belongs property if found disc disk disque propriete appartient
"""
OVER = frozenset(_OVER_WORDS.split())
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
ORDINARY = frozenset(_ORDINARY_WORDS.split())
_LOSING_WORDS = "lost found find forgot left missing perdu trouve oublie laisse cherche"
LOSING = frozenset(_LOSING_WORDS.split())

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
NOT_A_SLIP = frozenset(_NOT_A_SLIP_WORDS.split())
_MENDED_WORDS = (
    "orange yellow green purple violet white black brown silver turquoise magenta maroon burgundy lavender golden "
    "rouge jaune blanc blanche noire mauve transparent"
)
MENDED = tuple(_MENDED_WORDS.split())

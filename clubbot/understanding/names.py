"""The name by which a sender introduces himself or herself."""

from collections.abc import Set

from clubbot.texting import patterns

_WORD = r"[^\W\d_][\w'’-]+"
_SAYS = patterns.compile(
    r"\b(?:nam(?:e|es)?(?: is|['’]s|s)|my name to|name(?: for the list)? would be|i am|i['’]m(?: now)?|im|this is|it['’]s(?: me,?)?|its(?: me,?)?|that['’]s me,?|calls? me"
    r"|(?:put|save|sign|record) me(?: down)? as|talking to|je m['’ ]appelle|jm['’]?app?elle?|m['’]appell?er?|s['’]appelle|mon nom (?:est|pour|c['’]est)|moi,? c(?:['’ ]?est)?|ici"
    r"|c['’ ]?est(?: moi,?)?|appelez[- ]moi|appelle[- ]moi|mon pr[ée]nom est|je suis|jsuis|je me nomme|parlez (?:à|avec))(?: toujours| bien| still| actually| just)?\s+"
    rf"(?P<name>{_WORD}(?: {_WORD})?)",
    patterns.IGNORECASE,
)
_HERE = patterns.compile(
    rf"(?<![^\W\d_])(?P<name>{_WORD})\s+(?:here|ici|icitte|speaking|à l['’]appareil)\b", patterns.IGNORECASE
)
_IS_MY_NAME = patterns.compile(
    rf"(?<![^\W\d_])(?P<name>{_WORD}?)(?:['’]s|,? is) (?:my|the) name\b", patterns.IGNORECASE
)
_SIGNED = patterns.compile(
    rf"(?:^|[\s,.-])(?:name|nom|prénom)\s{{0,9}}[:=-]?\s{{0,9}}(?P<name>{_WORD}(?: {_WORD})?)\s{{0,9}}$",
    patterns.IGNORECASE,
)
_NOTHING_ELSE = patterns.compile(r"^\W*(?P<name>[^\W\d_][\w-]+(?: [^\W\d_][\w-]+)?)\W*$")
# Words that follow "I'm", "it's", "c'est" or stand before "here" without being a name, and words that end one.
_OTHER_WORDS = """
a an the not in out new here on at going coming so very just your my our interested looking hoping wondering bringing from with and but
by for to of who is was im sure down up sorry ready late lost hurt stuck good fine ok okay still too also now today tomorrow tonight again
calling texting writing speaking dad mom mum thanks please hello hi hey there been me you he she we they it this that these those anyone
someone somebody nobody everyone anybody people way only one two all any some no yes more than if when how what where why because about
raining snowing windy sunny cold hot wet dark light open closed free busy full cheap hard easy fun great awesome nice cool bad perfect
first second last true right wrong possible available allowed safe public private far near early old young left able happy glad excited
curious keen done finished back home trying thinking planning getting having being wanting asking driving waiting running playing walking
beginner newbie visiting called spelled spelt note lol um uh you're dr confused disabled pregnant allergic afraid
un une le la les en de du des pas ici nouveau nouvelle avec et mais pour qui dans au aux votre mon ma mes je tu il elle on est merci svp
allo salut bonjour moi toi lui nous vous ça ca ce cette bon bien beau super parfait possible ouvert ouverte fermé ferme gratuit gratuite cher
loin près pres ou où quand comment combien quoi pourquoi quel quelle mieux correct vrai faux interdit permis plein libre trop très tres
encore déjà deja toujours aussi mouillé sec froid chaud noir perdu perdue retard débutant débutante debutant debutante prêt prete content
contente intéressé intéressée interesse désolé désolée desole desolee malade blessé blessée blesse seul seule sur sous chez là par quelqu
ton mal désormais maintenant euh certain certaine surement sûrement dit écrit
are were btw obvs obviously haha hahaha lmao weds thurs under sous told said like
nothing none nobody never mind pass private whatever anything rien personne jamais laisse faire
mon tue tues sat wed thu thur thurs fri sun lun mar mer jeu ven dim monday tuesday wednesday thursday friday saturday sunday lundi mardi mercredi jeudi vendredi samedi dimanche canadian american french english québécois
"""
NO_NAME = frozenset(_OTHER_WORDS.split())


# Beside another wish a name is only read where it stands with a capital, or after words that nothing else can follow.
_INTRODUCES = patterns.compile(
    rf"(?:\b[Mm]y name(?: is|['’]?s) |\b[Jj]e m['’ ]appelle |\b[Mm]on nom est |\b[Mm]oi,? c['’]est )(?P<sure>{_WORD})"
    r"|(?:\b[Tt]his is |\b[Ii](?:['’]m|m| am) |\b[Ii]ci )(?P<capital>[A-ZÉÈ][a-zé-]+)(?=$|[ ,.!;:])"
    r"|^\W*(?:(?:[Hh]i|[Hh]ey|[Hh]ello|[Bb]onjour|[Aa]llo|[Ss]alut)(?: there)?\W+)?(?:[Ii]t['’]?s|[Ii]t is|[Tt]his is|[Cc]['’]est|[Ii]ci) (?P<start>[A-ZÉÈ][a-zéèêëïîôç-]+)(?: [A-ZÉÈ][a-zéèêëïîôç-]+)?(?=$|[,.!;:]| (?:here|not|in|can|cant|can't|i|I|je|j)\b)"
    r"|[,.!] *(?:[Ii]t['’]?s|[Cc]['’]est) (?P<end>[A-ZÉÈ][a-zéèêëïîôç-]+)\W*$"
    r"|(?:^|[.!?,] *)(?P<before>[A-ZÉÈ][a-zé-]+) (?:here|ici)\b"
)


_SIGNATURE = patterns.compile(
    r"(?P<last>[^\W\d_]) {0,2}[,.;!–—-] {0,3}(?P<name>[A-ZÉÈ][a-zéèêëïîôç-]{1,20}(?: [A-ZÉÈ][\w.-]{0,20})?)[ .!]{0,3}$"
)
_FEWEST_WORDS = 3  # of what is signed


def without_signature(text: str, known: Set[str]) -> str:
    """The text without the name at its end that it is signed with: "in for tonight, Ben". A word that is `known` is none, nor is a name after
    a name, which goes on with it.
    """
    found = _SIGNATURE.search(text)
    if found is None:
        return text
    names = {word.casefold() for word in found["name"].split()}
    signed = text[: found.end("last")]
    words = signed.split()
    return text if names & (NO_NAME | known) or len(words) < _FEWEST_WORDS or words[-1][0].isupper() else signed


def name_in(text: str) -> str | None:
    """The name given in a text, as written but with a capital; None where none can be made out."""
    for pattern in (_SAYS, _HERE, _IS_MY_NAME, _SIGNED, _NOTHING_ELSE):
        for found in pattern.finditer(text):
            kept = _kept(found["name"])
            if kept:
                return kept
    return None


def introduced(text: str) -> bool:
    """Whether the sender says a name beside something else: "hi im Dana. is it open". Only plain introductions count."""
    found = _INTRODUCES.search(text)
    if found is None:
        return False
    return _kept(found["sure"] or found["capital"] or found["start"] or found["end"] or found["before"]) is not None


def _kept(words: str) -> str | None:
    good: list[str] = []
    for word in words.split():
        if word.casefold() in NO_NAME or len(word) > 30:
            break
        good.append(word)
    if len(good) == 2 and not good[1][0].isupper():
        good = good[:1]
    return " ".join(word[0].upper() + word[1:] for word in good) or None

"""What somebody texts who has been shown what would be done and does not want it: "cancel", "no wait", "non, laisse faire". And the bare
yes that forgot its code.
"""

from clubbot.texting.keywords import bare

# One of these has to be there, and nothing that is in neither list.
_DROPS = frozenset(
    [
        "no",
        "nope",
        "nah",
        "not",
        "dont",
        "don",
        "never",
        "cancel",
        "cancelled",
        "stop",
        "quit",
        "end",
        "wait",
        "drop",
        "scrap",
        "undo",
        "forget",
        "nevermind",
        "nvm",
        "ignore",
        "abort",
        "scratch",
        "non",
        "nenni",
        "pas",
        "annule",
        "annuler",
        "annulez",
        "arret",
        "arrete",
        "arretez",
        "arreter",
        "attends",
        "attendez",
        "attend",
        "oublie",
        "oublier",
        "oubliez",
        "laisse",
        "laissez",
        "laisser",
        "lache",
        "jamais",
        "stoppe",
    ]
)
_BESIDE = frozenset(
    [
        "it",
        "that",
        "this",
        "one",
        "the",
        "my",
        "order",
        "draft",
        "text",
        "a",
        "t",
        "s",
        "do",
        "send",
        "mind",
        "hold",
        "on",
        "please",
        "pls",
        "plz",
        "thanks",
        "thank",
        "you",
        "thx",
        "sorry",
        "oops",
        "oh",
        "ok",
        "okay",
        "hey",
        "hi",
        "now",
        "yet",
        "actually",
        "anymore",
        "more",
        "just",
        "let",
        "s",
        "leave",
        "be",
        "wrong",
        "mistake",
        "was",
        "is",
        "i",
        "ll",
        "ill",
        "me",
        "for",
        "all",
        "off",
        "of",
        "instead",
        "changed",
        "ca",
        "cela",
        "ce",
        "c",
        "est",
        "le",
        "la",
        "l",
        "les",
        "un",
        "une",
        "moi",
        "y",
        "tu",
        "vous",
        "ne",
        "n",
        "fais",
        "faites",
        "faire",
        "envoie",
        "envoyez",
        "tomber",
        "svp",
        "stp",
        "merci",
        "desole",
        "desolee",
        "excuse",
        "excusez",
        "finalement",
        "plus",
        "encore",
        "tout",
        "de",
        "suite",
        "maintenant",
        "maudit",
        "oups",
        "bon",
        "ben",
        "je",
        "j",
        "me",
        "suis",
        "trompe",
        "trompee",
        "erreur",
        "une",
        "texto",
        "commande",
        "yes",
        "oui",
    ]
)
# These name the club's own other orders or wishes, whatever stands beside them.
_OTHER = frozenset({"not me", "pas moi", "hold it", "hold that", "hold on sending"})
_LONGEST = 9
_YES = frozenset(
    [
        "yes",
        "y",
        "yep",
        "yeah",
        "yup",
        "ok",
        "okay",
        "sure",
        "yes please",
        "ok yes",
        "yes ok",
        "ok do it",
        "yes do it",
        "do it",
        "go ahead",
        "yes go ahead",
        "ok go ahead",
        "confirm",
        "yes confirm",
        "oui",
        "ouais",
        "oui svp",
        "oui merci",
        "ok oui",
        "d accord",
        "vas y",
        "allez y",
        "ok vas y",
        "oui vas y",
        "fais le",
        "faites le",
        "confirme",
        "je confirme",
        "c est bon",
    ]
)
_STOPS = frozenset(
    [
        "stop",
        "stopall",
        "unsubscribe",
        "cancel",
        "end",
        "quit",
        "revoke",
        "arret",
        "arreter",
        "arrete",
        "arretez",
        "desabonner",
    ]
)


def drops(text: str) -> bool:
    """Whether the text is nothing but a no to what was shown. A code in it does not matter."""
    plain = bare(text)
    words = [word for word in plain.split() if not word.isdigit()]
    if not words or len(words) > _LONGEST or " ".join(words) in _OTHER:
        return False
    return any(word in _DROPS for word in words) and all(word in _DROPS or word in _BESIDE for word in words)


def only_yes(text: str) -> bool:
    """Whether the text is a yes without a code."""
    return bare(text) in _YES


def speaks_of_stopping(text: str) -> bool:
    """Whether one of the words that end texts stands in it: "STOP 48217730"."""
    return any(word in _STOPS for word in bare(text).split())


def refuses(text: str) -> bool:
    """Whether there is a no in a text that holds a code."""
    return any(word in _DROPS for word in bare(text).split())

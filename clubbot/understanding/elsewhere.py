"""Words of other people's business: other sports, the town's other services, trades, lost keys, money back.

Such a word settles nothing, "we usually play softball, can we try your course" is for us. It adds a little doubt, and a text that was
barely clear goes to a person.
"""

from clubbot.texting import patterns

_WORDS: dict[str, str] = {
    "other sports": (
        "soft ?ball|baseball|soccer|hockey|bowling|tennis|pickleball|yacht|sail(?:ing)?|voile|arena|rink|patinoire|gym|marathon|ultimate"
        "|skat(?:e|ing)|foot(?:ball)?|soft|balle molle|ballon|kayaks?|curling|piscine|pool"
    ),
    "golf with a ball": "links|green fees?|golf carts?|tee times?|caddie|driving range|mini ?golf|putt putt",
    "the town": (
        "library|bibliotheque|garbage|dump|depotoir|vidanges?|recycling|licen[sc]e|bylaw|pothole|nids? de poule|street ?lights?|museum|musee"
        "|rec cent(?:re|er)|town hall|hotel de ville|mairie|police|church|eglise|bingo|boat ramp|campground|camping"
    ),
    "trades and money": (
        "tax|taxes|landlord|plumber|insurance|assurances?|lawyer|avocat|refund|rembours\\w*|bank|banque|pizza|taxi|job|hiring|emploi"
        "|facebook|password|mot de passe|wrong number|mauvais numero"
    ),
    "health": "hospital|hopital|dentist|doctor|medecin|ambulance",
    "things lost that are no discs": "wallet|keys?|cles?|portefeuille|glasses|lunettes|hoodie|jacket|manteau",
}
_ANY = patterns.compile(rf"\b(?:{'|'.join(_WORDS.values())})\b")


def of_another_world(plain: str) -> bool:
    """Whether a plain text has a word of somebody else's business in it."""
    return _ANY.search(plain) is not None

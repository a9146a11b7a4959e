"""Words that several kinds of orders share: greetings, reasons, and what makes a text no order."""

from clubbot.texting import patterns
from clubbot.understanding.orders.marked import any_of

GREETS = r"(?:(?:ok|okay|hi|hey|hello|morning|please|pls|plz|bonjour|salut|allo|svp|stp|update|attention|heads up)(?: all| clubbot)?(?: ,)? ){0,9}"
START = rf"(?:^|(?<=, )){GREETS}"
COURTESY_AFTER = patterns.compile(r"(?:(?: ,)? (?:please|pls|plz|thanks|thank you|thx|merci|svp|stp)){1,9}$")

# Why a course is closed: these may stand before the order without a mark between, "flooded back loop shut".
_WHY_WORDS = r"""
flood flooded flooding ice icy snow snowing storm stormy thunder lightning wind windy winds rain tree trees branch fallen down mud muddy
wet water underwater fog fire smoke mowing work works damage damaged unsafe dangerous inonde inondee inondes inondation inondations glace
verglas neige orage orages tempete vent vents arbre arbres branche tombe boue eau pluie tonte travaux brume feu fumee danger dangereux
"""
_WHY_BESIDE = "big heavy strong high tide gros grosse fort forte maree haute of de and et on the sur les la everywhere partout too much trop"
WHY = rf"(?:{any_of(_WHY_WORDS)})"
WHY_LED = rf"(?:(?:(?:{any_of(_WHY_BESIDE)}|@+) ){{0,9}}{WHY} (?:(?:{any_of(_WHY_BESIDE)}|{WHY}|@+) ){{0,9}}|@+ )?"

# A report, a doubt or a past is no order.
REPORTS = patterns.compile(
    r"\b(?:someone|somebody|heard|hear that|apparently|maybe|perhaps|i think|think|seems|seemed|looks like|wonder\w*|was|were|wasn t|yesterday"
    r"|quelqu un|parait|peut etre|semble|je crois|je pense|on dirait|etait|hier)\b"
)
# What stands before an order and makes it something else.
UNDOES = patterns.compile(
    r"\b(?:if|unless|whether|should|shall|want|wants|wish|would|could|can|can t|don t|dont|do not|not|never|no need|si|devrait|faut|veux|voudrais|aimerais|pas|jamais"
    r"|yes|yeah|yep|yup|no|nope|sorry|thanks|oui|ouais|non|desole\w*|merci|when|quand|why|pourquoi|who|qui|what|quoi|how|comment|est ce)\b"
)
# A bare status that speaks to somebody, or of oneself, is a reply.
REPLIES = patterns.compile(
    r"\b(?:sorry|apologies|you|u|your|yours|ya|i|im|my|mine|vous|votre|vos|tu|te|ton|ta|desole\w*|je|j|ma|mes)\b"
)
ASKS = patterns.compile(
    r"^(?:(?:ok|okay|hi|hey|hello|so|and|bonjour|salut|et|alors) ,? ?){0,9}(?:is|are|was|do|does|did|can(?! t\b)|could|should|shall|would|will|who|whos|what|when|where|why|which|how|any|anyone|anybody"
    r"|est ce|qui|quoi|quand|comment|pourquoi|combien|faut|peut on|peux tu|pouvez|pourrais|pourriez|devrait|y a t il|c est quand)\b"
)
_LEAD_WORDS = r"because of|because|cause of|cause|cuz|bc|due to|for|as|so|and|reason|it s|its|is|parce que|a cause (?:des|de|du|d)|en raison (?:des|de|du|d)|pour cause (?:de|d)|suite a|car|pour|et|down|again|encore|with|,"
LEADS_REASON = patterns.compile(rf"^(?:(?:{_LEAD_WORDS}) ){{1,9}}")
ENDS_REASON = patterns.compile(
    r"(?: (?:please|pls|plz|thanks|thx|merci|svp|stp|now|asap|ok|and|et|again|encore|the|is|for|to|,)){1,9}$"
)
ONLY_LEADS = patterns.compile(
    rf"(?:(?:{_LEAD_WORDS}|please|pls|thanks|thx|merci|svp|stp|ok|okay|hi|hey|hello|morning|now|the|le|la|bonjour|salut|update)(?: |$)){{0,9}}"
)
ALSO_TELLS = patterns.compile(r"\b(?:tell|notify|inform|text|dis|dites|avise[rz]?|previens|prevenez)\b")
TELLS_ALL = patterns.compile(
    r"(?:(?:and|et|,) ){0,9}(?:tell|notify|inform|text|dis le a|dites le a|avise[rz]?|previens|prevenez) (?:everyone|everybody|all|people|them|the list|tout le monde|les gens)(?: please| pls| svp)?$"
)

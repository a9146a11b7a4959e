"""Words that mean somebody is hurt or in danger now. Better once too often: the reply is short and sends to the emergency number."""

import re

from clubbot.understanding.plain import unaccented

_SURE = re.compile(
    r"\b(?:911|112|999)\b(?!.*\b(?:hole|m|feet|metres)\b)"
    r"|\b(?:ambulance|paramedics?|ambulancier|ems)\b"
    r"|\b(?:unconscious|unresponsive|passed out|collapsed|knocked out|inconscient\w*|evanoui\w*|sans connaissance|effondre\w*)\b"
    r"|\b(?:not|isnt|isn t|cant|can t|cannot|stopped|hardly|barely) breath\w*|\brespire (?:plus|pas|mal)\b|\bchok(?:ing|ed)\b|\bs ?etouffe\b"
    r"|\b(?:heart attack|chest pains?|cardiac|crise cardiaque|mal a la poitrine|douleurs? (?:a|dans) la poitrine|seizure|convuls\w+|stroke symptoms)\b"
    r"|\bbleeding (?:a lot|badly|bad|heavily|everywhere|from|out)\b|\b(?:won t|wont|doesnt|doesn t) stop bleeding\b|\b(?:is|he s|she s|hes|shes|im|i m|are) bleeding\b|\bblood everywhere\b|\bsaigne (?:beaucoup|fort|du|de la)\b|\bsaigne\b"
    r"|\b(?:hit|struck|whacked|got|clocked|smacked) (?:someone |somebody |him |her |me |my \w+ |a \w+ |an? \w+ \w+ )?(?:hard )?(?:in|on|square in|right in) (?:the |his |her |my )?(?:head|face|eye|temple|throat|neck|skull|mouth)\b"
    r"|\b(?:recu|pris|touche\w*|frappe\w*) .{0,40}\b(?:tete|visage|oeil|figure|gorge|tempe)\b"
    r"|\b(?:broke|broken|fractured|snapped|dislocated) (?:his|her|my|an?|the|their|it s) ?(?:left |right )?(?:leg|ankle|arm|wrist|collarbone|foot|hip|nose|shoulder|knee|finger)\b"
    r"|\b(?:casse|fracture|foule|tordu)e? (?:la|le|une?|sa|son|ma|mon) (?:jambe|cheville|bras|poignet|pied|hanche|nez|epaule|genou)\b"
    r"|\b(?:is|got|was|been|he s|she s|hes|shes|badly|i m|im|someone|somebody|kid|friend|buddy) (?:badly |really |seriously )?(?:hurt|injured)\b(?! (?:feelings?|my feelings))"
    r"|\bblesse\w*\b(?!.*\b(?:assurance|arrive t il|dangereux)\b)"
    r"|\b(?:drown\w*|noie|noye\w*|stuck in the mud|enlise\w*|swept)\b"
    r"|\b(?:anaphyla\w+|allergic reaction|reaction allergique|epipen|epi pen)\b"
    r"|\b(?:heat ?stroke|coup de chaleur|insolation|hypotherm\w+)\b"
    r"|\b(?:struck by lightning|foudroye\w*)\b"
    r"|\b(?:kill myself|suicid\w+|hurt myself|end my life|me tuer|en finir avec la vie)\b"
    r"|\b(?:au secours|a l aide quelqu un|emergency|urgence)\b(?!.*\b(?:number|numero|contact|phone)\b)"
)
# The same words asked about in general are a question for the answers, not a cry for help.
_ASKS = re.compile(
    r"\b(?:what (?:happens|if|do (?:you|we|i) do)|has any ?(?:one|body) ever|how often|do people|does any ?(?:one|body)|is there (?:a|an)|are there|que faire si|qu arrive|est ce que (?:ca|quelqu un|des gens)|y a t il|ya t il|insurance|assurance|afraid|scared|worried|risk|risque|peur|can (?:you|people) get|could)\b"
)


def sounds_like_danger(text: str) -> bool:
    """True where the words say that somebody is hurt or in danger, and not only ask about it."""
    plain = re.sub(r"[^a-z0-9]+", " ", unaccented(text)).strip()
    return _SURE.search(plain) is not None and _ASKS.search(plain) is None

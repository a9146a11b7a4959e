"""Words that mean somebody is hurt or in danger now. Better once too often: the reply is short and sends to the emergency number."""

from clubbot.texting import patterns
from clubbot.understanding.plain import unaccented

_LIMB = (
    r"(?:leg|ankle|arm|wrist|collarbone|foot|hip|nose|shoulder|knee|finger|thumb|toe|hand|elbow|rib|ribs|back|neck|jaw)"
)
_MEMBRE = r"(?:jambe|cheville|bras|poignet|pied|hanche|nez|epaule|genou|doigt|orteil|main|coude|cote|dos|cou)"
_HEAD = r"(?:head|face|eye|temple|throat|neck|skull|mouth)"
_SOMEONE = (
    r"(?:he|she|someone|somebody|friend|buddy|wife|husband|partner|son|daughter|kid|child|toddler|baby|man|woman|lady|guy|girl|boy|player|walker|person"
    r"|mother|mom|mum|father|dad|grandma|grandpa|grandmother|grandfather|neighbour|neighbor|teammate|brother|sister)"
)
_QUELQU_UN = (
    r"(?:quelqu un|ami|amie|copain|copine|femme|mari|conjointe?|fils|fille|garcon|gars|enfant|bebe|pere|mere|grand pere|grand mere|monsieur|madame|dame"
    r"|homme|joueur|joueuse|frere|soeur|petit|petite|promeneur|promeneuse|personne|ado|pepere|memere)"
)

# What people text in an emergency, English and French, by kind.
_CRIES = (
    # calling for those who come: what stands before says that they are wanted, whatever else is in the text
    r"911\b|(?:call|dial|ring|appel\w*|compos\w*|fai\w* le) (?:the |le )?(?:112|999|911)\b",
    r"ambul[ae]nc\w*(?! (?:access|(?:is|s|has) (?:here|arrived|come|on (?:its|the) way)|est (?:la|arrivee)))|paramedics?\b|ems\b|(?:need|get|call|is there) a doctor\b|(?:besoin d|appelez|faut) un (?:medecin|docteur)\b",
    r"(?:send|medical|urgent) help\b|need help (?:now|fast|quick\w*|asap|immediately|right away|right now|urgently)\b|help help\b|sos\b|mayday\b|please hurry\b|hurry please\b|need a medic\b|is there a nurse\b|faites vite\b|vite un medecin\b|someone help\b",
    r"au secours\b|a l aide\b|(?:aidez|venez) (?:nous |moi )?vite\b|venez vite\b|besoin de secours\b|appel\w* les (?:secours|pompiers)\b",
    r"(?<!family )(?<!case of )(?<!any )emergency\b(?! (?:number|contact|phone|exit|kit|access|plan))"
    r"|(?<!cas d )urgence\b(?! (?:familiale|au travail))(?!.*\b(?:numero|contact|telephone)\b)",
    r"there(?: s| is|s| has been| was)? (?:just )?(?:been )?an? (?:bad |serious )?accident\b|(?:bad|serious) accident\b|(?<!by )(?<!par )\baccident (?:on|at|near|au|sur|dans|pres)\b|il y a eu un accident\b",
    # not awake, not breathing
    r"(?:uncons\w*|unresponsive|pass(?:ed|ing) out|collaps\w+|knocked out|fainted|blacked out|inconscient\w*|evanoui\w*|sans connaissance|effondre(?:e|s|es)?)\b"
    r"|perd\w* connaissance\b|tombee? dans les pommes\b",
    r"(?:no|not|isnt|isn t|aint|cant|can t|cannot|can not|stopped|hardly|barely|trouble|difficulty|struggling to) breath\w*|respire (?:plus|pas|mal|a peine)\b|plus a respirer\b",
    r"chok(?:ing|ed)\b|s ?etouff\w*|no pulse\b|(?:pas|plus|pu) de pouls\b|doing cpr\b|massage cardiaque\b",
    r"(?:won t|wont|not|doesn t|doesnt|isnt|isn t|can t|cant) (?:wake|waking)\b|reveille (?:plus|pas)\b",
    rf"(?:{_SOMEONE}|they|who)(?: s| is|s| are)? not (?:moving|responding|conscious)\b|(?:can t|cant|cannot|can not) move(?! (?:the|it|on|up|a|an|our|your)\b)|bouge (?:plus|pas)\b",
    r"(?:can t|cant|cannot|can not|unable to) get up(?! (?:the|that|to|there|early|at|in|here|on|this|hills?|before|so|steps|stairs)\b)"
    r"|(?:peut|peux|pouvons) (?:pas|plus) (?:se|me) (?:re)?lever\b",
    # heart, brain, fits, allergies, heat, cold
    r"(?<!gave me a )(?<!give me a )(?<!had a near )(?:heart|hart) attack|chest pains?\b|cardiac arrest\b|cardiac event\b|crise (?:cardiaque|de coeur|d asthme|d epilepsie)\b"
    r"|mal a la poitrine\b|douleurs? (?:a|dans) la poitrine\b|(?:chest|cardiac) (?:is |s )?(?:tight|hurts|hurting|pain)\b|down (?:his|her|my) left arm\b|holding (?:his|her) chest\b",
    r"seizures?\b|convuls\w+|(?:having|had|has had) a stroke\b(?! (?:of|play|penalty))|un avc\b|asthma attack\b|concuss\w*|commotion cerebrale\b",
    r"anaphyla\w+|allergic reaction\b|reaction allergique\b|epi ?pen\b"
    r"|(?:face|throat|tongue|lips?|eye) (?:is |are |s |has |all )?(?:swell\w*|swollen|puffed)|(?:visage|gorge|langue|levres?|oeil) (?:\w+ ){0,2}(?:enfl|gonfl)\w*",
    r"heat ?strokes?\b|coup de chaleur\b|insolation\b|hypotherm\w+|vomit\w*|vomi\b|throwing up blood\b|talking nonsense\b|slurred\b|(?:can t|cant|cannot) feel (?:my|his|her)\b|lips (?:are )?(?:blue|purple)\b|levres (?:bleues|violettes)\b",
    # blood and wounds
    r"bleed\w* (?:a lot|badly|bad|heavily|everywhere|from|out|like)\b|stop bleeding\b|(?:is|he s|she s|hes|shes|im|i m|are|am|its|it s|still|knee|nose) bleeding\b"
    r"|(?:blood|sang) (?:everywhere|partout)\b|saigne\b|saignent\b|(?:lots|lot|full) of blood\b|plein de sang\b",
    rf"(?:cut|gashed|slashed) (?:his|her|my|their|open) (?:own )?(?:{_LIMB}|{_HEAD})\b|cut open\b|deep cut\b|needs? stitches\b|(?:fell|came down) on (?:someone|somebody|him|her|us|me|my \w+)\b|tombee? sur (?:quelqu un|lui|nous|moi)\b|entaille\w*\b|coupee? (?:la|le) (?:\w+ )?{_MEMBRE}\b",
    rf"(?:hit|struck|whacked|got|clocked|smacked|nailed|beaned) (?:someone |somebody |him |her |me |my \w+ |a \w+ |an? \w+ \w+ )?(?:hard )?(?:in|on|square in|right in) (?:the |his |her |my )?(?:side of (?:the|his|her) )?{_HEAD}\b(?! wind)"
    rf"|to (?:the|his|her|my) (?:side of the |side of his |side of her )?(?:head|face|temple|throat)\b(?! count)|(?:hit|banged|cracked|split|smashed|bumped) (?:his|her|my|their) {_HEAD}\b|(?:hurt|injured) (?:his|her|my|their) (?:{_HEAD}|{_LIMB})\b",
    r"(?:recu|pris(?! la tete)|touche\w*|frappe\w*) .{0,40}\b(?:tete|visage|oeil|figure|face|gorge|tempe)\b|cogne\w* (?:la )?tete\b|tombee? (?:sur )?la tete\b|(?:recu|pris) (?:un|le|son) (?:disque|frisbee)\b",
    r"(?:got|was|were|been|just) (?:hit|struck) by (?:a|an|the|my|someone s?) (?:\w+ )?(?:disc|disk|frisbee|throw|drive|driver|car|bike|truck)\b",
    rf"(?:i|we) (?:just |accidentally |think i |have )?hit (?:a |an |some |the )?(?:\w+ )?(?:{_SOMEONE}|jogger|cyclist)\b",
    # bones and joints
    rf"(?:broke|broken|fractured|snapped|dislocated|twisted|sprained|shattered|popped) (?:his|her|my|an?|the|their|it s) ?(?:left |right )?{_LIMB}\b"
    rf"|{_LIMB} (?:is|looks|might be|may be|s|feels) (?:probably |maybe |definitely |all )?(?:broken|fractured|dislocated|swollen|swelling|bent|busted|out of place|pointing)\b|put (?:any )?weight on\b|broken {_LIMB}\b|bone (?:is |s )?(?:sticking|showing|poking|out)\b|to the bone\b|l os (?:sort|depasse)\b",
    rf"(?:casse|fracture|foule|tordu|disloque|demis)e? (?:la|le|une?|sa|son|ma|mon) {_MEMBRE}\b|{_MEMBRE} (?:est |a l air )?(?:casse|fracture|disloque|demis|foule|tordu|enfle)e?\b|entorse\b",
    # hurt, fallen, down, bitten
    r"(?:is|got|was|been|he s|she s|hes|shes|badly|seriously|i m|im|someone|somebody|kid|friend|buddy) (?:badly |really |seriously |pretty |quite )?(?:hurt|injured)\b(?! feelings?)|blesse(?:e|s|es)?\b"
    rf"|{_SOMEONE}(?: s| is| got| was)? (?:badly )?(?:hurt|injured)\b(?! (?:his|her|my) feelings)|(?:he|she|they|{_SOMEONE}) ?(?:s |is |are )dying\b|est (?:en train de mourir|mourante?)\b",
    rf"{_SOMEONE} (?:has |just |s |have |had )?(?:fallen|fell|tumbled)\b(?! (?:in love|for|asleep|behind|short))|(?:i|we) (?:just )?(?:fell|slipped) (?:off|down|and|on)\b"
    rf"|(?:man|woman|player|person|kid|guy|someone|somebody|lady|girl|boy) (?:is |s )?down\b(?! (?:for|to|with|as|at|here)\b)",
    rf"{_QUELQU_UN} (?:est |vient de |a fait |vient de faire |fait )(?:une )?(?:tombee?|tomber|chute)\b|(?:fait|faire) une (?:mauvaise |grosse )?chute\b|(?:je suis|elle est) tombee?\b(?! (?:sur|hier|dans un groupe|amoureu|malade|par hasard))",
    r"(?:bitten|stung)\b(?! up)|(?:dog|snake|raccoon|fox|coyote)s? (?:has |just |have )?(?:bit|attack(?:ed)?)\b|bit (?:me|him|her|my|by)\b|ticks? (?:bite|dug|embedded|stuck|on my|in my)\b|tique (?:plantee|accrochee|dans)\b|fait (?:mordre|piquer)\b|chien .{0,12}attaqu\w*|mordue?\b|piquee?s? par\b",
    # water, mud, storm, fire, people lost, violence, despair
    r"drown(?:ing|ed|s)?\b(?! (?:in (?!the|a\b)|it|my|another|two))|(?:noie|noient|noyee?s?|enlise\w*)\b|swept (?:away|out)\b"
    r"|(?:stuck|trapped|sinking|stranded) (?:in|on|by) (?:the )?(?:mud|tide|tides|water|marsh|rocks|quicksand|flats)\b|(?:cut off|surrounded) by the (?:tide|water)\b|tide (?:is )?(?:coming in|rising) (?:and )?(?:we|he|she|i|they)\b|water (?:is |s )?(?:rising|coming up)\b|in the water and (?:can t|cant)\b|through the ice\b|(?:canoe|boat|kayak) (?:has |just )?(?:flipped|tipped|capsized|overturned)",
    r"(?:pris|prise|coince\w*|enfonce\w*|cale) (?:\w+ )?dans (?:la|le) (?:vase|boue|marais|eau)\b|maree (?:qui )?(?:re)?monte\b.*\b(?:pris|coince\w*|vite|aide)\b|coinces? (?:par la maree|sur les rochers)\b|(?<!quand l )eau (?:re)?monte\b|glace a (?:lache|cede)\b|chavire\w*",
    rf"(?:struck|hit) by (?:a )?lightning\b|lightning (?:hit|struck) (?:him|her|us|someone|somebody|my|a (?:man|woman|kid|player))\b|foudroye\w*|{_QUELQU_UN} .{{0,20}}par la foudre\b",
    r"there(?: s| is|s)? (?:a )?(?:fire|smoke) (?:in|on|at|behind|near|by|coming|spreading)\b|(?:trees?|woods?|grass|forest|bush|building|\w{2,12}house|barn|shed|car|field|bench) (?:is |are |s )?(?:on fire|burning)\b|(?:fire fire|au feu)\b|^fire$|smoke and flames\b|flammes\b|smell gas\b|odeur de gaz\b|locked in (?:a|the|his|her) (?:hot )?car\b|enfermee? dans (?:une|l|la|sa) (?:auto|voiture)\b"
    r"|a (?:un|le) feu (?:dans|au|pres|derriere|sur)\b|(?:foret|bois|arbres?|herbes?|hangar) (?:est |sont |a |ont )?(?:en feu|pris feu|brulent?)\b",
    r"(?:lost (?:child|kid|boy|girl)|(?:child|kid|boy|girl) missing|enfant (?:perdu|disparu))\b|lost (?:a|our|my) (?:child|kid|son|daughter|toddler|boy|girl|little boy|little girl|mother|grandma|grandpa)\b|(?:child|son|daughter|kid|toddler|year old|boy|girl|husband|wife|mother|father|grandma|grandpa) (?:is |has gone |went |s |has )(?:missing|lost|disappeared)\b(?! (?:a|his|her|the|interest|in (?!the)))"
    r"|(?:can t|cant|cannot) find (?:my|our) (?:son|daughter|kid|kids|child|children|toddler|boy|girl|little)\b|(?:enfant|fils|fille|garcon|petit|petite|bebe) (?:s est |est |a )(?:perdue?|disparue?)(?! (?:son|sa|un|une|le|la))\b|trouve (?:plus|pas) (?:mon|ma|mes|notre|nos) (?:fils|fille|enfants?|gars|petite?)\b",
    r"(?:man|guy|person|someone|somebody|dude|kid|teen\w*|he|she|they) (?:\w+ ){0,4}?a (?:knife|gun|machete|rifle)\b|gunshots?\b|shots fired\b|attack(?:ed|ing|s) (?:me|him|her|us|someone|somebody|my|people)\b|being (?:attacked|assaulted|followed)\b|following me\b|hitting me\b|threatening (?:me|us|to)\b|there(?: s| is|s) a fight\b|beating (?:up )?(?:him|her|someone|a )|nous menace\b|(?:homme|gars|type|inconnu|chum|mari|quelqu un|il) me (?:suit|frappe)\b"
    r"|(?:avec|a) un (?:couteau|fusil)\b|arme a feu\b|coups? de feu\b|agressee?s?\b|se fait attaquer\b",
    r"(?:kill(?:ing)?|hurt(?:ing)?|harm(?:ing)?) (?:myself|himself|herself|themselves|themself)\b|suicid\w+|end my life\b|(?:want|wants|wanna) (?:to )?die\b|me tuer\b|se tuer\b|en finir avec la vie\b|(?:veux|veut|envie de) mourir\b|plus envie de vivre\b|veu[xt] plus vivre\b|veu[xt] en finir\b|(?:me|se) faire du mal\b|(?:don t|doesn t|dont|doesnt) want to (?:live|be alive)\b|ending my life\b|end it (?:all|tonight)\b|took all the pills\b|avale toutes les pilules\b"
    r"|overdos\w*|been poisoned\b|in labou?r\b|water broke\b|(?:elle|femme|blonde) accouche\b(?! pendant)|electrocut\w*",
)
# Looked for where words begin only, which is five times as fast.
_CRY = patterns.compile(rf"(?:^|(?<= ))(?:{'|'.join(_CRIES)})")

# The same words asked about in general are no cry. They count only where they stand before the words of an injury, so that
# "he's not breathing, what do I do" and "is there a doctor, she collapsed" are taken for what they are.
_SUPPOSED = (
    r"what (?:happens|if)|(?:if|in case|suppose|say) (?:some ?one|some ?body|any ?one|any ?body|people|one|a|an|the|you|i|we|there)"
    r"|has any ?(?:one|body)|have you(?: guys)? ever|ever (?:been|get|got|gotten|had|have)|how (?:often|many|likely|common|dangerous|safe)|do (?:people|players|you guys|kids|many)|does any ?(?:one|body) (?:ever|get)"
    r"|can (?:you|people|i|one|kids) get|could (?:you|people|i|one|kids) (?:get|be)"
    r"|que (?:faire|fait on|se passe t il) (?:si|en cas)|si (?:quelqu un|on|je|un|une|jamais|l on)|en cas d|qu arrive|est ce que (?:ca arrive|quelqu un|des gens|les gens)|y a t il deja|deja eu"
)
_FEARED = r"(?:afraid|scared|worried|fear|risks?|danger|chances?|odds|signs?|symptoms?) (?:of|about|for)|avoid|prevent|peur (?:de|d|que)|risques? (?:de|d)|eviter|signes d|attraper un"
_IN_GENERAL = patterns.compile(rf"\b(?:{_SUPPOSED}|{_FEARED})\b")
_ONLY_SUPPOSED = patterns.compile(rf"\b(?:{_SUPPOSED})\b")
# Long ago, or about money: no cry wherever it stands.
_NOT_NOW = patterns.compile(
    r"\b(?:insurance|insured|waiver|assurance|assuree?s?|couverte? si|last (?:year|month|summer|season|winter|spring)|years ago|months ago|used to|healed|recovering from|recovered|gueri\w*|convalescence"
    r"|l an (?:dernier|passe|prochain)|l annee (?:derniere|passee)|l ete (?:dernier|passe)|l automne (?:dernier|passe)|le mois (?:dernier|passe)|ans passes|depuis la (?:fin de )?semaine|autrefois|until next|till next|this season|at work(?! (?:morning|day|party))|au travail|for a (?:month|good while|few weeks)|pour un mois|me remets|(?:nobody|no one) (?:got|was) hurt)\b"
)
# Things that get stuck, drowned or broken without anybody in danger.
_OF_THINGS = patterns.compile(
    r"\b(?:disc|disk|discs|frisbee|putter|driver|midrange|mid|bench|deck|bridge|boardwalk|sign|basket|chain|chains|tree|branch|tee pad|fence|step|steps|railing"
    r"|disque|disques|banc|pont|passerelle|panneau|panier|arbre|branche|marche|cloture) (?:\w+ ){0,5}?(?:is |est )?(?:stuck (?:in|on)|drown\w*|swept|collaps\w*|fell|fallen|noye\w*|pris|prise|coince\w*|tombee?|effondre\w*|s effondre)\b(?! (?:on|under|sur|and) (?:some|him|her|my|us|me|a |an old|quelqu|un|une|mon|ma|lui))"
)


def sounds_like_danger(text: str) -> bool:
    """True where the words say that somebody is hurt or in danger, and not only ask about it."""
    plain = _OF_THINGS.sub(" it ", _plain(text))
    cry = _CRY.search(plain)
    if cry is None or _NOT_NOW.search(plain):
        return False
    asked = _IN_GENERAL.search(plain)
    return asked is None or asked.start() > cry.start()


def only_supposes(text: str) -> bool:
    """True where the text asks what would be if, or whether it ever was: nobody is in danger, whatever the rest sounds like."""
    return _ONLY_SUPPOSED.search(_plain(text)) is not None and not sounds_like_danger(text)


def _plain(text: str) -> str:
    return patterns.sub(r"[^a-z0-9]+", " ", unaccented(text)).strip()

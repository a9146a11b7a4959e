"""Whether a text looks like something to be done, though it could not be read as an order. It is asked about a text that would otherwise go
to whoever waits for an answer, so it is said yes to rather once too often: who meant an answer begins it with its number.
"""

from collections.abc import Iterable
from itertools import pairwise

from clubbot.model.club import Knowledge
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.orders.heard import Heard


def _words(said: str) -> frozenset[str]:
    return frozenset(said.split())


# What may stand before an imperative without making it something else.
_LEADS = _words(
    """
    ok okay hi hey hello yo morning please pls plz so and then also well right yes yeah yep can could would will you we u i i d ll need needs want wanna
    have gotta to should must lets let s go ahead just now quick quickly urgent clubbot
    bonjour salut allo bon ben donc alors puis et aussi svp stp oui ouais peux peut pouvez pourrais pourriez tu vous on je il faut faudrait doit doivent
    devons veux voudrais veuillez vite
    """
)
_COURSE = _words(
    """
    course loop loops hole holes tee tees basket baskets fairway green nine park
    parcours terrain boucle boucles trou trous panier paniers depart parc
    """
)
_EVENTS = _words(
    """
    league clinic tournament doubles round event events cleanup match game practice
    ligue clinique tournoi ronde activite corvee partie pratique soiree
    """
)
_DAYS = _words(
    """
    today tonight tomorrow tmrw monday tuesday wednesday thursday friday saturday sunday mon tue tues wed thu thurs fri sat sun
    demain soir aujourd lundi mardi mercredi jeudi vendredi samedi dimanche
    """
)
_PEOPLE = _words(
    """
    everyone everybody all people folks players members list lists helpers volunteers crew team coming signed
    monde gens joueurs joueuses membres liste listes benevoles equipe inscrits tous toutes ceux
    """
)
_WHOLE = _words("it everything all that ca tout")
_PLAY = _words(
    """
    play playing everything everyone everybody people course sending texts messages text games
    jeu monde parcours terrain envoi envois textos gens
    """
)
_TURNS = _words("turn shift duty tour garde quart") | _DAYS

_CLOSES = _words(
    "close closing shut shutting block rope mark fermer ferme fermez fermons ferment barre barrer barrez bloque bloquez condamne"
)
_REOPENS = _words("reopen reopening unclose rouvre rouvrir rouvrez rouvrons reouvre reouvrir reouvrez")
_OPENS = _words("open opening ouvre ouvrir ouvrez ouvrons")
_CALLS_OFF = _words(
    "cancel cancelling scrap scrub postpone delay annule annuler annulez annulons reporte reporter reportez remets remettre remettez"
)
_MOVES = _words("move reschedule shift push change deplace deplacer deplacez decale decaler change changez")
_HOLDS = _words(
    "hold pause suspend stop halt clear evacuate suspends suspendre suspendez arrete arreter arretez evacue evacuez evacuer vide videz retiens"
)
_TELLS = _words(
    """
    tell text txt message msg notify warn inform alert remind send announce let
    dis dire dites avise aviser avisez previens prevenir prevenez informe informez avertis avertissez ecris ecrivez envoie envoyez rappelle
    rappelez annonce annoncez texte textez
    """
)
_SENDS_AWAY = _words("get keep bring take sors sortez sortir garde gardez")
_AWAY = _words("off out inside indoors dehors hors abri")
_NOTES = _words("put add post mets mettre mettez ajoute ajoutez")

_SHUT = _words(
    """
    closed shut flooded unplayable underwater reopened taped roped blocked
    ferme fermee fermes fermees inonde inondee inondes inondees rouvert rouverte barre barree barres injouable impraticable
    """
)
_OFF = _words(
    """
    off cancelled canceled cancel postponed moved scrubbed rescheduled delayed
    annule annulee annulees reporte reportee deplace deplacee remis remise decalee
    """
)
_STORM = _words("thunder lightning thunderstorm orage orages tonnerre eclair eclairs foudre")
# Who speaks to somebody or of oneself answers them.
_REPLIES = _words(
    "you your yours u ur i im my me vous votre vos tu te ton ta tes je j mon ma mes merci thanks sorry desole desolee"
)
_ANSWERS_WITH = _words("yes yeah yep no nope nah hi hello hey bonjour salut allo oui ouais non")
_NO_PART = _words(
    "gate gates door doors lid app link browser account window barriere porte portail fenetre lien couvercle"
)
_STRONG = (
    ("hold", "everything"), ("hold", "play"), ("stop", "play"), ("suspend", "play"), ("everyone", "off"), ("everybody", "off"),
    ("suspendre", "jeu"), ("monde", "dehors"),
)  # fmt: skip
_AGAIN = _words("again back now nouveau maintenant")
_NEAR, _TOLD_NEAR = 8, 4
_LONGEST_CRY = 12
_JOINTS = _words("and et so then puis alors but mais donc")


class Likeness:
    """Tells what looks like an order, with the club's own names of places, events and people."""

    def __init__(self, knowledge: Knowledge) -> None:
        loops = (one for loop in knowledge.course.loops for one in (loop.name.en, loop.name.fr, *loop.also_called))
        events = (one for event in knowledge.events for one in (event.name.en, event.name.fr, *event.also_called))
        self._course = _COURSE | _single(loops)
        self._events = _EVENTS | _single(events)
        self._names = frozenset(plain_for_dates(one.first_name) for one in knowledge.people)

    def like_an_order(self, heard: Heard) -> bool:
        """Whether any clause begins as an order does, or tells a state of the course or of an event as a bare fact."""
        words = list(heard.forms())
        if not words:
            return False
        if any(self._begins(clause) for clause in _clauses(heard)):
            return True
        if words[0] in {"no", "pas"} and self._events & set(words[1:4]) and not _REPLIES & set(words):
            return True
        if "?" in heard.noticed.text.written or words[0] in _ANSWERS_WITH or _REPLIES & set(words):
            return any(pair in _STRONG for pair in pairwise(words))
        return self._tells_a_state(words)

    def _begins(self, words: list[str]) -> bool:
        """A verb of the orders, first in its clause, with something that it is ordered of."""
        while words and words[0] in _LEADS and not (words[0] == "let" and _PEOPLE & set(words[1:3])):
            words = words[1:]
        if not words:
            return False
        verb, rest = words[0], words[1 : 1 + _NEAR]
        near, very_near = set(rest), set(rest[:_TOLD_NEAR])
        if _NO_PART & set(rest[:3]):
            return False
        return (
            (verb in _CLOSES and bool((self._course | _WHOLE) & near))
            or (verb in _REOPENS and (not rest or bool((self._course | _WHOLE) & near)))
            or (verb in _OPENS and bool(self._course & very_near))
            or (verb in _CALLS_OFF and bool((self._events | _DAYS) & near))
            or (verb == "call" and "off" in near)
            or (verb in _MOVES and bool((self._events | {"tee", "tees", "basket", "panier"}) & very_near))
            or (verb in _HOLDS and bool(_PLAY & very_near))
            or (verb in _TELLS and bool((_PEOPLE | self._events) & very_near))
            or (verb in _SENDS_AWAY and bool(_PEOPLE & very_near) and bool((_AWAY | self._course) & near))
            or (verb in _NOTES and "note" in near)
            or self._of_questions(verb, rest)
        )

    def _of_questions(self, verb: str, rest: list[str]) -> bool:
        """ "pass it to femi instead", "forget t 4 now", "priya takes thursday maybe"."""
        first = rest[0] if rest else ""
        match verb:
            case "pass" | "passe" | "passez" | "forward" | "transfere" | "transferez":
                return bool({*rest} & ({"q", "question"} | self._names)) or first[:1] == "q"
            case "teach" | "apprends" | "apprenez":
                return first in {"it", "that", "this", "q", "ca", "cela", "la", "le"} or first[:1] == "q"
            case "forget" | "oublie" | "oubliez" | "match":
                return first[:1] in {"t", "d"} and (len(first) == 1 or first[1:].isdigit())
            case _:
                takes = first in {"takes", "covers", "prend", "couvre", "remplace", "take", "replaces"}
                return verb in self._names and takes and bool(_TURNS & {*rest})

    def _tells_a_state(self, words: list[str]) -> bool:
        """ "back loop shut till friday", "no league wednesday", "thunder again"."""
        known = set(words)
        if _STORM & known and len(words) <= _LONGEST_CRY:
            return True
        if any(pair in _STRONG for pair in pairwise(words)):
            return True
        for at, word in enumerate(words):
            after = set(words[at + 1 : at + 7])
            if word in self._course and (_SHUT & after or ({"open", "ouvert", "ouverte"} & after and _AGAIN & known)):
                return True
            if word in self._events and _OFF & after:
                return True
        return False


def _single(names: Iterable[str]) -> frozenset[str]:
    """The names that are one word."""
    return frozenset(one for one in map(plain_for_dates, names) if " " not in one)


def _clauses(heard: Heard) -> list[list[str]]:
    """The words between two marks or joints."""
    found: list[list[str]] = [[]]
    for at, form in enumerate(heard.forms()):
        if heard.breaks(at):
            found.append([])
        if form in _JOINTS:
            found.append([])
        else:
            found[-1].append(form)
    return [one for one in found if one]

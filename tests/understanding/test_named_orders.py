"""Orders about single people by their names: who is put down, who is taken off, who is told, in many wordings; and what is none of them."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.orders import NotByText, Tell, Unclear
from clubbot.model.orders_by_name import SignUpOthers, TakeOff, TellOne
from clubbot.understanding.orders.reading import Orders
from tests.conftest import NOON

SIGN_UPS = """
sign up bob smith for wed | bob smith
put Bob and Ana down for league | Bob, Ana
Put Bob Smith, Ana Roy and Mel down for league wed | Bob Smith, Ana Roy, Mel
add bob to the list for wed | bob
please sign bob smith up for the clinic | bob smith
can you sign up Bob for the clinic on saturday? | Bob
register Jean-Marc Roy for the clinic | Jean-Marc Roy
put Bob on the list for league | Bob
pencil Mia in for league wed | Mia
get mel jones in for wed | mel jones
bob smith is in for wed | bob smith
bob and ana are coming to league on wednesday | bob, ana
inscris Bob Tremblay pour mercredi | Bob Tremblay
inscris Bob et Ana pour la ligue | Bob, Ana
svp ajoute Bob Roy à la ligue de mercredi | Bob Roy
mets Bob sur la liste de la ligue | Bob
peux-tu inscrire Ana Leblanc pour l'initiation? | Ana Leblanc
inscrivez Bob Roy, Ana et Zoé pour mercredi | Bob Roy, Ana, Zoé
rajoute Léa pour la ligue mercredi | Léa
ajoutez Jean-Marc à la liste pour mercredi | Jean-Marc
Bob Tremblay vient à la ligue mercredi | Bob Tremblay
"""
TAKEN_OFF = """
take bob off wed | bob
take Bob Smith off the list for league | Bob Smith
remove bob from the clinic | bob
please drop ana from league wed | ana
can you take bob off the wed list? | bob
scratch mel for wed | mel
cancel bob's spot for wed | bob
pull Ana Roy out of league | Ana Roy
bob is out for wed | bob
mel jones is not coming to league | mel jones
take bob and ana off league wed | bob, ana
enlève Bob de mercredi | Bob
enlève Bob de la ligue | Bob
retire Bob Roy de la liste de mercredi | Bob Roy
raye Ana pour jeudi | Ana
désinscris Bob de la ligue | Bob
peux-tu retirer Bob de la ligue mercredi? | Bob
annule l'inscription de Bob pour mercredi | Bob
ôtez Ana Leblanc de l'initiation | Ana Leblanc
Bob ne vient pas mercredi | Bob
Ana vient plus à la ligue | Ana
"""
TOLD = """
text bob: the desk opens at 5 | bob | The desk opens at 5
tell Mia: the desk opens at 5 | Mia | The desk opens at 5
text bob the desk opens at 5 | bob | The desk opens at 5
tell bob smith that league is on | bob smith | League is on
please message Mia: are you coming? | Mia | Are you coming?
let mia know the desk opens at 5 | mia | The desk opens at 5
remind bob to bring the keys | bob | Bring the keys
notify Ana Roy: your disc is here | Ana Roy | Your disc is here
ok text Mel: thanks! | Mel | Thanks!
dis à Mia: le bureau ouvre à 17h | Mia | Le bureau ouvre à 17h
dis à Mia que le bureau ouvre à 17h | Mia | Le bureau ouvre à 17h
écris à Bob Roy: ton disque est ici | Bob Roy | Ton disque est ici
texte Mia: viens-tu demain? | Mia | Viens-tu demain?
avise Bob que la clé est au hangar | Bob | La clé est au hangar
préviens Léa: barrière à 8h | Léa | Barrière à 8h
fais savoir à Mia que c'est ouvert | Mia | C'est ouvert
rappelle à Bob d'apporter les clés | Bob | Apporter les clés
"""
# Who is told in these is no single person.
MANY = """
text who came last night: great evening | came
text everyone who came last night: great evening | came
tell those who played yesterday: scores are up | came
message everybody who was there last night: thanks | came
tell the people who showed up wednesday: scores are up | came
text all who came to league: scores are up | came
everyone who came last night: great evening | came
let everyone who played yesterday know the scores are up | came
text whoever came to the clinic: thanks for coming | came
texte ceux qui sont venus hier soir: belle soirée | came
dis à tous ceux qui ont joué hier: merci | came
écris à ceux qui étaient là hier: merci | came
avise tous ceux qui sont venus à la ligue: résultats affichés | came
écris à qui est venu hier soir: merci | came
texte les gens qui sont venus mercredi: merci | came
préviens les joueurs qui sont venus hier: disque trouvé | came
ceux qui sont venus hier soir: merci | came
text the no shows: we missed you | missed
text the no-shows from last night: we missed you | missed
tell everyone who did not show up last night: please tell us | missed
message the no shows of league: we missed you | missed
text those who didn't come yesterday: we missed you | missed
tell whoever didn't show: please cancel next time | missed
the no shows: we missed you | missed
text all no shows: we missed you | missed
text people who signed up and didn't come: we missed you | missed
texte les absents: vous nous avez manqué | missed
écris aux absents d'hier soir: vous nous avez manqué | missed
dis à ceux qui ne sont pas venus hier: avisez-nous | missed
avise les absents de la ligue: vous nous avez manqué | missed
texte ceux qui n'étaient pas là hier soir: avisez-nous | missed
préviens tous les absents: avisez-nous | missed
écris à ceux qui se sont pas présentés: avisez-nous | missed
les absents: vous nous avez manqué | missed
"""
# Something of it is not understood, or hangs on what we cannot see: it comes back.
NOT_WHOLLY = """
put down ana and her dad for saturday
sign up bob for wed if it is dry
sign up bob for wed and sat
mel and her three boys for league wed
put bob down for it, 902 555 0199
inscris Ana et sa fille pour mercredi
Sign up Bob Smith
réserve 3 places au nom de bob
inscris Bob pour mercredi s'il fait beau
inscris Bob et son frère pour mercredi
"""
# Of one's own party, of the course, of events, or to nobody: not these orders.
NONE = """
sign me up for wed
sign up for league
sign up 2 for league
put me and bob down for league
sign up closes at 5
is bob in for wed?
who is coming to league
my son is in for wed
we are in for wed
add a note to hole 7
take me off the list
cancel my spot for wed
my daughter is out for wed
tell me when it opens
tell the board we meet at 7
send the rest
inscris-moi pour mercredi
inscrire pour la ligue
mon fils ne vient pas mercredi
je viens mercredi
qui vient mercredi
enlève mon nom de la liste
dis-moi quand c'est ouvert
dis au comité qu'on se voit à 19h
"""


@pytest.fixture(scope="session")
def orders(handbook: Handbook) -> Orders:
    return handbook.reader.orders


def lines(table: str) -> list[tuple[str, ...]]:
    return [tuple(part.strip() for part in line.split(" | ")) for line in table.strip().splitlines()]


@pytest.mark.parametrize(("text", "names"), lines(SIGN_UPS))
def test_somebody_is_put_down_by_name(text: str, names: str, orders: Orders) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, SignUpOthers)
    assert ", ".join(order.names) == names
    assert order.event is not None or order.when is not None
    assert order.unused == ""


@pytest.mark.parametrize(("text", "names"), lines(TAKEN_OFF))
def test_somebody_is_taken_off_by_name(text: str, names: str, orders: Orders) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, TakeOff)
    assert ", ".join(order.names) == names
    assert order.unused == ""


@pytest.mark.parametrize(("text", "name", "words"), lines(TOLD))
def test_one_person_is_told(text: str, name: str, words: str, orders: Orders) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, TellOne)
    assert (name, words) in order.readings


@pytest.mark.parametrize(("text", "kind"), lines(MANY))
def test_those_who_came_and_those_who_did_not_are_told(text: str, kind: str, orders: Orders) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, Tell)
    assert order.audience.kind == kind


@pytest.mark.parametrize("text", NOT_WHOLLY.strip().splitlines())
def test_what_is_not_wholly_understood_comes_back(text: str, orders: Orders) -> None:
    assert isinstance(orders.read(text, NOON), Unclear | NotByText)


@pytest.mark.parametrize("text", NONE.strip().splitlines())
def test_what_is_about_ones_own_party_or_to_nobody_is_none_of_these(text: str, orders: Orders) -> None:
    assert not isinstance(orders.read(text, NOON), SignUpOthers | TakeOff | TellOne)


def test_what_stands_beside_is_kept_to_be_said_back(orders: Orders) -> None:
    order = orders.read("sign up bob for wed, he brings a friend", NOON)

    assert isinstance(order, SignUpOthers)
    assert order.unused == "he brings a friend"

"""Texts of the club's own people, and the orders that they are. It is Monday 7 June 2027, noon."""

from dataclasses import replace
from datetime import date, datetime, time

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.intents import When
from clubbot.model.orders import (
    AddLanguage,
    Audience,
    CallOff,
    CallOn,
    Close,
    Confirm,
    Done,
    Forget,
    GoOnSending,
    HoldPlay,
    HoldSending,
    ListQuestions,
    Match,
    MoveHour,
    NotByText,
    NoteOn,
    Order,
    PassOn,
    Reopen,
    ShowDuty,
    ShowStatus,
    Teach,
    Tell,
    Unclear,
)
from clubbot.model.orders_of_people import TakeDuty
from clubbot.model.seen import ShowOrders
from clubbot.understanding.orders.reading import Orders
from tests.conftest import HALIFAX, NOON

MON, TUE, WED, THU, FRI, SAT, SUN = range(7, 14)


def june(day: int, hour: int = 0, minute: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


def closed(
    what: str = "course",
    reason: str = "",
    *,
    until: datetime | None = None,
    since: datetime | None = None,
    also: tuple[str, ...] = (),
    unused: str = "",
) -> Close:
    return Close(what, since, until, reason, also, unused)


def on(day: int, hour: int | None = None, *, weekday: bool = True) -> When:
    """A day in June that a text names, by the name of its weekday or else."""
    one = date(2027, 6, day)
    return When(one, one, june(day, hour) if hour is not None else None, weekday=weekday)


TONIGHT = on(MON, 18, weekday=False)
TOMORROW = on(TUE, weekday=False)


def to(kind_or_list: str, words: str) -> Tell:
    if kind_or_list == "everyone":
        return Tell(Audience("everyone"), words)
    if kind_or_list == "helpers":
        return Tell(Audience("helpers"), words)
    if kind_or_list == "lately":
        return Tell(Audience("lately"), words)
    return Tell(Audience("list", list_id=kind_or_list), words)


def those_in(event: str | None, day: When | None, words: str) -> Tell:
    return Tell(Audience("event", event=event, when=day), words)


CLOSURES: list[tuple[str, Order]] = [
    ("close the course till sat 9am, ice on the boardwalks", closed("course", "ice on the boardwalks", until=june(SAT, 9))),
    ("course closed until further notice: flood", closed("course", "flood")),
    ("marsh loop shut", closed("marsh")),
    ("shut marsh loop till tomorrow noon flooded", closed("marsh", "flooded", until=june(TUE, 12))),
    ("close the marsh loop til tmrw noon, flooded", closed("marsh", "flooded", until=june(TUE, 12))),
    ("flooded, close marsh loop til noon tmrw", closed("marsh", "flooded", until=june(TUE, 12))),
    ("flooded marsh loop shut till tues", closed("marsh", "flooded", until=june(TUE, 9))),
    ("Till tomorrow noon close the marsh loop - flooded", closed("marsh", "flooded", until=june(TUE, 12))),
    ("closing hole 7 from 2 till 6 for mowing", closed("7", "mowing", since=june(MON, 14), until=june(MON, 18))),
    ("hole 7 closed from 2 to 6 for mowing", closed("7", "mowing", since=june(MON, 14), until=june(MON, 18))),
    ("hole 7 closed 2pm-6pm, mowing", closed("7", "mowing", since=june(MON, 14), until=june(MON, 18))),
    ("hole 7 closed tomorrow from 9 till 12 for mowing", closed("7", "mowing", since=june(TUE, 9), until=june(TUE, 12))),
    ("close hole 3 from sat 9 till 12, tree work", closed("3", "tree work", since=june(SAT, 9), until=june(SAT, 12))),
    ("course closed saturday", closed("course", since=june(SAT), until=june(SUN))),
    ("marsh closed thru sunday", closed("marsh", until=june(14))),
    ("marsh closed through the weekend", closed("marsh", until=june(14))),
    ("marsh closed all weekend", closed("marsh", since=june(SAT), until=june(14))),
    ("keep marsh closed till sunday", closed("marsh", until=june(SUN, 9))),
    ("course closed this weekend, storm", closed("course", "storm", since=june(SAT), until=june(14))),
    ("course closed today, storm", closed("course", "storm", until=june(TUE))),
    ("close the course for today. Wind", closed("course", "Wind", until=june(TUE))),
    ("course closed for 2 hours, lightning", closed("course", "lightning", until=june(MON, 14))),
    ("Close the course now. Big storm tonight", closed("course", "Big storm tonight")),
    ("pls close hole 12 basket is broken", closed("12", "basket is broken")),
    ("tree down on hole 7, close it", closed("7", "tree down on hole 7")),
    ("close it again till 6", closed("course", until=june(MON, 18))),
    ("close till sat 9am, ice", closed("course", "ice", until=june(SAT, 9))),
    ("the course is closed till noon tomorrow, Ice", closed("course", "Ice", until=june(TUE, 12))),
    ("hill loop will be closed from tomorrow until friday, tree felling", closed("hill", "tree felling", since=june(TUE), until=june(FRI, 9))),
    ("close course till tonight", closed("course", until=june(MON, 18))),
    ("close course till monday", closed("course", until=june(14, 9))),
    ("close course till the 12th", closed("course", until=june(SAT, 9))),
    ("close course till 9am", closed("course", until=june(TUE, 9))),
    ("close course from 10pm till 6am (Geese)", closed("course", "Geese", since=june(MON, 22), until=june(TUE, 6))),
    ("close the course till dark", closed("course", "till dark")),
    ("close course tmrw 8-12 school group", closed("course", "school group", since=june(TUE, 8), until=june(TUE, 12))),
    ("close the marsh loop till 14 june, flooded", closed("marsh", "flooded", until=june(14, 9))),
    ("course closed. reopening wed 8am", closed("course", until=june(WED, 8))),
    ("closed: marsh loop, till wed 6pm", closed("marsh", until=june(WED, 18))),
    ("holes 7-12 closed till further notice", closed("marsh")),
    ("everything's icy!! shut the whole course until 10:30", closed("course", "everything's icy", until=june(MON, 22, 30))),
    ("close the course till 5 p.m. because of the wind, thanks", closed("course", "the wind", until=june(MON, 17))),
    ("Close marsh till tmrw noon flooded and tell everyone", closed("marsh", "flooded", until=june(TUE, 12), unused="tell everyone")),
    ("ferme le parcours jusqu'à samedi 9h, glace", closed("course", "glace", until=june(SAT, 9))),
    ("boucle du marais fermée jusqu'à demain midi (inondation)", closed("marsh", "inondation", until=june(TUE, 12))),
    ("trou 7 fermé, arbre tombé", closed("7", "arbre tombé")),
    ("Fermez la boucle de la colline, travaux", closed("hill", "travaux")),
    ("le parcours est fermé jusqu'à nouvel ordre: Verglas", closed("course", "Verglas")),
    ("fermeture du parcours dès samedi jusqu’à dimanche 14h, tournoi", closed("course", "tournoi", since=june(SAT), until=june(SUN, 14))),
    ("on ferme le trou 4 de 14h à 18h pour la tonte", closed("4", "la tonte", since=june(MON, 14), until=june(MON, 18))),
    ("le marais est inondé, fermez la boucle jusqu'à jeudi", closed("marsh", "le marais est inondé", until=june(THU, 9))),
    ("fermé jusqu'à demain: trou 7", closed("7", until=june(TUE, 9))),
    ("parcours fermé à cause du vent", closed("course", "vent")),
    ("glace partout, ferme tout", closed("course", "glace partout")),
    ("trou 7 fermé à partir de demain 8h", closed("7", since=june(TUE, 8))),
]  # fmt: skip

SEVERAL: list[tuple[str, Order]] = [
    ("holes 8-9 closed", closed("8", also=("9",))),
    ("holes 16 to 18 closed", closed("16", also=("17", "18"))),
    ("close 7 thru 9", closed("7", also=("8", "9"))),
    ("hole 8 thru 10 shut", closed("8", also=("9", "10"))),
    ("close 3, 5 and 7 - ice", closed("3", "ice", also=("5", "7"))),
    ("du 7 au 9 fermé, guêpes", closed("7", "guêpes", also=("8", "9"))),
    ("tree down on 14 fairway, shut it", closed("14", "tree down on 14 fairway")),
    ("reopn the marsh plz", Reopen("marsh")),
    ("clsoe hole 7", closed("7")),
    ("close holes 13 to 18", closed("hill")),
    ("marsh and hill loops closed", closed("marsh", also=("hill",))),
    ("marsh n hill closed till 5pm", closed("marsh", also=("hill",), until=june(MON, 17))),
    ("close hole 7 and hole 8", closed("7", also=("8",))),
    ("close hole 3 and 5, wasps", closed("3", "wasps", also=("5",))),
    ("closed", closed()),
    ("Closed!", closed()),
    ("shut everything", closed()),
    ("shut it all down", closed()),
    ("can you close the marsh loop please", closed("marsh")),
    ("close the course at 5pm", closed(since=june(MON, 17))),
    ("closed sat 8am to sun 6pm", closed(since=june(SAT, 8), until=june(SUN, 18))),
    ("ferme les trous 16 à 18", closed("16", also=("17", "18"))),
    ("ferme le marais et la colline", closed("marsh", also=("hill",))),
    ("fermé", closed()),
    ("ferme tout", closed()),
    ("fermé samedi 8h à dimanche 18h", closed(since=june(SAT, 8), until=june(SUN, 18))),
    ("peux-tu fermer le trou 4 stp", closed("4")),
]
OPENINGS: list[tuple[str, Order]] = [
    ("reopen sat 9am", Reopen(None, later=True, unused="sat 9am")),
    ("reopen marsh at 5pm", Reopen("marsh", later=True, unused="at 5pm")),
    ("rouvre le marais à 17h", Reopen("marsh", later=True, unused="à 17h")),
    ("reopen marsh and hill", Reopen("marsh", also=("hill",))),
    ("all clear", Reopen(None, hold=True)),
    ("ok we can play again", Reopen(None, hold=True)),
    ("storm has passed, play can resume", Reopen(None, hold=True)),
    ("on peut rejouer", Reopen(None, hold=True)),
    ("le jeu peut reprendre", Reopen(None, hold=True)),
    ("l'orage est passé", Reopen(None, hold=True)),
    ("thunder is over", Reopen(None, hold=True)),
    ("no more thunder, we're good to go again", Reopen(None, hold=True)),
    ("it's over, let them back out", Reopen(None, hold=True)),
    ("resume", Reopen(None, hold=True)),
    ("fin de l'orage", Reopen(None, hold=True)),
    ("reopen", Reopen(None)),
    ("Reopen!", Reopen(None)),
    ("open again", Reopen(None)),
    ("open the course again", Reopen("course")),
    ("open the course", Reopen("course")),
    ("reopen marsh loop, water is gone", Reopen("marsh")),
    ("ok reopen hole 7 thanks", Reopen("7")),
    ("marsh loop open again", Reopen("marsh")),
    ("marsh loop is open again, boardwalks dry", Reopen("marsh")),
    ("marsh loop open", Reopen("marsh")),
    ("hole 7 is ok again", Reopen("7")),
    ("hole 7 back open", Reopen("7")),
    ("everything open again", Reopen(None)),
    ("course reopened", Reopen("course")),
    ("rouvre le parcours", Reopen("course")),
    ("réouverture boucle du marais", Reopen("marsh")),
    ("réouverture du trou 7", Reopen("7")),
    ("boucle du marais ouverte à nouveau", Reopen("marsh")),
    ("le parcours est rouvert", Reopen("course")),
    ("trou 3 de nouveau praticable", Reopen("3")),
]

THUNDER: list[tuple[str, Order]] = [
    (text, HoldPlay())
    for text in (
        "thunder",
        "thunder!!",
        "Thunder again",
        "hear thunder, hold play",
        "i hear thunder",
        "big thunder over the course",
        "hold play",
        "HOLD PLAY NOW",
        "hold play, lightning over the water",
        "lightning",
        "lightning near hole 7",
        "play on hold",
        "play is on hold, storm coming",
        "everybody off the course",
        "orage",
        "orage!!! orage",
        "tonnerre",
        "éclairs",
        "on entend le tonnerre",
        "suspendre le jeu",
        "suspendez le jeu, orage",
        "its thundering",
        "it's thundering out here",
        "thnder!!",
        "lightning in the distance",
        "we have lightning",
        "heard a rumble",
        "heard a rumble to the west",
        "saw a flash of lightning",
        "rumbling again",
        "thunder rolling in off the water",
        "get everyone off the course",
        "ça gronde",
        "ca gronde au loin",
        "il tonne",
        "j'ai entendu un coup de tonnerre",
        "des éclairs au large",
        "la foudre est tombée pas loin",
        "l'orage arrive",
        "tout le monde dehors",
        "évacuez le parcours",
    )
]

NOTES: list[tuple[str, Order]] = [
    ("hole 11 has a temporary basket", NoteOn("11", "a temporary basket")),
    ("note: no water at basket 6", NoteOn("6", "no water at basket 6")),
    ("no water at basket 6", NoteOn("6", "no water at basket 6")),
    ("note: Bring bug spray", NoteOn("course", "Bring bug spray")),
    ("trou 3: panier temporaire", NoteOn("3", "panier temporaire")),
    ("hole 4 is muddy", NoteOn("4", "muddy")),
    ("Hole 9: short tee only this week.", NoteOn("9", "short tee only this week")),
    ("marsh loop is wet, boots advised", NoteOn("marsh", "wet, boots advised")),
    ("le trou 5 a un panier temporaire", NoteOn("5", "un panier temporaire")),
    ("note: eau à la boucle du marais", NoteOn("marsh", "eau à la boucle du marais")),
]

CALLED_OFF: list[tuple[str, Order]] = [
    ("call off league tonight, thunder", CallOff("dusk-league", TONIGHT, "thunder")),
    ("thunder, call off league tonight", CallOff("dusk-league", TONIGHT, "thunder")),
    ("call league off tonight", CallOff("dusk-league", TONIGHT, "")),
    ("cancel wed's league", CallOff("dusk-league", on(WED), "")),
    ("cancel the clinic", CallOff("starter-clinic", None, "")),
    ("cancel family sunday: flooded course", CallOff("family-sunday", None, "flooded course")),
    ("call off tomorrow, wind", CallOff(None, TOMORROW, "wind")),
    ("clinic saturday is off: storm", CallOff("starter-clinic", on(SAT), "storm")),
    ("saturday's clinic is cancelled due to Flooding", CallOff("starter-clinic", on(SAT), "Flooding")),
    ("no league tonight, thunder", CallOff("dusk-league", TONIGHT, "thunder")),
    ("league off wed wind over 60", CallOff("dusk-league", on(WED), "wind over 60")),
    ("annule la ligue de ce soir, orage", CallOff("dusk-league", TONIGHT, "orage")),
    ("la ligue de mercredi est annulée: vent", CallOff("dusk-league", on(WED), "vent")),
    ("pas de ligue ce soir, orage", CallOff("dusk-league", TONIGHT, "orage")),
]

TOLD: list[tuple[str, Order]] = [
    ("tell everyone: the tap is off", to("everyone", "The tap is off")),
    ("tell everyone the course is open again", to("everyone", "The course is open again")),
    ("tell everyone: who can bring cones saturday?", to("everyone", "Who can bring cones saturday?")),
    ("let everyone know that parking is at the ball field", to("everyone", "Parking is at the ball field")),
    ("Tell everybody to stay off the marsh", to("everyone", "Stay off the marsh")),
    ("tell wed's league bring a torch", those_in("dusk-league", on(WED), "Bring a torch")),
    ("tell the league we start at 7", those_in("dusk-league", None, "We start at 7")),
    ("tell the league tonight's round starts at 6", those_in("dusk-league", None, "Tonight's round starts at 6")),
    ("tell league tonight is shotgun start", those_in("dusk-league", None, "Tonight is shotgun start")),
    ("tell everybody coming saturday to park at the ball field", those_in(None, on(SAT), "Park at the ball field")),
    ("tell everyone in for the clinic: bring water", those_in("starter-clinic", None, "Bring water")),
    ("tell saturday's players the gate opens at 8", those_in(None, on(SAT), "The gate opens at 8")),
    ("news: hole 7 has a new tee pad", to("course-news", "Hole 7 has a new tee pad")),
    ("news: fog horn open entries from 1 july", to("event-news", "Fog horn open entries from 1 july")),
    ("News: league starts at 6 this week", to("event-news", "League starts at 6 this week")),
    ("event news: two new Thursdays", to("event-news", "Two new Thursdays")),
    ("tell the course news list: new map at tee 1", to("course-news", "New map at tee 1")),
    ("text the helpers: gloves are in the shed", to("helpers", "Gloves are in the shed")),
    ("tell all the volunteers to bring rakes", to("helpers", "Bring rakes")),
    ("tell whoever asked today the course is open again", to("lately", "The course is open again")),
    ("tell everyone who asked: open at noon", to("lately", "Open at noon")),
    ("dis à tout le monde: le robinet est fermé", to("everyone", "Le robinet est fermé")),
    ("dites à tout le monde que le parcours est ouvert", to("everyone", "Le parcours est ouvert")),
    ("avise la ligue de mercredi d'apporter une lampe", those_in("dusk-league", on(WED), "Apporter une lampe")),
    ("préviens ceux qui viennent samedi: stationnement au terrain de balle", those_in(None, on(SAT), "Stationnement au terrain de balle")),
    ("préviens les bénévoles: rendez-vous à 9h", to("helpers", "Rendez-vous à 9h")),
    ("avise ceux qui ont demandé aujourd'hui que c'est ouvert", to("lately", "C'est ouvert")),
    ("nouvelles du parcours: le trou 7 est réparé", to("course-news", "Le trou 7 est réparé")),
    ("nouvelles des activités: initiation samedi", to("event-news", "Initiation samedi")),
    ("fr: le parcours est fermé", AddLanguage("fr", "Le parcours est fermé")),
    ("Français : fermé jusqu'à midi", AddLanguage("fr", "Fermé jusqu'à midi")),
    ("en: course closed, why? ice", AddLanguage("en", "Course closed, why? ice")),
    ("English: open again", AddLanguage("en", "Open again")),
]  # fmt: skip

SENDING: list[tuple[str, Order]] = [
    ("YES 4821", Confirm("4821")),
    ("yes4821", Confirm("4821")),
    ("48217730", Confirm("48217730", alone=True)),
    ("4821 7730", Confirm("48217730", alone=True)),
    ("oui 4821", Confirm("4821")),
    ("ok 4821", Confirm("4821")),
    ("Yes, 4821.", Confirm("4821")),
    ("hold sending", HoldSending()),
    ("Hold the sending!", HoldSending()),
    ("pause sending pls", HoldSending()),
    ("hold it", HoldSending()),
    ("dont send it yet", HoldSending()),
    ("stop sending", HoldSending()),
    ("stop the sending", HoldSending()),
    ("dont text anyone", HoldSending()),
    ("arrête d'envoyer", HoldSending()),
    ("arrête l'envoi", HoldSending()),
    ("suspends l’envoi svp", HoldSending()),
    ("go on sending", GoOnSending()),
    ("resume sending", GoOnSending()),
    ("continue l'envoi", GoOnSending()),
    ("reprends l'envoi", GoOnSending()),
]

QUESTIONS: list[tuple[str, Order]] = [
    ("pass", PassOn(None, None)),
    ("pass Q12", PassOn(12, None)),
    ("pass it on", PassOn(None, None)),
    ("pass to Femi", PassOn(None, "femi")),
    ("Pass q12 to femi please", PassOn(12, "femi")),
    ("give Q12 to Odile", PassOn(12, "odile")),
    ("passe", PassOn(None, None)),
    ("passe à Femi", PassOn(None, "femi")),
    ("passe Q12 à Femi", PassOn(12, "femi")),
    ("done", Done(None)),
    ("Done Q12", Done(12)),
    ("q12 done", Done(12)),
    ("settled", Done(None)),
    ("réglé", Done(None)),
    ("réglé Q12", Done(12)),
    ("c'est réglé", Done(None)),
    ("teach", Teach(None)),
    ("teach Q12", Teach(12)),
    ("apprends", Teach(None)),
    ("apprends Q12", Teach(12)),
    ("forget T5", Forget(5)),
    ("oublie t5", Forget(5)),
    ("match D7 and D3", Match(7, 3)),
    ("même disque D7 et D3", Match(7, 3)),
]

TURNS: list[tuple[str, Order]] = [
    ("Priya takes my thursday", TakeDuty("priya", None, on(THU))),
    ("I take Priya's wed", TakeDuty(None, "priya", on(WED))),
    ("ill take priyas wed", TakeDuty(None, "priya", on(WED))),
    ("can't do thursday, Femi takes it", TakeDuty("femi", None, on(THU))),
    ("cant do thurs femi takes it", TakeDuty("femi", None, on(THU))),
    ("sorry i can't make tomorrow so Femi will cover it", TakeDuty("femi", None, TOMORROW)),
    ("Femi covers for Callum on saturday", TakeDuty("femi", "callum", on(SAT))),
    ("femi takes thursday instead of me, I'm away", TakeDuty("femi", None, on(THU))),
    ("I'll take thursday", TakeDuty(None, "callum", on(THU))),
    ("Odile takes wed", TakeDuty("odile", "priya", on(WED))),
    ("Femi takes my turn", TakeDuty("femi", None, None)),
    ("my thursday goes to Femi", TakeDuty("femi", None, on(THU))),
    ("Femi prend mon jeudi", TakeDuty("femi", None, on(THU))),
    ("je prends le mercredi de Priya", TakeDuty(None, "priya", on(WED))),
    ("Femi me remplace jeudi", TakeDuty("femi", None, on(THU))),
    ("je remplace Priya mercredi", TakeDuty(None, "priya", on(WED))),
    ("peux pas jeudi, Femi prend", TakeDuty("femi", None, on(THU))),
]

ORDERS: list[tuple[str, Order]] = [
    *CLOSURES,
    *SEVERAL,
    *OPENINGS,
    *THUNDER,
    *NOTES,
    *CALLED_OFF,
    *TOLD,
    *SENDING,
    *QUESTIONS,
    *TURNS,
]

NO_ORDERS = """
is the course closed?
is the course closed
should we close the marsh loop?
should we close the marsh loop
who takes thursday
who takes thursday?
can we reopen hole 7
do you want me to close the course
someone said hole 7 is shut?
someone said hole 7 is shut
i heard the course is closed
i think marsh loop is closed
apparently hole 7 closed
the course was closed yesterday
i want to close my account
close my account
i forgot to close the gate
close the gate behind you
can you close the gate behind you?
close the gate at 5pm
when do you open the back loop
is it closed
open at 5?
are we closed
is it thundering
was that thunder?
my stomach is rumbling
that drive was like lightning
we had no thunder last week
can we play again
when can we play again
not all clear yet
est-ce que ça gronde
pas d'orage en vue
que faire en cas d'orage
quand est-ce qu'on rouvre
ferme la barrière derrière toi
on peut rejouer?
close call on hole 7 today
we park close to hole 1
don't close the course yet
dont close hole 7
if it floods close the marsh loop
no need to close the marsh
yes the course is closed till noon, sorry
sorry, course closed till noon
course closed till noon, you can play after
oui le parcours est fermé jusqu'à midi, désolé
le parcours ferme à 20h
closing time is 9
hole 19 closed
close hole 7, reopen hole 8
course open dawn to dusk
yes it's open again
le parcours est-il ouvert
est-ce que le parcours est fermé
faut-il fermer le parcours
STOP
CANCEL
ARRET
arrête
STOP ALL
unsubscribe
end
cancel please
cancel my spot
cancel me for league
cancel wed
cancel league for me
i need to cancel league
annule ma place pour mercredi
no league for me tonight
sorry no league tonight
is league off tonight
league is great
Q12 yes bring a jacket
Q12 yes the course is closed till noon
q12 no dogs sorry
thanks
thx a lot!
merci beaucoup
ok
yes
oui
hello
hold on
hold on a sec
hold the door
wait
continue
send
thunder bay is far?
is thunder bay far
no thunder today
thunder gone, all fine
is there thunder
thunder in the forecast for tomorrow
what do we do in thunder
can you pass me the salt
i pass
pass the salt
pass to Bob
pass Q12 to Bob
je passe mercredi
Bob takes my thursday
Femi takes the bus thursday
I take my kids thursday
Priya takes the league wed
I'll take it
done my round, great course
done with my round
hole 7 done in 3
forget it
forget my number
teach me to throw
teach my kid saturday
apprends-moi à lancer
where is hole 7
hole 7 is my favourite
hole 3 is a par 4
hole 7 was fun
i lost my disc on hole 7
hole 3 someone got hit
found a disc at basket 6
note to self buy discs
tell me about the league
tell us when it opens
text me when it opens
can you tell everyone thanks
tell everyone
tell members only: hi
text the helpers
good news: i found my disc
any news about the course
let me know when it's open
let everyone know
no 4821
4821
hole 5 has a par of 5
hole 7 disc in the tree
didn't get the time off. no clinic
chu malade, pas de ligue
kid is sick, cancel league
reopen the valve
note-nous pour le 14
I can't take thursday
swap thursday with Femi
league night is off limits to dogs
the league was called off last week
course is closed at night
il faut fermer le parcours
we've closed hole 7, tree down
482
48211
yes 48
is 4821 right?
how much is membership
me n my kid wanna try sat
in 2
what should i bring
est-ce que je peux venir avec mon chien
on est deux pour samedi
c'est combien la carte de membre
"""


@pytest.fixture(scope="session")
def orders(handbook: Handbook) -> Orders:
    return handbook.reader.orders


def _without_words(order: Order | None) -> Order | None:
    """The days without the words that named them, which are a matter of `dates`."""
    if isinstance(order, TakeDuty | CallOff) and order.when is not None:
        return replace(order, when=replace(order.when, words=""))
    if isinstance(order, Tell) and order.audience.when is not None:
        day = replace(order.audience.when, words="")
        return replace(order, audience=replace(order.audience, when=day))
    return order


@pytest.mark.parametrize(("text", "expected"), ORDERS, ids=[text for text, _ in ORDERS])
def test_an_order_is_read(text: str, expected: Order, orders: Orders) -> None:
    assert expected == _without_words(orders.read(text, NOON))


@pytest.mark.parametrize("text", NO_ORDERS.strip().splitlines())
def test_what_asks_reports_wishes_or_replies_is_no_order(text: str, orders: Orders) -> None:
    order = orders.read(text, NOON)

    assert order is None or isinstance(order, Unclear | NotByText)  # said back, and nothing is done


UNCLEAR: list[tuple[str, Order]] = [
    ("close the course when the rain starts", Unclear("condition", "when the rain starts")),
    ("close hole 7 unless jim fixed it", Unclear("condition", "unless jim fixed it")),
    ("close the course at dark", Unclear("condition", "at dark")),
    ("ferme le parcours si ça gèle", Unclear("condition", "si ça gèle")),
    ("reopen everything but the marsh", Unclear("exception", "but the marsh")),
    ("rouvre tout sauf le marais", Unclear("exception", "sauf le marais")),
    ("marsh closed til wed 9am and hill til thurs 9am", Unclear("two times", "til thurs 9am")),
    ("extend marsh closure to sunday", Unclear("a time", "to sunday")),
    ("close the course in an hour", Unclear("a time", "in an hour")),
    ("ferme le parcours dans une heure", Unclear("a time", "dans une heure")),
    ("close hole 22", Unclear("unknown part", "close hole 22")),
    ("close 16-18", Unclear("holes or hours", "close 16-18")),
    ("8-10 closed", Unclear("holes or hours", "8-10 closed")),
    ("ferme le 12, planche brisée", Unclear("holes or hours", "ferme le 12")),
    ("close hole 7, reopen hole 8", Unclear("not all")),
    ("yes 48217730 but only till 5", Unclear("otherwise", "but only till 5")),
    ("league 30 min later wed", Unclear("which hour")),
    ("postpone league", Unclear("which day", "postpone league")),
    ("reporte la ligue", Unclear("which day", "reporte la ligue")),
    ("league this week at a new place", NotByText("other place")),
    ("text the no shows", NotByText("no-shows")),
    ("no more texts to leo", NotByText("their texts")),
    ("n'écris plus à Léo", NotByText("their texts")),
    ("schedule a clinic", NotByText("new event")),
    ("add a night round fri 18 june", Unclear("new event", "add a night round fri 18 june")),
    ("priya's number changed", NotByText("roster")),
    ("cancel", NotByText("nothing to cancel")),
]
SEEN: list[tuple[str, Order]] = [
    ("status", ShowStatus()),
    ("how are things", ShowStatus()),
    ("how is everything going out there?", ShowStatus()),
    ("comment ça va au parcours?", ShowStatus()),
    ("who's on duty", ShowDuty()),
    ("qui est de garde", ShowDuty()),
    ("what can I text you?", ShowOrders()),
    ("quoi texter", ShowOrders()),
    ("any questions waiting?", ListQuestions()),
    ("open questions", ListQuestions()),
]
HELD: list[tuple[str, Order]] = [
    ("uncancel league", CallOn("dusk-league", None)),
    ("league is on after all", CallOn("dusk-league", None)),
    ("dont cancel league", CallOn("dusk-league", None)),
    ("la ligue a lieu finalement", CallOn("dusk-league", None)),
    ("league at 7 not 615", MoveHour("dusk-league", None, time(7))),
    ("move league to 7pm", MoveHour("dusk-league", None, time(19), sure=True)),
    ("la ligue à 19h au lieu de 18h15", MoveHour("dusk-league", None, time(19), sure=True)),
]


@pytest.mark.parametrize(("text", "expected"), [*UNCLEAR, *SEEN, *HELD])
def test_what_is_not_taken_up_and_what_is_shown(text: str, expected: Order, orders: Orders) -> None:
    assert expected == orders.read(text, NOON)


def test_till_tonight_in_the_evening_is_till_midnight(orders: Orders) -> None:
    expected = closed(until=june(TUE))

    assert expected == orders.read("close course till tonight", june(MON, 20))


def test_this_morning_at_six_is_now_till_noon(orders: Orders) -> None:
    expected = closed("course", "ice", until=june(MON, 12))

    assert expected == orders.read("course closed this morning, ice", june(MON, 6))


def test_an_hour_that_is_still_to_come_is_today(orders: Orders) -> None:
    expected = closed("course", "ice", until=june(MON, 9))

    assert expected == orders.read("close course till 9, ice", june(MON, 6))


def test_from_an_hour_that_has_begun_is_now(orders: Orders) -> None:
    expected = closed("7", until=june(MON, 18))

    assert expected == orders.read("close hole 7 from 2 till 6", june(MON, 15))


def test_an_end_before_the_beginning_is_asked_about(orders: Orders) -> None:
    assert isinstance(orders.read("close hole 7 from friday till wednesday 9am 9 june", NOON), Unclear)


def test_any_mark_and_any_letter_may_stand_in_a_text(orders: Orders) -> None:
    for text in (
        "",
        "   ",
        "?!",
        "…",
        "🥏",
        "🥏 close the course 🥏",
        "a" * 2000,
        "close " * 300,
        "reopen " + "de la " * 60,
        "close " + "now sat " * 40,
        ",,,;;;",
        "\n\n",
    ):
        orders.read(text, NOON)


def test_there_are_enough_of_both() -> None:
    assert len(ORDERS) >= 120
    assert len(NO_ORDERS.strip().splitlines()) >= 60


def test_digits_beside_letters_are_no_code_and_break_no_row(handbook: Handbook) -> None:
    assert handbook.reader.orders.read("room Q1 2 and 48217730 yes", NOON) == Confirm("48217730", alone=False)
    assert handbook.reader.orders.read("b4 5 6", NOON) is None

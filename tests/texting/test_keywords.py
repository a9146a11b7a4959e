"""The key words of opt-out, help and start, the same wish said plainly, and what only looks like it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clubbot.handbook.book import Handbook
from clubbot.model.messages import Language
from clubbot.texting.keywords import KEYWORDS, Keyword, KeywordKind, keyword
from clubbot.understanding.consent import opts_out

unhurried = settings(deadline=None)  # a slow machine is no fault


# CTIA Messaging Principles and Best Practices (2023), 5.1: stop, end, unsubscribe, cancel, quit. READ-2
# US 47 CFR 64.1200(a)(10): stop, quit, end, revoke, "opt out", cancel, unsubscribe always count. READ-2
# Word set of the carriers: STOPALL, since 2025 often REVOKE and OPTOUT too; help HELP, INFO; back START, UNSTOP. READ-2
# Canadian common short code guidelines v3.6-3.9: STOP, ARRET, HELP, AIDE, INFO; ARRET answered in French. READ-2
@pytest.mark.parametrize(
    ("word", "kind", "language"),
    [
        ("STOP", "stop", "en"),
        ("STOPALL", "stop", "en"),
        ("STOP ALL", "stop", "en"),
        ("END", "stop", "en"),
        ("QUIT", "stop", "en"),
        ("CANCEL", "stop", "en"),
        ("UNSUBSCRIBE", "stop", "en"),
        ("REVOKE", "stop", "en"),
        ("OPTOUT", "stop", "en"),
        ("OPT OUT", "stop", "en"),
        ("opt-out", "stop", "en"),
        ("ARRET", "stop", "fr"),
        ("ARRÊT", "stop", "fr"),
        ("ARRE\u0302T", "stop", "fr"),
        ("arrête", "stop", "fr"),
        ("arrêtez", "stop", "fr"),
        ("arrêter", "stop", "fr"),
        ("désabonner", "stop", "fr"),
        ("désabonnement", "stop", "fr"),
        ("HELP", "help", "en"),
        ("INFO", "help", "en"),
        ("AIDE", "help", "fr"),
        ("START", "start", "en"),
        ("UNSTOP", "start", "en"),
        ("reprendre", "start", "fr"),
    ],
)
def test_a_published_key_word_is_one_in_any_case(word: str, kind: KeywordKind, language: Language) -> None:
    expected = {Keyword(kind, language)}
    actual = {keyword(word), keyword(word.lower()), keyword(word.capitalize())}

    assert expected == actual


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("STOP.", "en"),
        ("Stop!!!", "en"),
        ("  stop\n", "en"),
        ('"STOP"', "en"),
        ("“Stop”", "en"),
        ("*stop*", "en"),
        ("stop 🛑", "en"),
        ("🛑stop🙏please", "en"),
        ("Stop please", "en"),
        ("please stop", "en"),
        ("stop—thanks", "en"),
        ("ok, stop now. Thank you", "en"),
        ("stop stop stop", "en"),
        ("STOP STOP", "en"),
        ("Cancel, thanks", "en"),
        ("Please unsubscribe", "en"),
        ("please opt-out", "en"),
        ("arret svp", "fr"),
        ("Arrêtez s’il vous plaît", "fr"),
        ("ARRÊT s'il te plaît, merci", "fr"),
        ("« ARRÊT »", "fr"),
    ],
)
def test_marks_and_courtesy_around_a_key_word_are_left_aside(text: str, expected: Language) -> None:
    # standards.md 4, row "false-positive traps" (own): a whole message after trimming
    actual = keyword(text)

    assert Keyword("stop", expected) == actual


@unhurried
@given(
    st.sampled_from(sorted(KEYWORDS)),
    st.text(" .!?,;:*\"'()-–…«»“”\n🙏", max_size=6),
    st.text(" .!?-…\n🙏", max_size=6),
)
def test_no_mark_hides_a_key_word(word: str, before: str, after: str) -> None:
    actual = keyword(before + word.upper() + after)

    assert KEYWORDS[word] == actual


@pytest.mark.parametrize("text", ["", "  ", "?", "🥏", "please", "thank you", "ok thanks", "merci"])
def test_courtesy_alone_is_no_key_word(text: str) -> None:
    assert keyword(text) is None


# The carriers' word set has YES as well (READ-2); here it answers questions.
@pytest.mark.parametrize("text", ["YES", "yes", "y", "oui"])
def test_yes_is_an_answer_and_starts_nothing(text: str) -> None:
    assert keyword(text) is None


# standards.md 4, row "false-positive traps" (own), and more of the kind.
@pytest.mark.parametrize(
    "text",
    [
        "stop by the boathouse?",
        "cancel my spot",
        "cancel saturday",
        "end of round?",
        "stop by at 6?",
        "don't stop",
        "don’t stop",
        "quit smoking rules?",
        "can you help",
        "where does it end",
        "start time?",
        "help with my putt",
        "info on league?",
        "bus stop?",
        "you stop?",
        "il arrête?",
        "vous arrêtez?",
        "c'est où l'arrêt",
        "aide-moi avec mon putt",
    ],
)
def test_a_key_word_among_others_is_no_wish_to_stop(text: str, handbook: Handbook) -> None:
    assert keyword(text) is None
    assert opts_out(handbook.reader.notice(text)) is None


# US 47 CFR 64.1200(a)(10), READ-2: any words count that a reasonable person would take for a revocation.
# "Please opt me out" is an example of CTIA Messaging Principles 5.1 (READ-2); the sentences are ours.
@pytest.mark.parametrize(
    "text",
    [
        "stop texting me",
        "Please stop texting me.",
        "STOP TEXTING ME!!!",
        "pls stop txting this number",
        "quit texting me",
        "quit messaging me already",
        "stop msging me",
        "stop contacting me",
        "stop bothering me",
        "stop spamming me",
        "stop sending me messages",
        "stop sending these",
        "Stop sending me this stuff",
        "stop with the texts",
        "stop all texts",
        "stop all messages please",
        "cancel all texts",
        "wrong number, stop texting",
        "You have the wrong number. Please stop texting me.",
        "Hi, can you stop texting me please? Thanks, Dana",
        "I moved away, please stop the texts",
        "stop texting me i don't care about disc golf",
        "stop texting me about everything",
        "don't text me again",
        "Don’t text me anymore",
        "do not contact me",
        "DO NOT TEXT",
        "do not text this number",
        "never text me again",
        "dont ever message me again",
        "don't send me anything else",
        "no more texts please",
        "No more texts, thanks.",
        "no more messages",
        "enough texts",
        "I don't want any more texts",
        "i dont want these texts",
        "I no longer want to receive texts",
        "I don't want to get texts from you anymore",
        "i do not wish to receive these messages",
        "take me off your list",
        "Please take me off your texting list",
        "could you please take me off the text list",
        "remove me from your list",
        "please remove this number from your list",
        "get me off this list",
        "remove my number",
        "delete my number",
        "lose my number",
        "unsubscribe me",
        "please unsubscribe me from everything",
        "I want to unsubscribe",
        "please opt me out",
        "opt me out of all messages",
        "opt me out of everything, I moved away",
        "unsubscribe me from your list please",
        "stop writing to me",
        "I want to opt out",
        "id like to opt out of texts",
        "I revoke my consent",
        "leave me alone",
    ],
)
def test_a_wish_for_no_more_texts_is_understood_however_it_is_put(text: str, handbook: Handbook) -> None:
    expected = Keyword("stop", "en")
    actual = opts_out(handbook.reader.notice(text))

    assert expected == actual


@pytest.mark.parametrize(
    "text",
    [
        "arrêtez de m'écrire",
        "Arrêtez de m’envoyer des textos svp",
        "arrete de me texter",
        "arrêtez de me texter s'il vous plaît",
        "arrête de m'achaler",
        "cessez de m'écrire",
        "cessez de me contacter",
        "arrêtez les textos",
        "arrêtez vos messages",
        "stop les textos",
        "ne m'écrivez plus",
        "ne m'écris plus",
        "Ne me textez plus SVP",
        "ne me contactez plus",
        "ne me dérangez plus",
        "ne m'envoyez plus de messages",
        "Ne m’envoyez plus rien",
        "Mauvais numéro, ne m'écrivez plus",
        "je ne veux plus recevoir de textos",
        "Je ne veux plus de messages",
        "je veux plus recevoir vos textos",
        "j'veux plus de textos",
        "je ne souhaite plus recevoir vos messages",
        "j'aimerais ne plus recevoir de messages",
        "je ne veux plus rien recevoir",
        "je ne veux plus être contacté",
        "je ne veux plus que vous m'écriviez",
        "m'écris plus",
        "plus de textos svp",
        "plus de messages, merci",
        "pas de textos svp",
        "désabonnez-moi",
        "Désabonnez-moi de tout svp",
        "je veux me désabonner",
        "enlevez-moi de votre liste",
        "retirez mon numéro",
        "Veuillez retirer mon numéro de votre liste",
        "supprimez mon numéro svp",
        "effacez mon numéro",
        "enlevez mon numéro de votre système",
        "laissez-moi tranquille",
        "Bonjour, pouvez-vous arrêter de m'envoyer des textos? Merci",
        "je retire mon consentement",
    ],
)
def test_a_wish_for_no_more_texts_is_understood_in_french_too(text: str, handbook: Handbook) -> None:
    expected = Keyword("stop", "fr")
    actual = opts_out(handbook.reader.notice(text))

    assert expected == actual


@pytest.mark.parametrize(
    "text",
    [
        # about one list, one event, or an hour
        "stop texting me about league",
        "stop texting me about the doubles please",
        "no more league texts please",
        "no more texts about doubles",
        "stop sending me event reminders",
        "stop messages for league only",
        "don't text me about closures",
        "dont send me the league ones",
        "I don't want texts about league anymore",
        "take me off the league list",
        "remove my number from the league list",
        "remove me from saturday's list",
        "take me off your list for saturday",
        "take me off the waitlist",
        "get me off the waiting list",
        "unsubscribe me from league",
        "opt me out of the doubles",
        "can i opt out of the ace pot",
        "I want to unsubscribe from the newsletter",
        "don't text me before 9 please",
        "dont message me until after work",
        "only text me closures",
        "cancel my rsvp for sunday",
        "delete my rsvp",
        # about discs, weather, the course, the neighbours
        "my disc won't stop rolling away",
        "how do i get my disc to stop before the creek",
        "my driver never stops turning over",
        "when does the rain stop",
        "no more spots?",
        "no more parking?",
        "does the bus stop near hole 1",
        "is there a stop sign at the entrance",
        "when does league end",
        "should I quit using a driver",
        "leave me a message if you find my disc",
        "please stop sending players down the wrong path",
        "the kids on hole 4 won't stop bothering us",
        "my buddy won't stop texting me to join league night",
        "don't send me to the wrong tee again",
        "who do i text to stop the sprinklers",
        "no worries, don't bother",
        "just call, i don't text",
        "should I stop writing my name inside the rim",
        "can i remove this number from a found disc",
        "how do i delete my number off an old disc",
        # the other way round: more texts are wanted
        "why did you stop texting me",
        "please don't stop texting me",
        "did you guys stop sending the weekly text",
        "did you stop sending messages?",
        "why don't you text me when it closes",
        "you never text me back",
        "stop by and text me when you get here",
        "are there no more texts about the raffle?",
        "i don't want to miss any texts",
        "I did not get the text",
        "are there no more texts?",
        "why am i getting no more messages",
        "I don't want the texts to stop",
        "why did you unsubscribe me",
        "please don't delete my number",
    ],
)
def test_another_wish_with_the_same_words_stops_nothing(text: str, handbook: Handbook) -> None:
    assert keyword(text) is None
    assert opts_out(handbook.reader.notice(text)) is None


@pytest.mark.parametrize(
    "text",
    [
        "arrêtez de m'écrire au sujet de la ligue",
        "plus de textos sur la ligue svp",
        "je ne veux plus recevoir de messages sur les fermetures",
        "ne m'envoyez pas les résultats de la ligue",
        "ne m'envoyez plus les rappels",
        "désabonnez-moi de la ligue",
        "enlevez-moi de la liste de samedi",
        "retirez-moi de la liste d'attente",
        "enlevez-moi de votre liste d'attente",
        "annulez ma place samedi",
        "ne m'écrivez pas avant 9h",
        "ne m'écris pas tout de suite, je conduis",
        "écrivez-moi plus tard",
        "effacez mon score du trou 4",
        "comment enlever mon numéro du disque",
        "plus de places?",
        "il n'y a plus de places?",
        "à quelle heure ça arrête",
        "quand est-ce que la pluie arrête",
        "mon disque n'arrête pas de rouler",
        "est-ce que l'autobus arrête proche du parcours",
        "c'est où l'arrêt d'autobus",
        "on arrête à quel trou",
        "j'ai arrêté de jouer l'an passé",
        "fin de la partie à quelle heure",
        "pouvez-vous m'aider",
        "n'arrêtez pas de m'écrire",
        "pourquoi vous ne m'écrivez plus",
        "avez-vous arrêté de m'envoyer des textos?",
        "vous avez arrêté de m'écrire?",
        "envoyez-moi plus de détails",
        "envoyez-moi plus de messages",
        "pouvez-vous me contacter plus tard",
        "ça fait un mois que vous ne m'écrivez plus",
        "je voudrais recevoir plus de messages",
        "je voudrais plus de messages sur les fermetures",
        "pourquoi je ne reçois plus de messages",
    ],
)
def test_another_wish_with_the_same_words_stops_nothing_in_french_either(text: str, handbook: Handbook) -> None:
    assert keyword(text) is None
    assert opts_out(handbook.reader.notice(text)) is None


def test_a_story_is_left_to_a_reader(handbook: Handbook) -> None:
    story = (
        "I was out by the creek with my brother and we lost three discs there. " * 2 + "Then they said stop texting me."
    )

    assert opts_out(handbook.reader.notice(story)) is None


@unhurried
@given(st.text())
def test_no_text_is_too_odd_to_be_read(handbook: Handbook, text: str) -> None:
    assert keyword(text) in {None, *KEYWORDS.values()}
    assert opts_out(handbook.reader.notice(text)) in {None, Keyword("stop", "en"), Keyword("stop", "fr")}


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("STOPP", "en"),
        ("STPO", "en"),
        ("tsop", "en"),
        ("sttop please", "en"),
        ("stip", "en"),
        ("quitt", "en"),
        ("CANCLE", "en"),
        ("UNSUSCRIBE", "en"),
        ("unsubsribe", "en"),
        ("unscubscribe", "en"),
        ("ARRETT", "fr"),
        ("ARET", "fr"),
        ("arrettez svp", "fr"),
        ("ARRÊTTE", "fr"),
        ("desabonement", "fr"),
        ("désinscrire", "fr"),
    ],
)
def test_a_slip_of_a_key_word_that_is_all_of_a_text_is_that_word(text: str, language: Language) -> None:
    assert keyword(text) == Keyword("stop", language)


@pytest.mark.parametrize(
    "text",
    [
        "shop",
        "step",
        "top",
        "stoop",
        "spot",
        "slop",
        "stow",
        "star",
        "stops",
        "atop",
        "quite",
        "quiet",
        "suit",
        "cancer",
        "canceled",
        "cancelled",
        "arrest",
        "arrive",
        "arrivez",
        "archet",
        "revoked",
        "subscribe",
        "resubscribe",
        "réabonner",
        "abonner",
        "inscrire",
        "inscription",
        "start",
        "send",
        "shot",
        "and",
        "ends",
        "store",
    ],
)
def test_another_word_that_is_near_to_a_key_word_is_none(text: str) -> None:
    found = keyword(text)

    assert found is None or found.kind == "start"

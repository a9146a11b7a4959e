"""Whether a text says that somebody is hurt or in danger now, by the rules. Better once too often: the reply is short and sends to the
emergency number.
"""

from clubbot.understanding.noticing import Noticed
from clubbot.understanding.rules import Match


def sounds_like_danger(noticed: Noticed) -> bool:
    """True where the words say that somebody is hurt or in danger, and not only ask about it, fear it or tell of another time."""
    for cry in _meant(noticed, "danger"):
        sentence = noticed.sentence(cry)
        asked = [one for what in _ASKED for one in noticed.all(what)]
        if any(noticed.sentence(one) == sentence and noticed.start(one) < noticed.start(cry) for one in asked):
            continue
        if not any(noticed.sentence(one) == sentence for one in noticed.all("not now")):
            return True
    return _hurt_now(noticed)


def _meant(noticed: Noticed, what: str) -> tuple[Match, ...]:
    """The places where a rule says so, without those that other words cover: of play, "choked on the last putt", or of helpers who have come."""
    played = [_letters(one, noticed) for none in _NO_CRY for one in noticed.all(none)]
    return tuple(
        one
        for one in noticed.all(what)
        if not any(first < _letters(one, noticed)[1] and _letters(one, noticed)[0] < end for first, end in played)
    )


def _letters(match: Match, noticed: Noticed) -> tuple[int, int]:
    words = noticed.words(match)
    return (words[0].start, words[-1].end) if words else (0, 0)


def is_play(noticed: Noticed) -> bool:
    """True where words of play sound like danger, and no word tells of any: "he's on fire tonight"."""
    return noticed.says("no danger") and not sounds_like_danger(noticed)


def is_over(noticed: Noticed) -> bool:
    """True where the text says that what was cried for is over or never was, and tells of no danger itself: "found him", "nobody is hurt"."""
    return (noticed.says("all is well") or noticed.says("denies danger")) and not sounds_like_danger(noticed)


def denies(noticed: Noticed) -> bool:
    """True where the text says itself that nobody is in danger: "he fell off lol, he's fine"."""
    return noticed.says("denies danger") and not sounds_like_danger(noticed)


def help_came(noticed: Noticed) -> bool:
    """True where those who were called for have come."""
    return noticed.says("help has come") and not sounds_like_danger(noticed)


def only_supposes(noticed: Noticed) -> bool:
    """True where the text asks what would be if, or whether it ever was: nobody is in danger, whatever the rest sounds like."""
    return noticed.says("supposed") and not sounds_like_danger(noticed)


_NO_CRY = ("no danger", "help has come", "denies danger")
_ASKED = ("supposed", "feared")


def _hurt_now(noticed: Noticed) -> bool:
    """People tell of an injury as news: what is said anywhere in the text may make it one of another day, what comes after it that it is
    none: "he slipped, he's ok just wet".
    """
    hurts = _meant(noticed, "hurt")
    if not hurts or noticed.says("not now"):
        return False
    first, last = (of(noticed.start(one) for one in hurts) for of in (min, max))
    if any(noticed.start(one) > last for one in noticed.all("denies danger")):
        return False
    return not any(noticed.start(one) < first for what in _ASKED for one in noticed.all(what))

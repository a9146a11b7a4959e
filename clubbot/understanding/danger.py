"""Whether a text says that somebody is hurt or in danger now, by the rules. Better once too often: the reply is short and sends to the
emergency number.
"""

from clubbot.understanding.noticing import Noticed


def sounds_like_danger(noticed: Noticed) -> bool:
    """True where the words say that somebody is hurt or in danger, and not only ask about it, fear it or tell of another time."""
    for cry in noticed.all("danger"):
        sentence = noticed.sentence(cry)
        asked = [one for what in _ASKED for one in noticed.all(what)]
        if any(noticed.sentence(one) == sentence and noticed.start(one) < noticed.start(cry) for one in asked):
            continue
        if not any(noticed.sentence(one) == sentence for one in noticed.all("not now")):
            return True
    return _hurt_now(noticed)


def only_supposes(noticed: Noticed) -> bool:
    """True where the text asks what would be if, or whether it ever was: nobody is in danger, whatever the rest sounds like."""
    return noticed.says("supposed") and not sounds_like_danger(noticed)


_ASKED = ("supposed", "feared")


def _hurt_now(noticed: Noticed) -> bool:
    """People tell of an injury as news: what is said anywhere in the text may make it one of another day."""
    hurts = noticed.all("hurt")
    if not hurts or noticed.says("not now"):
        return False
    first = min(noticed.start(one) for one in hurts)
    return not any(noticed.start(one) < first for what in _ASKED for one in noticed.all(what))

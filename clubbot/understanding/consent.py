"""The wish for no more texts, or to have them again, said in plain words, by the rules. Key words as whole messages are in texting/keywords."""

from clubbot.texting.keywords import Keyword, keyword
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.rules import Match
from clubbot.understanding.splitting import sentences

# Words of a sentence of which some would be small, were it not all in capitals.
_OF_MANY = 4


def opts_out(noticed: Noticed) -> Keyword | None:
    """The wish to get no more texts at all, said in a sentence; None where it is only about one list or something else, or wants the
    texts again: "I told you to stop last month, turn it all back on".
    """
    wish = next((one for one in noticed.all("stop") if not _is_of_another(one, noticed)), None)
    if wish is None and noticed.says("of texts"):
        wish = noticed.first("never again")
    return None if wish is None or opts_in(noticed) else Keyword("stop", wish.language)


def speaks_of_another(noticed: Noticed) -> bool:
    """Whether something stops or ends in a text that is not all of our texts: "end of message", "when do your texts stop"."""
    return noticed.says("another stop") and opts_out(noticed) is None


def _is_of_another(wish: Match, noticed: Noticed) -> bool:
    """Whether the words of a wish belong to what is about something else."""
    first, last = noticed.words(wish)[:1], noticed.words(wish)[-1:]
    spans = [(noticed.start(one), noticed.words(one)[-1].end) for one in noticed.all("another stop")]
    return any(begin < last[0].end and first[0].start < end for begin, end in spans) if first else False


def wants_back(noticed: Noticed, text: str) -> bool:
    """Whether somebody who has stopped our texts wants them again: in plain words, or by the key word, told to them in capitals, as a
    sentence of its own or at its beginning or end.
    """
    if opts_in(noticed) or noticed.says("wants back after a stop"):
        return True
    return any(_begins_or_ends_with_start(one) for one in sentences(text))


def _begins_or_ends_with_start(sentence: str) -> bool:
    words = ["".join(letter for letter in word if letter.isalnum()) for word in sentence.split()]
    words = [word for word in words if word]
    loud = len(words) < _OF_MANY or any(word.islower() for word in words)
    ends = {words[0], words[-1]} if words and loud else set()
    return any(word.isupper() and _is_start(word) for word in ends)


def opts_in(noticed: Noticed) -> bool:
    """Whether somebody wants our texts again: said so, or takes back that they stopped them."""
    return noticed.says("start") or (noticed.says("stopped before") and noticed.says("turns back"))


def _is_start(word: str) -> bool:
    found = keyword(word)
    return found is not None and found.kind == "start"

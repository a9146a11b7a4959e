"""The wish for no more texts, or to have them again, said in plain words, by the rules. Key words as whole messages are in texting/keywords."""

from clubbot.texting.keywords import Keyword
from clubbot.understanding.noticing import Noticed


def opts_out(noticed: Noticed) -> Keyword | None:
    """The wish to get no more texts at all, said in a sentence; None where it is only about one list or something else, or wants the
    texts again: "I told you to stop last month, turn it all back on".
    """
    wish = noticed.first("stop")
    return None if wish is None or opts_in(noticed) else Keyword("stop", wish.language)


def opts_in(noticed: Noticed) -> bool:
    """Whether somebody wants our texts again: said so, or takes back that they stopped them."""
    return noticed.says("start") or (noticed.says("stopped before") and noticed.says("turns back"))

"""The plain form in which names and orders are still looked for, until all read the words of `text`; days and hours are read by `days`."""

from functools import lru_cache

from clubbot.texting import patterns

_ASCII = str.maketrans("àâäçéèêëîïôöùûüñ’", "aaaceeeeiioouuun ")


@lru_cache(maxsize=4096)  # asked of the same text, and of the same letters, by everything that reads it
def plain_for_dates(text: str) -> str:
    """Lower case, no accents, everything but letters, digits, ":", "#" and the "/" of "4/25" to single spaces."""
    spelled = text.casefold().replace("œ", "oe")
    folded = spelled.translate(_ASCII)
    timed = patterns.sub(r"(\d)\.(\d\d)\b", r"\1:\2", folded)
    dated = patterns.sub(r"(?<=\d) ?/ ?(?=\d)", "\x00", timed)
    return patterns.sub(r"[^a-z0-9:#\x00]+", " ", dated).strip().replace("\x00", "/")

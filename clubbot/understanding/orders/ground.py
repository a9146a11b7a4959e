"""The parts of the course as the club's people name them."""

from clubbot.model.club import Knowledge
from clubbot.texting import patterns
from clubbot.understanding import numbers
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.mentions import Mentions

COURSE = "course"


class Ground:
    """Finds the parts of the course in a plain text, and where they stand."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._mentions = mentions
        self._holes = len(knowledge.course.holes)
        self._loops = {(loop.first_hole, loop.last_hole): loop.id for loop in knowledge.course.loops}
        called = (name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called))
        names = "|".join(sorted({patterns.escape(plain_for_dates(name)) for name in called}, key=len, reverse=True))
        loop = rf"(?:(?:loop|boucle) (?:(?:of|du|de la|de l|des|the) )?)?(?:{names})(?: loop| holes)?"
        hole = r"(?:hole|trou|basket|panier|tee|no|h) ?#? ?(?:\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|un|deux|trois|quatre|cinq|sept|huit|neuf|dix|onze|douze)\b|#\d{1,2}|\d{1,2}(?:st|nd|rd|th|e|er|eme) (?:hole|tee|basket|trou|panier)"
        holes = r"(?:holes|trous) \d{1,2} ?(?:to |through |thru |a |et |and |- ?)?\d{1,2}"
        course = (
            r"(?:whole |entire |full )?(?:course|parcours|terrain)(?: au complet| entier)?|all (?:18|the holes|holes)"
        )
        # Atomic: "de la" is one way of reading "de la", else a long row of them takes for ever to look through.
        articles = r"(?:(?>(?:all of|all|the|our|les|le|la|l|du|de la|de l|des|de|on|sur) )){0,9}"
        self.named = rf"(?:{articles}(?:{holes}|{hole}|{loop}|{course}))(?![a-z0-9])"
        self.part = rf"(?:{articles}(?:{holes}|{hole}|{loop}))(?![a-z0-9])"
        # "Close hole 7 and 8": one order could only close one of them.
        self._several = patterns.compile(
            rf"(?: ,)?(?: and| et| or| ou| plus)? (?:(?:and|et|or|ou|plus) )?(?:{self.named}|\d{{1,2}}(?= (?:and|et|,|@|closed|shut|ferm))|\d{{1,2}}$)"
        )
        self._joined = patterns.compile(r"^ (?:,|and|et|plus) ")
        self._elsewhere = patterns.compile(rf"\b{self.part}")

    def id(self, words: str) -> str | None:
        """The hole's number, the loop's id or "course"; None for a hole that there is not, or holes that are no loop."""
        plural = patterns.search(r"\b(?:holes|trous) (\d+)\D+(\d+)", words)
        if plural is not None:
            return self._loops.get((int(plural[1]), int(plural[2])))
        hole = numbers.hole(words)
        if hole is not None and not 1 <= hole <= self._holes:
            return None
        return self._mentions.place(words)

    def elsewhere(self, plain: str) -> str | None:
        """The part that is named anywhere, else the course: "tree down on hole 7, close it"."""
        found = self._elsewhere.search(plain)
        return self.id(found.group()) if found else COURSE

    def goes_on(self, plain: str, end: int) -> bool:
        """Whether a second part of the course follows at `end`, joined to the first."""
        found = self._several.match(plain, end)
        if found is None:
            return False
        if " ," not in found.group():
            return self._joined.match(plain[end:]) is not None
        return patterns.match(r" ?(?:@|,|$|and |et |closed|shut|ferm)", plain[found.end() :]) is not None

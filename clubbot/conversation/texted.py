"""One text that came in, with all that is looked at to decide about it."""

from dataclasses import dataclass, replace
from datetime import datetime

from clubbot.conversation.ask import Ask
from clubbot.conversation.phrasing import Voice
from clubbot.model.club import Knowledge, Person
from clubbot.model.known import Known
from clubbot.model.messages import Language
from clubbot.understanding.once import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Texted:
    """A text and its one reading, who sent it and what is known, and the hour; `at` is when it was texted."""

    reading: Reading
    known: Known
    knowledge: Knowledge
    at: datetime
    now: datetime

    @property
    def text(self) -> str:
        """Its words."""
        return self.reading.text

    @property
    def usual(self) -> Language:
        """The language of the sender, as far as it is known."""
        return usual_language(self.known, self.knowledge)

    @property
    def person(self) -> Person | None:
        """The person of the club whose phone it is."""
        return next((one for one in self.knowledge.people if one.number == self.known.sender.number), None)

    def voice(self, language: Language | None = None) -> Voice:
        """Speaks in the language that the sender has asked for, else in that one, else in the sender's."""
        return Voice(self.knowledge, self.known.dialogue.speaks or language or self.usual)

    def ask(self, language: Language | None = None, *, alone: bool = True, part: Reading | None = None) -> Ask:
        """The text as it is served, in that language, else in the sender's; `part` where only that of it is looked at."""
        read, voice = part or self.reading, self.voice(language)
        return Ask(text=read.text, known=self.known, voice=voice, now=self.now, alone=alone, reading=read)

    def introduced(self) -> "Texted":
        """The same from somebody who knows who we are, and wants our texts."""
        sender = replace(self.known.sender, introduced=True, opted_out=False)
        return replace(self, known=replace(self.known, sender=sender))

    def both_ends(self) -> "Texted":
        """The same as far as it is read to be answered."""
        return replace(self, reading=self.reading.both_ends)


def usual_language(known: Known, knowledge: Knowledge) -> Language:
    """The language of a sender, as far as it is known; else the club's first."""
    return known.dialogue.speaks or known.sender.language or knowledge.club.languages[0]

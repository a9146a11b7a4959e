"""The few faults that stop work. What the trade expects (full, closed, unknown) is a value, not an error."""

from collections.abc import Sequence


class ClubbotError(Exception):
    """Something a person must mend; the text says what, where and what to do."""


class SettingsFault(ClubbotError):
    """The settings cannot be used. The text names every fault and shows no secret."""


class KnowledgeFault(ClubbotError):
    """The knowledge files cannot be used."""

    def __init__(self, findings: Sequence[object]) -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join(str(finding) for finding in findings))


class SchemaFault(ClubbotError):
    """The database has a schema that this version of clubbot does not know."""


class TranscriptFault(ClubbotError):
    """A sample conversation cannot be read; the text names file and line."""


class NotRead(ClubbotError):
    """A text was not read within its time, or whatever read it died of it: it is set aside for a person."""


class ReadingDown(ClubbotError):
    """Nothing can be read just now; texts wait."""


class DatabaseFault(ClubbotError):
    """The database cannot be used. `passes` where that may be over by itself, as a full disk or a lock may be, so that waiting helps."""

    def __init__(self, told: str, *, passes: bool) -> None:
        self.passes = passes
        super().__init__(told)


class RunsAway(ClubbotError):
    """A text keeps a pattern busy for too long; the text names the beginning of the pattern, never what somebody wrote."""

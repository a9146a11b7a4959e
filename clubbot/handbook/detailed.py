"""What is wrong with the details of a topic: passages that are missing in a language, wordings that tell nothing or tell of another detail."""

from collections.abc import Iterable, Iterator

from clubbot.handbook.answers import AnswerFile, WrittenPoint
from clubbot.handbook.findings import Finding, error, warning
from clubbot.handbook.readability import too_hard
from clubbot.model.club import Knowledge
from clubbot.model.messages import Language
from clubbot.understanding.details import Details
from clubbot.understanding.plain import words_of
from clubbot.understanding.scoring import Scorer

# Letters of a passage: half a reply leaves room for who we are, or for what must be said first.
MOST_LETTERS = 240
_NAMES = {"en": "English", "fr": "French"}


def details_written(knowledge: Knowledge, files: Iterable[AnswerFile]) -> list[Finding]:
    """What shows without learning: wordings that stand twice, passages that are too long, too hard or only there in one language."""
    return [one for file in files for one in _of_file(file, knowledge)]


def details_found(knowledge: Knowledge, files: Iterable[AnswerFile], scorer: Scorer) -> list[Finding]:
    """Wordings that do not bring their own passage."""
    details = Details(knowledge.answers, scorer, lambda word: word)
    found: list[Finding] = []
    for file in files:
        for language in knowledge.club.languages:
            for place, point in enumerate(file.points.get(language, [])):
                for line, wording in point.asked:
                    read = details.asked(wording, file.topic, language, going_on=True)
                    if read is None and line != point.line:
                        wrong = f'"{wording}" has no word of its own: whoever asks so gets the general answer'
                        found.append(warning(file.file, line, wrong, "say in it what only this detail is about"))
                    elif read is not None and read.place != place:
                        other = file.points[language][read.place].asked[0][1]
                        wrong = f'"{wording}" is nearer to "{other}"'
                        found.append(warning(file.file, line, wrong, "reword it, or leave it out"))
    return found


def _of_file(file: AnswerFile, knowledge: Knowledge) -> Iterator[Finding]:
    languages = knowledge.club.languages
    for language in languages:
        yield from _twice(file, language)
        for place, point in enumerate(file.points.get(language, [])):
            yield from _of_point(file, point, knowledge.answers[file.topic].points[language][place].said, language)
    most = max((len(file.points.get(language, [])) for language in languages), default=0)
    for place in range(most):
        yield from _in_each_language(file, place, languages)


def _twice(file: AnswerFile, language: Language) -> Iterator[Finding]:
    """The same words for two details: neither would be found."""
    seen: dict[tuple[str, ...], int] = {}
    for place, point in enumerate(file.points.get(language, [])):
        for line, wording in point.asked:
            if seen.setdefault(tuple(words_of(wording)), place) != place:
                wrong = f'"{wording}" stands under two details'
                yield error(file.file, line, wrong, "leave it with the one that is meant")


def _of_point(file: AnswerFile, point: WrittenPoint, said: str, language: Language) -> Iterator[Finding]:
    line = point.said[0][0] if point.said else point.line
    if len(point.asked) == 1:
        wrong = f'"{point.asked[0][1]}" has no other wording: it will seldom be found'
        yield warning(file.file, point.line, wrong, 'add a few below it, such as "- is there a bench"')
    if len(said) > MOST_LETTERS:
        wrong = f"the passage has {len(said)} letters"
        yield warning(file.file, line, wrong, f"shorten it to {MOST_LETTERS}, or make it two details")
    hard = too_hard(said, language) if said else None
    if hard:
        yield warning(file.file, line, hard, "use shorter sentences and shorter words")


def _in_each_language(file: AnswerFile, place: int, languages: tuple[Language, ...]) -> Iterator[Finding]:
    """The details of two languages are the same ones in the same order, and each has its passage in all of them or in none."""
    there = {one: file.points[one][place] for one in languages if place < len(file.points.get(one, []))}
    first = next(iter(there.values()))
    for language in languages:
        named = _NAMES.get(language, language)
        if language not in there:
            wrong = f'"{first.asked[0][1]}" stands nowhere in {named}'
            yield warning(file.file, first.line, wrong, f"add it in {named} too, at the same place")
        elif not there[language].said and any(one.said for one in there.values()):
            wrong = f'"{there[language].asked[0][1]}" has no passage: a volunteer is asked in {named} only'
            yield warning(file.file, there[language].line, wrong, "write it below the wordings, or in no language")

"""The answer files: Markdown with a heading a language, one or two paragraphs under each, and a list of more ways of asking. Beneath a
language a smaller heading begins a point: a detail with a few wordings as a list and a passage of its own.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token

from clubbot.handbook.findings import Finding, error
from clubbot.handbook.tables import read_or_finding
from clubbot.model.club import Example
from clubbot.model.messages import LANGUAGES, Language

_HEADINGS: dict[str, Language] = {"english": "en", "français": "fr", "francais": "fr"}
_WAYS = "ways of asking"
_POINT = "h3"
_WAY = re.compile(r"^(?P<language>en|fr)\s*:\s*(?P<text>.+)$", re.DOTALL)
_LABELLED = re.compile(r"^(?P<heading>[^:]+?)\s*(?::\s*(?P<label>.*))?$")


@dataclass(slots=True)
class WrittenPoint:
    """One detail as written, with lines: `asked` are its heading and the wordings below it, `said` its passage, none where a person is asked."""

    line: int
    asked: list[tuple[int, str]]
    said: list[tuple[int, str]] = field(default_factory=list)


@dataclass(slots=True)
class AnswerFile:
    """One answer file as written: text with fact names still in braces. Lines count from 1."""

    topic: str
    file: Path
    labels: dict[Language, str] = field(default_factory=dict)
    paragraphs: dict[Language, list[tuple[int, str]]] = field(default_factory=dict)
    examples: list[tuple[int, Example]] = field(default_factory=list)
    points: dict[Language, list[WrittenPoint]] = field(default_factory=dict)


def read_answer(file: Path, findings: list[Finding], languages: Sequence[Language] = LANGUAGES) -> AnswerFile:
    """The file in its parts; what cannot be understood becomes a finding, and so does a language of the club that is missing."""
    answer = AnswerFile(topic=file.stem, file=file)
    text = read_or_finding(file, findings)
    if text is None:
        return answer
    tokens = MarkdownIt("commonmark").parse(text)
    section: Language | None = None
    ways, listed = False, 0
    point: WrittenPoint | None = None
    for place, token in enumerate(tokens):
        listed += {"list_item_open": 1, "list_item_close": -1}.get(token.type, 0)
        if token.type == "heading_open" and token.tag == _POINT and section is not None:
            point = WrittenPoint(_line(token), [(_line(token), tokens[place + 1].content.strip())])
            answer.points.setdefault(section, []).append(point)
        elif token.type == "heading_open":
            section, ways = _heading(tokens[place + 1], token, answer, findings)
            point = None
        elif token.type == "inline" and tokens[place - 1].type == "paragraph_open" and point is not None:
            (point.asked if listed else point.said).append((_line(token), " ".join(token.content.split())))
        elif token.type == "inline" and tokens[place - 1].type == "paragraph_open":
            _paragraph(token, section, ways, answer, findings)
    for language in languages:
        if not answer.paragraphs.get(language):
            heading = "## English: ..." if language == "en" else "## Français : ..."
            findings.append(
                error(file, 0, f"there is no answer in {language}", f'add "{heading}" and a paragraph under it')
            )
    return answer


def _heading(
    inline: Token, opening: Token, answer: AnswerFile, findings: list[Finding]
) -> tuple[Language | None, bool]:
    line = _line(opening)
    if opening.tag == "h1":
        return None, False
    found = _LABELLED.match(inline.content.strip())
    heading = found["heading"].casefold() if found else ""
    if heading == _WAYS:
        return None, True
    language = _HEADINGS.get(heading)
    if language is None:
        findings.append(
            error(
                answer.file,
                line,
                f'"{inline.content}" is no heading of an answer file',
                'use "## English: label", "## Français : label", "## Ways of asking", or "### ..." for a detail below a language',
            )
        )
        return None, False
    label = (found["label"] or "").strip() if found else ""
    if not label:
        findings.append(
            error(
                answer.file,
                line,
                "the heading has no label",
                'add two to four words after a colon, for "Do you mean 1 ..."',
            )
        )
    answer.labels[language] = label or answer.topic
    return language, False


def _paragraph(token: Token, section: Language | None, ways: bool, answer: AnswerFile, findings: list[Finding]) -> None:
    text = " ".join(token.content.split())
    line = _line(token)
    if ways:
        found = _WAY.match(text)
        if found is None:
            findings.append(
                error(answer.file, line, f'"{text}" is no way of asking', 'write "- en: ..." or "- fr: ..."')
            )
            return
        language: Language = "fr" if found["language"] == "fr" else "en"
        answer.examples.append((line, Example(text=found["text"], intent=answer.topic, language=language)))
    elif section is not None:
        answer.paragraphs.setdefault(section, []).append((line, text))


def _line(token: Token) -> int:
    return token.map[0] + 1 if token.map else 0

"""GET /calendar.ics: the calendar feed, in English or French, sent again only when it has changed."""

import re
from collections.abc import Awaitable, Callable, Sequence
from datetime import UTC, datetime
from hashlib import sha256

from aiohttp import ETag, web

from clubbot.model.club import Knowledge
from clubbot.model.messages import Language
from clubbot.site.feed import Revisions, feed

FRESH_FOR = 900  # seconds that a copy may be used without asking again
# A language with its weight, as RFC 9110, 12.5.4 writes them; of "fr-CA" only "fr" matters here.
_WISH = re.compile(r"([a-z]{1,8}|\*)(?:-[a-z0-9]{1,8})*\s*(?:;\s*q=([01](?:\.\d{0,3})?))?", re.IGNORECASE)
# The tag is that of a feed written at this instant, so that only what the feed says can change it.
_ANY_TIME = datetime(2000, 1, 1, tzinfo=UTC)


class CalendarFeed:
    """Serves the feed. `knowledge` and `revisions` are asked anew for every request."""

    def __init__(
        self,
        knowledge: Callable[[], Knowledge],
        revisions: Callable[[], Awaitable[Revisions]],
        clock: Callable[[], datetime],
    ) -> None:
        self._knowledge, self._revisions, self._clock = knowledge, revisions, clock

    def routes(self) -> list[web.RouteDef]:
        """What to add to the application; HEAD comes with GET."""
        return [web.get("/calendar.ics", self.calendar)]

    async def calendar(self, request: web.Request) -> web.StreamResponse:
        """The calendar, or 304 where the caller has it already."""
        knowledge = self._knowledge()
        languages = knowledge.club.languages
        language = _language(request, languages)
        if language is None:
            choices = " or ".join(f"?lang={one}" for one in languages)
            return web.Response(status=400, text=f"There is no calendar in that language: use {choices}, or no lang.\n")
        revisions = await self._revisions()
        # Weak: the same tag may stand for bytes that differ in the time stamp of entries without a revision.
        tag = ETag(sha256(feed(knowledge, revisions, language, _ANY_TIME)).hexdigest()[:32], is_weak=True)
        if _has(request, tag):
            answer = web.Response(status=304)
        else:
            answer = web.Response(
                body=feed(knowledge, revisions, language, self._clock()),
                content_type="text/calendar",
                charset="utf-8",
                headers={"Content-Disposition": 'inline; filename="calendar.ics"', "Content-Language": language},
            )
        answer.etag = tag
        answer.headers["Cache-Control"] = f"public, max-age={FRESH_FOR}"
        answer.headers["Vary"] = "Accept-Language"
        return answer


def _has(request: web.Request, tag: ETag) -> bool:
    """Whether the caller's copy is this one; compared weakly (RFC 9110, 13.1.2)."""
    return any(one.value in {"*", tag.value} for one in request.if_none_match or ())


def _language(request: web.Request, languages: Sequence[Language]) -> Language | None:
    """The one asked for; None where that is none of ours."""
    if "lang" in request.query:
        asked = request.query["lang"].lower()
        return next((one for one in languages if one == asked), None)
    return _accepted(",".join(request.headers.getall("Accept-Language", [])), languages) or languages[0]


def _accepted(header: str, languages: Sequence[Language]) -> Language | None:
    """The language of the greatest weight, of two alike the first named. What cannot be read is passed over."""
    found = [_WISH.fullmatch(wish.strip()) for wish in header.split(",")]
    weights = [(one[1].lower(), float(one[2] or "1")) for one in found if one]
    unwanted = {name for name, weight in weights if weight == 0}
    for name, weight in sorted(weights, key=lambda one: -one[1]):
        for language in languages:
            if weight > 0 and (name == language or (name == "*" and language not in unwanted)):
                return language
    return None

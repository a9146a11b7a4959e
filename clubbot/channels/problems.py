"""What a caller is told about a request that cannot be served: application/problem+json (RFC 9457)."""

import logging
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from http import HTTPStatus

from aiohttp import web

from clubbot.model.errors import DatabaseFault

log = logging.getLogger(__name__)

# When to post again what could not be kept: a full disk or a lock seldom passes sooner.
AFTER_FAULT_SECONDS = 30

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


@dataclass(frozen=True, slots=True)
class Fault:
    """A field that is wrong, by its path in the body or the header's name, and how."""

    field: str
    detail: str


def problem(status: int, detail: str, faults: Sequence[Fault] = ()) -> web.Response:
    """The answer. `type` is left out, which means about:blank: the status says it all."""
    body: dict[str, object] = {"title": HTTPStatus(status).phrase, "status": status, "detail": detail}
    if faults:
        body["errors"] = [{"field": fault.field, "detail": fault.detail} for fault in faults]
    return web.json_response(body, status=status, content_type="application/problem+json")


@web.middleware
async def as_problems(request: web.Request, handler: Handler) -> web.StreamResponse:
    """Unknown pages, wrong methods, bodies that cannot be read and our own faults in the same form."""
    try:
        return await handler(request)
    except web.HTTPException as fault:
        if fault.status < 400:
            raise
        answer = problem(fault.status, fault.reason)
        for name in ("Allow",):
            if name in fault.headers:
                answer.headers[name] = fault.headers[name]
        return answer
    except web.RequestPayloadError:
        return problem(400, "the body cannot be read")
    except DatabaseFault as fault:
        log.warning("a request was answered with 503, so that it is posted again: %s", fault)
        answer = problem(503, "this cannot be kept just now; post it again")
        answer.headers["Retry-After"] = str(AFTER_FAULT_SECONDS)
        return answer
    except Exception:
        log.exception("a request to %s could not be served", request.rel_url.raw_path)
        return problem(500, "the fault is ours; try again")

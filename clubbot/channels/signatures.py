"""Signatures of the Standard Webhooks specification, in and out. Their age is measured on the real clock, always."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from standardwebhooks.webhooks import Webhook, WebhookVerificationError


def verified(body: bytes, headers: Mapping[str, str], secrets: Sequence[str]) -> bool:
    """Whether one of the secrets signed exactly this body within five minutes of now. Malformed headers are not verified."""
    for secret in secrets:
        try:
            Webhook(secret).verify(body, dict(headers), json_parse=False)
        except (WebhookVerificationError, ValueError):
            # ValueError: broken base64, a part without a comma, a body that is not UTF-8; the package lets them through.
            continue
        return True
    return False


def signed_headers(message_id: str, at: datetime, body: str, secret: str) -> dict[str, str]:
    """The three headers that sign `body` as sent at the aware time `at`."""
    at = at.astimezone(UTC)  # the package takes the hour of any zone for UTC
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(int(at.timestamp())),
        "webhook-signature": Webhook(secret).sign(message_id, at, body),
    }

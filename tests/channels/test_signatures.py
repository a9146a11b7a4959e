"""Signatures as the Standard Webhooks specification publishes them. Standard Webhooks: spec/standard-webhooks.md. READ"""

import hmac
from base64 import b64decode, b64encode
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256

import pytest
from standardwebhooks.webhooks import EmptyWebhookSecretError

from clubbot.channels.signatures import signed_headers, verified
from clubbot.serving import wall_clock

# The published vector: reference libraries of Standard Webhooks, test of signing. READ; CALC by hand
SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
ID = "msg_p5jXN8AQM9LWM0D4loKWxJek"
AT = datetime.fromtimestamp(1614265330, UTC)
BODY = '{"test": 2432232314}'
SIGNATURE = "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="

OTHER_SECRET = "whsec_" + b64encode(b"another secret of the same club").decode()


def by_hand(secret: str, id: str, timestamp: str, body: bytes) -> str:
    """The signature worked out without the package: section "Signature scheme" of the specification."""
    key = b64decode(secret.removeprefix("whsec_"))
    return "v1," + b64encode(hmac.digest(key, f"{id}.{timestamp}.".encode() + body, sha256)).decode()


def headers_now(secret: str = SECRET, off: timedelta = timedelta(0)) -> dict[str, str]:
    """The headers of `BODY` signed at the real present, or `off` from it."""
    return signed_headers(ID, wall_clock() + off, BODY, secret)


def accepted(headers: Mapping[str, str], *secrets: str) -> bool:
    return verified(BODY.encode(), headers, secrets or (SECRET,))


def test_the_published_vector_is_signed_as_published() -> None:
    expected = {"webhook-id": ID, "webhook-timestamp": "1614265330", "webhook-signature": SIGNATURE}
    actual = signed_headers(ID, AT, BODY, SECRET)

    assert expected == actual
    assert by_hand(SECRET, ID, "1614265330", BODY.encode()) == SIGNATURE


def test_a_time_of_any_zone_signs_alike() -> None:
    in_halifax = AT.astimezone(timezone(timedelta(hours=-4)))

    assert signed_headers(ID, in_halifax, BODY, SECRET)["webhook-signature"] == SIGNATURE


def test_the_prefix_of_the_secret_may_be_left_out() -> None:
    bare = SECRET.removeprefix("whsec_")

    assert signed_headers(ID, AT, BODY, bare)["webhook-signature"] == SIGNATURE
    assert accepted(headers_now(), bare)


# Reference libraries: base64 without its padding is taken too. READ
@pytest.mark.parametrize("length", [31, 34])
def test_a_secret_without_its_padding_is_taken(length: int) -> None:
    secret = "whsec_" + b64encode(bytes(range(25))).decode()[:length]

    assert accepted(headers_now(secret), secret)


def test_what_was_signed_just_now_verifies() -> None:
    assert accepted(headers_now())


def test_letters_of_any_language_are_signed_as_the_bytes_that_travel() -> None:
    body = '{"text": "à demain 🥏"}'
    at = wall_clock()
    timestamp = str(int(at.timestamp()))
    headers = signed_headers(ID, at, body, SECRET)

    assert headers["webhook-signature"] == by_hand(SECRET, ID, timestamp, body.encode())
    assert verified(body.encode(), headers, [SECRET])


def test_header_names_are_read_in_any_case() -> None:
    assert accepted({name.title(): value for name, value in headers_now().items()})


def test_one_right_signature_among_several_is_enough() -> None:
    headers = headers_now()
    right = headers["webhook-signature"]
    wrong = "v1,Ceo5qEr07ixe2NLpvHk3FH9bwy/WavXrAFQ/9tdO6mc="
    headers["webhook-signature"] = f"{wrong} v2,{wrong.removeprefix('v1,')} {right} {wrong}"

    assert accepted(headers)


@pytest.mark.parametrize("signs", [SECRET, OTHER_SECRET])
def test_either_of_two_secrets_may_sign(signs: str) -> None:
    assert accepted(headers_now(signs), SECRET, OTHER_SECRET)


def test_a_sender_that_signs_with_both_secrets_is_heard_by_either() -> None:
    headers = headers_now(SECRET)
    headers["webhook-signature"] += " " + headers_now(OTHER_SECRET)["webhook-signature"]

    assert accepted(headers, SECRET)
    assert accepted(headers, OTHER_SECRET)


def test_a_secret_that_is_not_ours_signs_nothing() -> None:
    assert not accepted(headers_now(OTHER_SECRET), SECRET)


def test_without_any_secret_nothing_verifies() -> None:
    assert not verified(BODY.encode(), headers_now(), [])


def last_letter_changed(signature: str) -> str:
    """Another last letter before the equals sign, as in the published case (…LJ1OE= to …LJ1OA=); it changes the last byte."""
    return signature[:-2] + ("A" if signature[-2] != "A" else "E") + "="


@pytest.mark.parametrize("name", ["webhook-id", "webhook-timestamp", "webhook-signature"])
@pytest.mark.parametrize("left", ["", None])
def test_no_header_may_be_missing(name: str, left: str | None) -> None:
    headers = headers_now()
    del headers[name]
    if left is not None:
        headers[name] = left

    assert not accepted(headers)


def test_a_signature_changed_in_one_letter_fails() -> None:
    headers = headers_now()
    headers["webhook-signature"] = last_letter_changed(headers["webhook-signature"])

    assert not accepted(headers)


@pytest.mark.parametrize("version", ["v2", "v1a", "V1", ""])
def test_a_right_signature_under_another_version_fails(version: str) -> None:
    headers = headers_now()
    headers["webhook-signature"] = version + headers["webhook-signature"].removeprefix("v1")

    assert not accepted(headers)


@pytest.mark.parametrize("malformed", ["hello", "v1", "v1,", ",", " ", "v1,!", "v1,A", "v1,é", "v1,\udcff", "v1,a,b"])
def test_a_malformed_signature_fails(malformed: str) -> None:
    assert not accepted(headers_now() | {"webhook-signature": malformed})


@pytest.mark.parametrize("malformed", ["hello", "nan", "inf", "-inf", "1e400", "9" * 400, "-1", "0", "2027-06-07"])
def test_a_malformed_timestamp_fails(malformed: str) -> None:
    signature = by_hand(SECRET, ID, malformed, BODY.encode())

    assert not accepted({"webhook-id": ID, "webhook-timestamp": malformed, "webhook-signature": signature})


@pytest.mark.parametrize("id", ["msg_another", "é", "\udcff"])
def test_another_id_fails(id: str) -> None:
    assert not accepted(headers_now() | {"webhook-id": id})


@pytest.mark.parametrize("body", [BODY.replace(" ", ""), BODY + "\n", "", BODY.replace("4}", "5}")])
def test_another_body_fails(body: str) -> None:
    assert not verified(body.encode(), headers_now(), [SECRET])


def test_another_timestamp_fails() -> None:
    headers = headers_now()
    headers["webhook-timestamp"] = str(int(headers["webhook-timestamp"]) + 1)

    assert not accepted(headers)


def test_the_published_vector_is_too_old_by_now() -> None:
    assert not accepted(signed_headers(ID, AT, BODY, SECRET))


# The reference libraries allow five minutes both ways. READ
# A timestamp is a whole number, cut off below: signed at 302 s ahead it lies at least 301 s ahead.
@pytest.mark.parametrize("seconds", [-301, 302])
def test_a_timestamp_301_seconds_off_fails(seconds: int) -> None:
    assert not accepted(headers_now(off=timedelta(seconds=seconds)))


# Signed 295 s back: a slow machine has some seconds to look at it.
@pytest.mark.parametrize("seconds", [-295, 299])
def test_a_timestamp_within_five_minutes_verifies(seconds: int) -> None:
    assert accepted(headers_now(off=timedelta(seconds=seconds)))


@pytest.mark.parametrize("empty", ["", "whsec_"])
def test_an_empty_secret_signs_and_verifies_nothing(empty: str) -> None:
    with pytest.raises(EmptyWebhookSecretError):
        signed_headers(ID, AT, BODY, empty)
    with pytest.raises(EmptyWebhookSecretError):
        accepted(headers_now(), empty)

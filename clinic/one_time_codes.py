"""Six digits that a telephone and this service work out alike, anew every 30 seconds (RFC 6238)."""

from __future__ import annotations

import base64
import hmac
import secrets
from datetime import datetime
from urllib.parse import quote, urlencode

STEP_SECONDS = 30
DIGITS = 6
SECRET_BYTES = 20  # RFC 4226, section 4, R6
STEPS_ASIDE = 1  # a slow hand or clock: one step before and after, RFC 6238, section 5.2
ISSUER = "PD Infection Surveillance"


def new_secret() -> str:
    return base64.b32encode(secrets.token_bytes(SECRET_BYTES)).decode("ascii")


def code_at(secret: str, step: int, digits: int = DIGITS) -> str:
    """The code of one step: HMAC-SHA-1, cut as RFC 4226, section 5.3 says."""
    digest = hmac.digest(base64.b32decode(secret), step.to_bytes(8, "big"), "sha1")
    start = digest[-1] & 0x0F
    number = int.from_bytes(digest[start : start + 4], "big") & 0x7FFF_FFFF
    return str(number % 10**digits).zfill(digits)


def step_of(moment: datetime) -> int:
    return int(moment.timestamp()) // STEP_SECONDS


def fitting_step(secret: str, typed: str, moment: datetime, after: int) -> int | None:
    """The step whose code this is, later than the last one taken: a code holds once."""
    text = typed.replace(" ", "")
    if not (text.isascii() and text.isdigit()):
        return None
    now = step_of(moment)
    for step in range(now - STEPS_ASIDE, now + STEPS_ASIDE + 1):
        if step > after and hmac.compare_digest(code_at(secret, step), text):
            return step
    return None


def address_for_telephone(secret: str, username: str) -> str:
    """What an authenticator program on a telephone opens."""
    query = urlencode({"secret": secret, "issuer": ISSUER}, quote_via=quote)
    return f"otpauth://totp/{quote(f'{ISSUER}:{username}')}?{query}"

"""One-time codes against the printed test values of RFC 4226 and RFC 6238."""

import base64
from datetime import UTC, datetime, timedelta
from urllib.parse import parse_qs, urlsplit

import pytest

from clinic.one_time_codes import (
    address_for_telephone,
    code_at,
    fitting_step,
    new_secret,
    step_of,
)

SECRET = base64.b32encode(b"12345678901234567890").decode()
NOW = datetime(2026, 1, 20, 9, 0, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("count", "code"),
    # RFC 4226, appendix D: the ten HOTP values
    [
        (0, "755224"),
        (1, "287082"),
        (2, "359152"),
        (3, "969429"),
        (4, "338314"),
        (5, "254676"),
        (6, "287922"),
        (7, "162583"),
        (8, "399871"),
        (9, "520489"),
    ],
)
def test_codes_by_count(count, code):
    assert code_at(SECRET, count) == code


@pytest.mark.parametrize(
    ("seconds", "code"),
    # RFC 6238, appendix B: the rows of SHA1, eight digits
    [
        (59, "94287082"),
        (1111111109, "07081804"),
        (1111111111, "14050471"),
        (1234567890, "89005924"),
        (2000000000, "69279037"),
        (20000000000, "65353130"),
    ],
)
def test_codes_by_time(seconds, code):
    assert code_at(SECRET, step_of(datetime.fromtimestamp(seconds, UTC)), digits=8) == code


@pytest.mark.parametrize(
    ("seconds", "fits"), [(-60, False), (-30, True), (0, True), (30, True), (60, False)]
)
def test_a_slow_hand_or_clock_is_one_step_aside(seconds, fits):
    """RFC 6238, section 5.2."""
    code = code_at(SECRET, step_of(NOW + timedelta(seconds=seconds)))
    assert (fitting_step(SECRET, code, NOW, after=0) is not None) is fits


def test_a_code_holds_once():
    code = code_at(SECRET, step_of(NOW))
    taken = fitting_step(SECRET, f"{code[:3]} {code[3:]}", NOW, after=0)
    assert taken == step_of(NOW) and fitting_step(SECRET, code, NOW, after=taken) is None


@pytest.mark.parametrize("typed", ["", "abcdef", "１２３４５６", "-12345", "123456789012"])
def test_what_is_no_code_fits_nothing(typed):
    assert fitting_step(SECRET, typed, NOW, after=0) is None


def test_the_telephones_address_carries_the_secret_and_whose_it_is():
    parts = urlsplit(address_for_telephone(SECRET, "bramble"))
    assert (parts.scheme, parts.netloc) == ("otpauth", "totp")
    assert parse_qs(parts.query)["secret"] == [SECRET] and parts.path.endswith("%3Abramble")


def test_a_secret_has_the_160_bits_that_are_advised():
    """RFC 4226, section 4, R6."""
    one, other = new_secret(), new_secret()
    assert one != other and len(base64.b32decode(one)) * 8 == 160

"""No page is forgotten where every page is held against WCAG and the HTML standard."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver

from tests.journeys.pages import NOT_SHOWN, PAGES


def _names(patterns: list[URLPattern | URLResolver]) -> Iterator[str]:
    for one in patterns:
        if isinstance(one, URLResolver):
            yield from [] if str(one.pattern) == "api/" else _names(one.url_patterns)
        elif one.name:
            yield one.name


def test_every_address_is_listed_in_the_pages_or_says_why_not() -> None:
    """A new page is one entry in tests/journeys/pages.py."""
    assert set(_names(get_resolver().url_patterns)) == set(PAGES) | set(NOT_SHOWN)


def test_none_is_both_shown_and_not() -> None:
    assert not set(PAGES) & set(NOT_SHOWN)

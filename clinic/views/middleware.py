"""What every answer carries: pages with somebody's data are kept by no browser and no proxy."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse


def no_store(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable:
    """Back after sign-out shows sign-in, and two people behind one proxy see their own pages."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response["Cache-Control"] = "no-store, private"
        return response

    return answer

"""Times Quarter with its sections for twenty readers at once, beside a page that shows nothing."""

from __future__ import annotations

import http.cookiejar
import os
import re
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
READERS, LOOKS = 20, 10  # each reader looks so often, one look after the other
DAY, ACCOUNT = "2026-01-20", "hazel"


def _run(*words: str) -> None:
    command = [sys.executable, "manage.py", *words]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=sys.stderr)


@contextmanager
def _served() -> Iterator[str]:
    """The web service with a process for each of two cores."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        place = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [
        sys.executable, "-m", "gunicorn", "clinic.wsgi:application", "--bind", place,
        "--workers", "2", "--threads", "4", "--log-level", "error",
    ]  # fmt: skip
    own = {"DEMO": "1", "TODAY": DAY}
    process = subprocess.Popen(command, cwd=ROOT, env=os.environ | own)
    try:
        _wait_for(place)
        yield f"http://{place}"
    finally:
        process.terminate()
        process.wait(timeout=30)


def _wait_for(place: str) -> None:
    host, port = place.split(":")
    for _ in range(600):
        with socket.socket() as probe:
            if not probe.connect_ex((host, int(port))):
                return
        time.sleep(0.1)
    raise RuntimeError(f"nothing answers at {place}")


def _signed_in(address: str, password: str) -> urllib.request.OpenerDirector:
    jar = http.cookiejar.CookieJar()
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(jar))
    page = opener.open(f"{address}/sign-in").read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    if token is None:
        raise RuntimeError("the sign-in page has no form")
    typed = {"username": ACCOUNT, "password": password, "csrfmiddlewaretoken": token[1]}
    sent = urllib.parse.urlencode(typed).encode()
    opener.open(urllib.request.Request(f"{address}/sign-in", sent, {"Referer": address})).read()
    return opener


def _times(opener: urllib.request.OpenerDirector, address: str) -> list[float]:
    """Seconds of every look of every reader."""

    def looks(_: int) -> list[float]:
        found = []
        for _ in range(LOOKS):
            began = time.perf_counter()
            opener.open(address).read()
            found.append(time.perf_counter() - began)
        return found

    with ThreadPoolExecutor(READERS) as readers:
        return sorted(one for held in readers.map(looks, range(READERS)) for one in held)


def _share(times: list[float], share: float) -> float:
    return times[min(len(times) - 1, int(len(times) * share))]


def print_quarter() -> None:
    """On the demonstration, built anew in DATA_DIR."""
    import tomllib

    text = (ROOT / "fixtures/demo/parameters.toml").read_text(encoding="utf-8")
    password = tomllib.loads(text)["accounts"]["password"]
    _run("demo", "--no-serve")
    with _served() as address:
        opener = _signed_in(address, password)
        found_clinic = re.search(r"/clinic/[0-9a-f-]+/", opener.open(f"{address}/").read().decode())
        if found_clinic is None:
            raise RuntimeError("no clinic is open to the reader")
        quarter = f"{address}{found_clinic[0]}quarter/"
        opener.open(quarter).read()  # each process has its code loaded
        found = {"Quarter": _times(opener, quarter)}
        found["an empty page"] = _times(opener, f"{address}/account/")
    print(f"\n| {READERS} readers at once, 2 processes | p50 s | p95 s | to the empty page |")
    print("|---|--:|--:|--:|")
    base = _share(found["an empty page"], 0.5)
    for name, times in found.items():
        ratio = _share(times, 0.5) / base
        print(f"| {name} | {_share(times, 0.5):.3f} | {_share(times, 0.95):.3f} | {ratio:.1f} |")

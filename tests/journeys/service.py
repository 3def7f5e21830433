"""The demonstration served for real: web, worker and schedule in processes of their own."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
START_SECONDS = 180


@dataclass(frozen=True)
class Service:
    """Where it answers, and the password that its accounts share."""

    address: str
    password: str


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _said(log: Path, process: subprocess.Popen[bytes]) -> str:
    """What it printed, once it says that it is ready."""
    ends = time.monotonic() + START_SECONDS
    while time.monotonic() < ends and process.poll() is None:
        if "Ctrl-C ends it" in (text := log.read_text(encoding="utf-8")):
            return text
        time.sleep(0.2)
    raise AssertionError(f"the demonstration did not start:\n{log.read_text(encoding='utf-8')}")


@contextmanager
def demonstration(folder: Path) -> Iterator[Service]:
    """`manage.py demo` in a data folder of its own, on a free port, ended afterwards."""
    log, port = folder / "demo.log", _free_port()
    own = {"DATA_DIR": str(folder / "data"), "DATABASE_URL": "", "BROKER_URL": "filesystem://"}
    command = [sys.executable, "-u", "manage.py", "demo", "--port", str(port)]
    with log.open("wb") as file:
        process = subprocess.Popen(
            command, cwd=ROOT, env=os.environ | own, stdout=file, stderr=subprocess.STDOUT
        )
    try:
        password = re.search(r"Password of each: (\S+)", _said(log, process))
        assert password is not None
        yield Service(f"http://127.0.0.1:{port}", password.group(1))
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(timeout=30)

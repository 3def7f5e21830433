"""The demonstration served for real: web, worker and schedule in processes of their own."""

from __future__ import annotations

import fcntl
import os
import re
import shutil
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


def _own(data: Path) -> dict[str, str]:
    return os.environ | {"DATA_DIR": str(data), "DATABASE_URL": "", "BROKER_URL": "filesystem://"}


def built_once(shared: Path) -> Path:
    """The demonstration's data, built by the first process that asks; the others wait for it."""
    data, done = shared / "demonstration", shared / "demonstration.done"
    with (shared / "demonstration.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            command = [sys.executable, "manage.py", "demo", "--no-serve"]
            subprocess.run(command, cwd=ROOT, env=_own(data), check=True, stderr=subprocess.PIPE)
            done.touch()
    return data


@contextmanager
def demonstration(folder: Path, built: Path) -> Iterator[Service]:
    """`manage.py demo` on a copy of the built data, on a free port, ended afterwards."""
    log, port = folder / "demo.log", _free_port()
    shutil.copytree(built, folder / "data")
    command = [sys.executable, "-u", "manage.py", "demo", "--port", str(port)]
    with log.open("wb") as file:
        process = subprocess.Popen(
            command, cwd=ROOT, env=_own(folder / "data"), stdout=file, stderr=subprocess.STDOUT
        )
    try:
        password = re.search(r"Password of each: (\S+)", _said(log, process))
        assert password is not None
        yield Service(f"http://127.0.0.1:{port}", password.group(1))
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(timeout=30)

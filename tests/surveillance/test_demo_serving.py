"""One command serves all, and Ctrl-C ends all: tried as a person would, in processes of its own."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SECONDS_TO_BUILD = 120


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def processes_of(data_dir: Path) -> list[int]:
    """Processes that were started with this DATA_DIR: the command and all its children."""
    marked = f"DATA_DIR={data_dir}".encode()
    found = []
    for path in Path("/proc").glob("[0-9]*/environ"):
        try:
            if marked in path.read_bytes().split(b"\0"):
                found.append(int(path.parent.name))
        except OSError:
            continue
    return found


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    port = free_port()
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    process = subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--port", str(port)],
        cwd=ROOT,
        env=environment | {"DATA_DIR": str(tmp_path)},
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:  # closes its pipe
        yield process, port
        if process.poll() is None:
            process.kill()


def wait_until_ready(process: subprocess.Popen[str]) -> str:
    said = ""
    assert process.stdout is not None
    for line in process.stdout:
        said += line
        if "Ctrl-C" in line:
            return said
    raise AssertionError(f"ended before it was ready: {said}")


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="needs Linux's /proc")
def test_the_demonstration_serves_and_ends_with_ctrl_c(demo, tmp_path: Path) -> None:
    process, port = demo
    started = time.monotonic()
    said = wait_until_ready(process)
    assert time.monotonic() - started < SECONDS_TO_BUILD
    assert f"http://127.0.0.1:{port}/" in said
    assert "Director Hazel" in said
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in", timeout=20) as answer:
        assert answer.status == 200
    assert len(processes_of(tmp_path)) >= 4  # the command, gunicorn's two, celery's
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=30) == 0
    assert processes_of(tmp_path) == []

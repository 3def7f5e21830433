"""Web service, worker and scheduler as children of one process: they end with it, together."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from types import FrameType

from django.conf import settings

HOST = "127.0.0.1"
GRACE_SECONDS = 10
START_SECONDS = 30

Child = subprocess.Popen[bytes]


class CannotServe(Exception):
    """The port is taken, or a child ended by itself."""


def _web(port: int) -> list[str]:
    return [
        sys.executable, "-m", "gunicorn", "clinic.wsgi:application", "--bind", f"{HOST}:{port}",
        "--workers", "1", "--threads", "4", "--log-level", "warning",
    ]  # fmt: skip


def _worker() -> list[str]:
    return [
        sys.executable, "-W", "ignore:You're running the worker with superuser", "-m", "celery",
        "--quiet", "--app", "clinic.celery", "worker", "--beat", "--concurrency", "1",
        "--loglevel", "ERROR", "--without-gossip", "--without-mingle",
    ]  # fmt: skip


def require_free(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            raise CannotServe(f"port {port} is taken; choose another with --port") from None


def serve(port: int, ready: Callable[[], None]) -> None:
    """Run until Ctrl-C, a signal to end, or the end of a child; leave no process behind."""
    for asked in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(asked, _interrupt)
    children = {"web service": _started(_web(port)), "worker": _started(_worker())}
    try:
        _wait_for_answer(port, children)
        ready()
        while True:
            _require_running(children)
            time.sleep(0.5)
    except KeyboardInterrupt:
        pass
    finally:
        _end(list(children.values()))


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _started(command: list[str]) -> Child:
    """In a session of its own: Ctrl-C reaches this process alone, which then ends the children."""
    return subprocess.Popen(
        command, cwd=settings.HERE, env=os.environ | {"C_FORCE_ROOT": "1"}, start_new_session=True
    )


def _require_running(children: dict[str, Child]) -> None:
    for name, child in children.items():
        if child.poll() is not None:
            raise CannotServe(f"the {name} ended by itself (exit {child.returncode})")


def _wait_for_answer(port: int, children: dict[str, Child]) -> None:
    deadline = time.monotonic() + START_SECONDS
    while time.monotonic() < deadline:
        _require_running(children)
        try:
            with socket.create_connection((HOST, port), timeout=1):
                return
        except OSError:
            time.sleep(0.1)
    raise CannotServe(f"the web service did not answer within {START_SECONDS} s")


def _end(children: list[Child]) -> None:
    """Ask each to end; stop what still runs after the grace time, with its own children."""
    for child in children:
        if child.poll() is None:
            child.terminate()
    deadline = time.monotonic() + GRACE_SECONDS
    for child in children:
        try:
            child.wait(max(0.1, deadline - time.monotonic()))
        except subprocess.TimeoutExpired:
            os.killpg(child.pid, signal.SIGKILL)
            child.wait()

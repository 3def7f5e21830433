"""A whole house of real processes: its own database, its own broker, and workers to kill."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import psycopg

ROOT = Path(__file__).parents[2]
WAIT_SECONDS = 60

Process = subprocess.Popen[bytes]


@dataclass
class House:
    """Commands and workers run as an operator would run them; nothing is shared with the test."""

    folder: Path
    database_url: str = ""
    broker_url: str = ""
    started: list[Process] = field(default_factory=list)

    @property
    def environment(self) -> dict[str, str]:
        own = {
            "DATA_DIR": str(self.folder / "data"), "DATABASE_URL": self.database_url,
            "BROKER_URL": self.broker_url or "filesystem://", "TODAY": "2026-01-20",
        }  # fmt: skip
        return os.environ | own

    def manage(self, *words: str) -> str:
        command = [sys.executable, "manage.py", *words]
        done = subprocess.run(
            command, cwd=ROOT, env=self.environment, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def python(self, code: str) -> str:
        return self.manage("shell", "--no-imports", "--command", code)

    def commands(self, *calls: str) -> str:
        """Several commands in one process, each as Python writes the arguments of a call."""
        lines = [f"call_command({call})" for call in calls]
        return self.python("\n".join(["from django.core.management import call_command", *lines]))

    def start(self, *words: str) -> Process:
        """A process in a group of its own, so that a kill takes its children too."""
        with (self.folder / f"log{len(self.started)}").open("wb") as log:
            process = subprocess.Popen(
                [sys.executable, *words], cwd=ROOT, env=self.environment, stdout=log, stderr=log,
                start_new_session=True,
            )  # fmt: skip
        self.started.append(process)
        return process

    def start_worker(self) -> Process:
        return self.start(
            "-m", "celery", "--app", "clinic.celery", "worker", "--concurrency", "1",
            "--loglevel", "INFO", "--without-gossip", "--without-mingle",
        )  # fmt: skip

    def query(self, sql: str) -> list[tuple]:
        if self.database_url:
            with psycopg.connect(self.database_url) as found:
                return found.execute(sql).fetchall()
        with closing(sqlite3.connect(self.folder / "data" / "record.sqlite3", timeout=20)) as own:
            return own.execute(sql).fetchall()

    def states(self) -> list[str]:
        return [state for (state,) in self.query("SELECT state FROM surveillance_computation")]


def kill(process: Process) -> None:
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def wait_until(holds: Callable[[], bool], every_seconds: float = 0.1) -> None:
    deadline = time.monotonic() + WAIT_SECONDS
    while not holds():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(every_seconds)


@contextmanager
def opened(house: House) -> Iterator[House]:
    """With a database at the start; at the end nothing runs on."""
    try:
        house.folder.mkdir(exist_ok=True)
        house.commands("'migrate', verbosity=0")
        yield house
    finally:
        for process in house.started:
            if process.poll() is None:
                kill(process)


@contextmanager
def postgres_database(url: str, name: str) -> Iterator[str]:
    with psycopg.connect(url, autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        server.execute(f"CREATE DATABASE {name}")
        try:
            yield url.rpartition("/")[0] + f"/{name}"
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")

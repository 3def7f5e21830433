"""CPU seconds and peak memory of named stages of one process."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_STATUS, _RESET = Path("/proc/self/status"), Path("/proc/self/clear_refs")

Figures = dict[str, Any]


def peak_mib() -> float:
    """Highest memory since the last reset, or since the start where there is no reset."""
    lines = _STATUS.read_text(encoding="ascii").splitlines()
    kib = next(line.split()[1] for line in lines if line.startswith("VmHWM"))
    return int(kib) / 1024


def reset_peak() -> None:
    _RESET.write_text("5", encoding="ascii")


class Stages:
    """Stages that may come again and again, one part of the record after the other."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self.peak: dict[str, float] = {}

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        reset_peak()
        start = time.process_time()  # other processes of a shared machine do not count
        yield
        self.seconds[name] = self.seconds.get(name, 0.0) + time.process_time() - start
        self.peak[name] = max(self.peak.get(name, 0.0), peak_mib())

    def measured(self, name: str, work: Callable[[], Any]) -> Any:
        with self.stage(name):
            return work()

    @property
    def whole(self) -> float:
        return sum(self.seconds.values())

    def figures(self) -> Figures:
        return {"seconds": self.seconds, "peak_mib": self.peak}

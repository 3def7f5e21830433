"""Tasks: each fetches, calls one plain function, and nothing else."""

from uuid import UUID

from clinic.celery import app
from surveillance import jobs, queue_files


@app.task(name="surveillance.tasks.compute")
def compute(uid: str) -> bool:
    return jobs.run(UUID(uid))


@app.task(name="surveillance.tasks.sweep")
def sweep() -> int:
    queue_files.prune_taken()
    return jobs.sweep()


@app.task(name="surveillance.tasks.nightly")
def nightly() -> int:
    return jobs.ask_nightly()

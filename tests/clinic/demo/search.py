"""Looks for streams of chance that tell the stories: python -m tests.clinic.demo.search TQ

Prints each accepted stream of the clinic with its rate over the three years, and at the end which
conditions the others broke. Run it after a change of the parameters or of the generator, put a
stream into fixtures/demo/parameters.toml (the rates together must give the network's, 0.33-0.40),
and run tests/clinic/demo/test_acceptance.py.
"""

from __future__ import annotations

import argparse
import os
from collections import Counter
from dataclasses import replace
from pathlib import Path

import django

PARAMETERS = Path(__file__).parents[3] / "fixtures" / "demo" / "parameters.toml"


def search(code: str, first: int, tries: int) -> None:
    from clinic.demo.parameters import read_parameters
    from tests.clinic.demo.acceptance import faults_of, network_rate
    from tests.clinic.demo.watched import watched

    numbers, broken = read_parameters(PARAMETERS), Counter[str]()
    clinic = next(one for one in numbers.clinics if one.code == code)
    for stream in range(first, first + tries):
        found = watched(numbers, replace(clinic, stream=stream))
        faults = faults_of(found)
        broken.update(fault.partition(":")[0] for fault in faults)
        if not faults:
            broken["accepted"] += 1
            print(f"{code} stream {stream} accepted, rate {network_rate([found]):.3f}", flush=True)
    for fault, number in broken.most_common():
        print(f"{number:6} of {tries} {fault}")


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.settings")
    django.setup()
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("clinic", help="the clinic's code")
    asked.add_argument("--from", dest="first", type=int, default=0, help="first stream")
    asked.add_argument("--tries", type=int, default=50, help="how many streams")
    given = asked.parse_args()
    search(given.clinic, given.first, given.tries)

"""Times import, commands and method and prints tables for DEVELOPERS.md; figures, not gates.

Each case runs in a process of its own, so that its peak memory is its own. Seconds depend on the
machine; the method's are CPU seconds of one process, and ratios are of the same run.

    python -m tests.bench            # everything, some ten minutes, 8 GiB for the pandas version
    python -m tests.bench scale 30 10000
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile

from tests.bench.stages import Figures

SIZES = (30, 1_000, 10_000, 100_000, 1_000_000)
NOT_COUNTED = "(not counted)"


def run_case(name: str, patients: int) -> Figures:
    if name == "commands":
        from tests.bench.commands import commands_of_one_clinic

        return commands_of_one_clinic(patients)
    if name == "country":
        from tests.bench.commands import commands_of_a_country

        return commands_of_a_country(patients)
    if name.startswith("reports"):
        from tests.bench import reports

        return reports.CASES[name](patients)
    from tests.bench import scale

    cases = {
        "scale": scale.whole_method,
        "training": scale.training_table,
        "separate": scale.separate_clinics,
    }
    return cases[name](patients)


def in_own_process(name: str, patients: int) -> Figures:
    with tempfile.TemporaryDirectory() as data_dir:
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench", "--one", name, str(patients)],
            env=os.environ | {"DATA_DIR": data_dir, "DJANGO_SETTINGS_MODULE": "clinic.settings"},
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # progress and warnings
            check=True,
        )
    found: Figures = json.loads(done.stdout.decode().splitlines()[-1])
    return found


def counted(found: Figures, what: str) -> list[float]:
    return [value for stage, value in found[what].items() if NOT_COUNTED not in stage]


def print_stages(title: str, found: Figures) -> None:
    print(f"\n| {title}, {found['patients']:,} patients | CPU seconds | peak MiB |\n|---|--:|--:|")
    for stage, seconds in found["seconds"].items():
        print(f"| {stage} | {seconds:.3f} | {found['peak_mib'][stage]:.0f} |", flush=True)


def print_scale(sizes: tuple[int, ...]) -> None:
    every = [in_own_process("scale", size) for size in sizes]
    for found in every:
        print_stages("all tables and splits", found)
    print("\n| patients | rows | CPU seconds | µs a patient | peak MiB |\n|--:|--:|--:|--:|--:|")
    for found in every:
        seconds, peak = sum(counted(found, "seconds")), max(counted(found, "peak_mib"))
        size, each = found["patients"], 1e6 * seconds / found["patients"]
        print(f"| {size:,} | {found['rows']:,} | {seconds:.2f} | {each:.0f} | {peak:.0f} |")


def print_training(sizes: tuple[int, ...]) -> None:
    for size in sizes:
        found = in_own_process("training", size)
        print_stages("time since training by quarter", found)
        seconds = found["seconds"]
        ours = seconds["the method"]
        print(f"\nplain pandas : the method {seconds['plain pandas'] / ours:.1f}")
        print(f"the method : bare pass {ours / seconds['bare pass over days']:.1f}")
        print(f"the method : reading once {ours / seconds['reading the columns once']:.0f}")


def print_quarter_of_demonstration() -> None:
    """In a data folder of its own, as the service would find it."""
    from tests.bench.quarter import print_quarter

    with tempfile.TemporaryDirectory() as data_dir:
        os.environ |= {"DATA_DIR": data_dir, "DATABASE_URL": ""}
        print_quarter()


def main(arguments: list[str]) -> None:
    wanted = arguments[:1] or ["commands", "country", "scale", "training", "separate", "quarter",
                             "reports"]  # fmt: skip
    given = tuple(int(size) for size in arguments[1:])
    if "commands" in wanted:
        print_stages("the ordinary commands, one clinic", in_own_process("commands", 242))
    if "country" in wanted:
        size = (given or (100_000,))[0]
        print_stages("the commands, 300 clinics, two processes", in_own_process("country", size))
    if "reports" in wanted:
        for lines in given or (100_000, 1_000_000):
            for ending in ("reports csv", "reports xlsx"):
                print_stages(f"line list as {ending.split()[1]}", in_own_process(ending, lines))
        for clinics in (20, 60):
            print_stages("ZIP reports, two processes", in_own_process("reports network", clinics))
    if "quarter" in wanted:
        print_quarter_of_demonstration()
    if "scale" in wanted:
        print_scale(given or SIZES)
    if "training" in wanted:
        print_training(given or (100_000, 1_000_000))
    if "separate" in wanted:
        for size in given or (1_000_000,):
            print_stages("the same rows together and apart", in_own_process("separate", size))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(run_case(sys.argv[2], int(sys.argv[3]))))
    else:
        main(sys.argv[1:])

"""The arrows between the packages, as pyproject.toml declares them for import-linter."""

import os
import subprocess
import sys
import tomllib
from pathlib import Path

from tests.house.tree import ROOT

PLAIN = {
    "tables", "periods", "rules", "cases", "time_at_risk", "measures", "rates", "signals",
    "masking", "table_text", "text_columns",
}  # fmt: skip


def settings() -> dict:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]


def contract(name: str) -> dict:
    (found,) = [one for one in settings()["importlinter"]["contracts"] if one["name"] == name]
    return found


def test_every_arrow_points_the_right_way(tmp_path: Path) -> None:
    linter = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run(
        [str(linter), "--cache-dir", str(tmp_path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )
    assert done.returncode == 0, done.stdout + done.stderr


def bound() -> set[str]:
    modules = contract("Plain code knows no framework and no record")["source_modules"]
    return {name.removeprefix("surveillance.") for name in modules}


def test_the_method_is_bound_to_be_plain() -> None:
    assert bound() >= PLAIN


def test_whatever_is_bound_to_be_plain_is_type_checked_strictly() -> None:
    mypy = settings()["mypy"]
    assert mypy["strict"]
    assert {Path(name).with_suffix("").name for name in mypy["files"]} >= bound()


def test_no_plain_module_asks_for_the_time() -> None:
    """`as_of` is an argument: the same record and day give the same figures in any year."""
    clocks = ("date.today(", "datetime.now(", "time.time(", "timezone.now(", "utcnow(")
    paths = [ROOT / "surveillance" / name for name in bound()]
    plain = [
        file for path in paths for file in (path.with_suffix(".py"), *path.rglob("*.py"))
        if file.is_file()
    ]  # fmt: skip
    assert len(plain) > len(PLAIN)
    asking = [path for path in plain if any(clock in path.read_text() for clock in clocks)]
    assert asking == []

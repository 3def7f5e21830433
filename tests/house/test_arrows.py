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


def test_every_plain_folder_is_bound_by_its_contract() -> None:
    """A folder that is not plain says so by importing Django; every other is in the contract."""
    bound = contract("Plain code knows no framework and no record")["source_modules"]
    assert set(bound) == {f"surveillance.{name}" for name in PLAIN}


def test_every_plain_folder_is_type_checked_strictly() -> None:
    mypy = settings()["mypy"]
    checked = {Path(name).with_suffix("").name for name in mypy["files"]}
    assert mypy["strict"]
    assert checked >= PLAIN


def test_no_plain_module_asks_for_the_time() -> None:
    """`as_of` is an argument: the same record and day give the same figures in any year."""
    clocks = ("date.today(", "datetime.now(", "time.time(", "timezone.now(", "utcnow(")
    folder = ROOT / "surveillance"
    files = [
        *folder.glob("*.py"),
        *(path for name in PLAIN for path in (folder / name).rglob("*.py")),
    ]
    plain = [path for path in files if path.stem in PLAIN or path.parent != folder]
    assert plain
    asking = [path for path in plain if any(clock in path.read_text() for clock in clocks)]
    assert asking == []

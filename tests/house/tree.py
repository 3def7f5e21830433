"""The project's files as the house tests walk them: what git would keep, parsed once."""

import ast
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("clinic", "surveillance", "reports")


@cache
def kept_files() -> tuple[Path, ...]:
    """Tracked files and new ones that no rule ignores; without git, all outside dot folders."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=ROOT,
            capture_output=True,
            check=True,
        ).stdout.decode()
        paths = [ROOT / name for name in listed.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        paths = [path for path in ROOT.rglob("*") if path.is_file() and not _in_dot_folder(path)]
    return tuple(sorted(path for path in paths if path.is_file()))


def _in_dot_folder(path: Path) -> bool:
    parts = path.relative_to(ROOT).parts
    return any(part.startswith(".") or part == "__pycache__" for part in parts)


def modules() -> list[Path]:
    """Python files but migrations, which are written by a machine."""
    return [
        path for path in kept_files() if path.suffix == ".py" and "migrations" not in path.parts
    ]


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def commands() -> dict[str, Path]:
    """Our own management commands by name."""
    return {
        path.stem: path
        for path in modules()
        if path.relative_to(ROOT).parts[0] in PACKAGES
        and path.parent.name == "commands"
        and path.stem != "__init__"
    }

"""What a visitor sees first stays as the map in DEVELOPERS.md says."""

from tests.house.tree import ROOT, kept_files

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "manage.py",
    "clinic", "surveillance", "reports", "tests", "fixtures",
}  # fmt: skip


def test_the_visible_top_level_is_fixed() -> None:
    kept = {path.relative_to(ROOT).parts[0] for path in kept_files()}
    assert {name for name in kept if not name.startswith(".")} == TOP_LEVEL


def test_running_leaves_nothing_visible_behind() -> None:
    seen = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert seen - {"__pycache__"} == TOP_LEVEL


def test_every_top_level_folder_is_on_the_map() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    mapped = {name for name in TOP_LEVEL if not name.endswith(".md")}
    assert [name for name in sorted(mapped) if name not in text] == []

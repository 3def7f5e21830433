"""README and DEVELOPERS name every command, setting and folder; no file names a machine."""

import re
from pathlib import Path

import pytest

from tests.house.tree import PACKAGES, ROOT, commands, kept_files, modules, name_of

README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
# Read from the environment by us; names that Python or Django define are not ours to explain.
_SETTING = re.compile(r"""environ(?:\.get\(|\[)\s*["']([A-Z_]+)["']|_flag\(\s*["']([A-Z_]+)["']""")
NOT_OURS = {"DJANGO_SETTINGS_MODULE"}
NAMED_BY_DJANGO = {"management", "migrations", "templatetags"}
# Written so that this file itself does not hold them.
FORBIDDEN = [
    "/" + "work/",
    "/" + "farm/",
    "farm" + "-studio",
    "farm" + "-bench",
    "pypi" + "." + "org",
    "files." + "python" + "hosted",
    "registry." + "npmjs",
    "deb." + "debian" + ".org",
]


def settings_read() -> set[str]:
    found = [
        pair
        for path in modules()
        if path.relative_to(ROOT).parts[0] in PACKAGES
        for pair in _SETTING.findall(path.read_text(encoding="utf-8"))
    ]
    return {name for pair in found for name in pair if name} - NOT_OURS


def text_of(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None  # a picture


def test_there_are_settings_and_commands_to_name() -> None:
    assert settings_read() >= {"DATABASE_URL", "BROKER_URL", "DATA_DIR"}
    assert set(commands()) >= {"demo", "import_records", "compute_measures", "export_measures"}


@pytest.mark.parametrize("name", sorted(settings_read()))
def test_developers_explains_every_setting(name: str) -> None:
    assert f"`{name}`" in DEVELOPERS.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(commands()))
def test_readme_or_developers_names_every_command(name: str) -> None:
    together = README.read_text(encoding="utf-8") + DEVELOPERS.read_text(encoding="utf-8")
    assert re.search(rf"\b{name}\b", together)


@pytest.mark.parametrize("name", sorted(commands()))
def test_every_command_shows_an_example_of_itself(name: str) -> None:
    from django.core.management import load_command_class

    package = commands()[name].relative_to(ROOT).parts[0]
    command = load_command_class(package, name)
    shown = " ".join(command.create_parser("manage.py", name).format_help().split())
    assert re.search(rf"[Ee]xamples?: (\S+=\S+ )*(\.venv/bin/python )?manage\.py {name}\b", shown)


@pytest.mark.parametrize("package", PACKAGES)
def test_every_folder_of_a_package_is_on_the_map(package: str) -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    folders = {
        path.relative_to(ROOT).parts[1]
        for path in kept_files()
        if path.relative_to(ROOT).parts[0] == package and len(path.relative_to(ROOT).parts) > 2
    }
    assert [name for name in sorted(folders - NAMED_BY_DJANGO) if name not in text] == []


def test_links_between_documents_lead_somewhere() -> None:
    broken = [
        (document.name, target)
        for document in (README, DEVELOPERS)
        for target in re.findall(
            r"\]\(([^)#:]+)(?:#[^)]*)?\)", document.read_text(encoding="utf-8")
        )
        if not (ROOT / target).exists()
    ]
    assert broken == []


@pytest.mark.parametrize("word", FORBIDDEN)
def test_no_file_names_a_machine_or_a_registry(word: str) -> None:
    holding = [
        name_of(path)
        for path in kept_files()
        if (text := text_of(path)) is not None and word in text
    ]
    assert holding == []


def test_no_file_of_somebody_else_is_kept() -> None:
    """Scripts, fonts and styles of others come from installed packages."""
    kept = [
        name_of(path)
        for path in kept_files()
        if re.search(r"\.min\.(js|css)$|\.woff2?$|\.ttf$", path.name)
    ]
    assert kept == []

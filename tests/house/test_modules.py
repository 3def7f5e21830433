"""Size, names and first lines of every module and function."""

import ast
from pathlib import Path

from tests.house.tree import PACKAGES, ROOT, modules, name_of, parsed

CATCH_ALLS = {"utils", "util", "helpers", "helper", "common", "services", "manager", "misc"}
LONGEST_FUNCTION_LINES, LONGEST_FILE_LINES = 60, 400

Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions(path: Path) -> list[Function]:
    return [node for node in ast.walk(parsed(path)) if isinstance(node, Function)]


def filled() -> list[Path]:
    return [path for path in modules() if path.read_text(encoding="utf-8").strip()]


def ours() -> list[Path]:
    return [path for path in filled() if path.relative_to(ROOT).parts[0] in PACKAGES]


def places(path: Path, nodes: list[Function]) -> list[str]:
    return [f"{name_of(path)}:{node.lineno} {node.name}" for node in nodes]


def test_every_module_says_in_its_first_line_what_it_is_for() -> None:
    silent = [
        name_of(path)
        for path in filled()
        if len((ast.get_docstring(parsed(path)) or "").split("\n")[0]) < 15
    ]
    assert silent == []


def test_no_module_is_a_catch_all() -> None:
    assert [name_of(path) for path in modules() if path.stem in CATCH_ALLS] == []


def test_no_function_is_longer_than_a_screen() -> None:
    long = [
        place
        for path in filled()
        for place in places(
            path,
            [
                node
                for node in functions(path)
                if (node.end_lineno or 0) - node.lineno + 1 > LONGEST_FUNCTION_LINES
            ],
        )
    ]
    assert long == []


def test_no_file_needs_to_be_split() -> None:
    lines = {name_of(path): path.read_text(encoding="utf-8").count("\n") for path in filled()}
    assert {name: count for name, count in lines.items() if count > LONGEST_FILE_LINES} == {}


def test_every_signature_has_types() -> None:
    assert [
        place
        for path in ours()
        for place in places(path, [node for node in functions(path) if not typed(node)])
    ] == []


def typed(node: Function) -> bool:
    """All arguments but self and cls, and what comes back."""
    spoken = node.args
    given = [*spoken.posonlyargs, *spoken.args, *spoken.kwonlyargs]
    given += [argument for argument in (spoken.vararg, spoken.kwarg) if argument]
    named = [argument for argument in given if argument.arg not in ("self", "cls", "mcs")]
    return node.returns is not None and all(argument.annotation for argument in named)


def test_packages_hold_no_code_but_registries_and_names() -> None:
    """`__init__.py`: imports, assignments and text; nothing that is defined there."""
    defining = [
        name_of(path)
        for path in ours()
        if path.name == "__init__.py"
        and any(isinstance(node, Function | ast.ClassDef) for node in parsed(path).body)
    ]
    assert defining == []

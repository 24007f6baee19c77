"""Data flows one way: stages import earlier stages only, the core is pure, each library has its room."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "evidence"
CORE = (
    "errors",
    "quantity",
    "model",
    "gs1",
    "labels",
    "jsondoc",
    "record",
    "register",
    "exhibits",
    "mentions",
    "pageplan",
    "uncertainty",
    "gauge",
    "measure",
    "measuring",
    "gauging",
    "labbench",
    "labtests",
    "pulling",
    "pulsing",
    "judge",
    "sorting",
    "manifest",
    "judging",
    "phrases",
    "naming",
    "points",
    "report",
    "picture",
    "drawing",
    "anchoring",
    "worklist",
    "dossier",
    "card",
    "seal",
    "fleet",
)
SHELL = (
    "files",
    "guard",
    "keys",
    "bundle",
    "compiling",
    "typeset",
    "workbook",
    "index",
    "library",
    "jobs",
    "confirming",
    "examining",
    "namesakes",
    "restoring",
    "packing",
    "slots",
    "filing",
    "likenesses",
    "earlier",
    "inbox",
    "moving",
    "starting",
    "formats",
    "payload",
    "pagepictures",
    "printing",
    "remade",
    "recompute",
    "verifying",
    "copying",
    "pipeline",
    "cli",
)
STAGES = (*CORE, *SHELL)
ROOMS = {
    "click": {"cli"},
    "cv2": {"exhibits", "measure", "picture"},
    "PIL": {"exhibits", "measure", "picture"},
    "pillow_heif": {"exhibits"},
    "typst": {"compiling"},
    "pypdf": {"exhibits"},
    "python_calamine": {"exhibits"},
    "ruamel": {"record"},
    "cryptography": {"seal", "keys"},
    "jinja2": {"bundle", "starting", "cli"},
    "jsonschema": {"jsondoc"},
    "segno": {"drawing"},
    "zxingcpp": {"exhibits"},
    "numpy": {"gauge", "measure", "exhibits", "uncertainty"},
}
IMPURE = {
    "os",
    "sys",
    "time",
    "random",
    "secrets",
    "uuid",
    "subprocess",
    "socket",
    "tempfile",
    "shutil",
    "pathlib",
    "locale",
    "threading",
    "multiprocessing",
    "urllib",
    "http",
}
IMPURE_CALLS = {"open", "input", "print", "exec", "eval"}
IMPURE_METHODS = {"now", "today", "utcnow", "fromtimestamp", "getenv"}
MODULES = sorted(PACKAGE.rglob("*.py"))
PEERS = ("judge", "dossier", "exhibits", "measure")
"""Stages with one file per criterion, section, kind or measurement."""


def stage_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def name(path: Path) -> str:
    return str(path.relative_to(PACKAGE))


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """Everything in a file; each is asked for several times."""
    return tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


def imports(path: Path) -> Iterator[tuple[str, int]]:
    """Every module that a file imports, with its line; ``from evidence import x`` counts as ``evidence.x``."""
    for node in nodes(path):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            below = node.module == "evidence" or node.module.count(".") == 1
            names = [f"{node.module}.{alias.name}" for alias in node.names] if below else [node.module]
            yield from ((each, node.lineno) for each in names)


def own_imports(path: Path) -> Iterator[tuple[str, int]]:
    for module, line in imports(path):
        if module.startswith("evidence.") and module != "evidence.__version__":
            yield module, line


def test_every_module_has_a_stage() -> None:
    unknown = [name(path) for path in MODULES if stage_of(path) not in (*STAGES, "__init__")]

    assert unknown == []


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_a_stage_imports_earlier_stages_only(path: Path) -> None:
    own = stage_of(path)
    if own == "__init__":
        return

    late = [
        f"line {line}: {module}"
        for module, line in own_imports(path)
        if STAGES.index(module.split(".")[1]) > STAGES.index(own)
    ]

    assert late == []


@pytest.mark.parametrize("path", [path for path in MODULES if stage_of(path) in CORE], ids=name)
def test_the_core_is_pure(path: Path) -> None:
    reached = [f"line {line}: {module}" for module, line in imports(path) if module.split(".")[0] in IMPURE]
    for node in nodes(path):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Name) and called.id in IMPURE_CALLS:
                reached.append(f"line {node.lineno}: {called.id}()")
            if isinstance(called, ast.Attribute) and called.attr in IMPURE_METHODS:
                reached.append(f"line {node.lineno}: .{called.attr}()")

    assert reached == []


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_each_library_has_its_room(path: Path) -> None:
    strays = [
        f"line {line}: {module}"
        for module, line in imports(path)
        if module.split(".")[0] in ROOMS and stage_of(path) not in ROOMS[module.split(".")[0]]
    ]

    assert strays == []


@pytest.mark.parametrize("stage", [stage for stage in PEERS if (PACKAGE / stage).is_dir()])
def test_peers_of_a_stage_do_not_import_each_other(stage: str) -> None:
    """A criterion, section or kind leans on its stage's shared modules, never on another of its sort."""
    peers = peers_of(stage)
    crossings = [
        f"{name(path)} line {line}: {module}"
        for path in sorted((PACKAGE / stage).glob("*.py"))
        if path.stem in peers
        for module, line in own_imports(path)
        if module.split(".")[1] == stage and len(module.split(".")) > 2 and module.split(".")[2] in peers
    ]

    assert peers
    assert crossings == []


def peers_of(stage: str) -> set[str]:
    if stage == "judge":
        from evidence.model.criterion import CRITERION_TYPES  # noqa: PLC0415

        return set(CRITERION_TYPES)
    if stage == "dossier":
        from evidence.dossier import SECTIONS  # noqa: PLC0415

        return {section.__module__.rsplit(".", 1)[1] for section in SECTIONS}
    if stage == "exhibits":
        from evidence.exhibits import KINDS  # noqa: PLC0415

        return {kind.target.split(":")[0].rsplit(".", 1)[1] for kind in KINDS}
    if stage == "measure":
        return {"hook", "window"}
    return {path.stem for path in (PACKAGE / stage).glob("[a-z]*.py")}


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_files_and_functions_stay_readable(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    long = [
        f"{node.name}: {length(node)} lines"
        for node in nodes(path)
        if isinstance(node, ast.FunctionDef) and length(node) > 60
    ]

    assert long == []
    assert text.count("\n") <= 410


def length(node: ast.FunctionDef) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1

"""What the documents say is what the program does."""

import re
import tomllib
from pathlib import Path

import click
import pytest

from evidence import __version__
from evidence.cli import COMMANDS, cli
from evidence.dossier import SECTIONS
from evidence.errors import ExitCode
from evidence.exhibits import KINDS
from evidence.model.criterion import CRITERION_TYPES
from evidence.phrases.en import SENTENCES
from tests.regenerate import (
    CODES,
    DEVELOPERS,
    README,
    TOP,
    codes_text,
    developers_with_words,
    readme_with_help,
    readme_with_outputs,
)

TEXT = README.read_text(encoding="utf-8")
MANUAL = DEVELOPERS.read_text(encoding="utf-8")


def loaded(name: str) -> click.Command:
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    return command


def test_help_in_the_readme_is_the_real_help() -> None:
    assert readme_with_help(TEXT) == TEXT


def test_output_in_the_readme_is_the_real_output(home: Path) -> None:  # noqa: ARG001 - no keys of the user's own
    assert readme_with_outputs(TEXT) == TEXT


def test_closed_lists_are_those_of_the_models() -> None:
    assert developers_with_words(MANUAL) == MANUAL


def test_the_list_of_codes_is_the_catalogue() -> None:
    assert CODES.read_text(encoding="utf-8") == codes_text()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_documented_and_says_what_the_list_says(name: str) -> None:
    command = loaded(name)

    assert f"<!-- help: {name} -->" in TEXT
    assert command.short_help == COMMANDS[name]
    assert command.epilog is not None
    assert command.epilog.startswith("Example: sillmark ")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_explained(name: str) -> None:
    silent = [
        parameter.name
        for parameter in loaded(name).params
        if isinstance(parameter, click.Option) and not parameter.help
    ]

    assert silent == []


def test_every_exit_code_is_in_the_readme() -> None:
    table = TEXT.split("### Exit codes")[1]

    assert [int(code) for code in ExitCode if f"| {int(code)} |" not in table] == []


def test_every_criterion_type_has_a_judge_module() -> None:
    folder = TOP / "evidence" / "judge"

    assert [name for name in CRITERION_TYPES if not (folder / f"{name}.py").exists()] == []


def test_every_kind_and_section_has_its_words() -> None:
    kinds = [kind.name for kind in KINDS if kind.name not in MANUAL]
    sections = [section.__module__.rsplit(".", 1)[1] for section in SECTIONS]

    assert kinds == []
    assert len(sections) == len(set(sections))


def test_every_room_of_the_package_is_on_the_map() -> None:
    rooms = {path.name for path in (TOP / "evidence").iterdir() if path.suffix == ".py" or path.is_dir()}
    rooms -= {"__init__.py", "__pycache__"}

    assert sorted(room for room in rooms if f"`{room}`" not in MANUAL and f"`{room}/`" not in MANUAL) == []


def test_every_test_that_holds_a_rule_exists() -> None:
    table = MANUAL.split("## Rules and the tests that hold them")[1].split("## Closed lists")[0]
    named = re.findall(r"`(tests/[a-z_./]+)`", table)

    assert named
    assert [path for path in named if not (TOP / path).exists()] == []


def test_the_version_stands_once() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    assert project["version"] == __version__
    assert f"## {__version__}" in (TOP / "CHANGELOG.md").read_text(encoding="utf-8")


def test_the_first_command_comes_early() -> None:
    lines = TEXT.splitlines()

    assert next(number for number, line in enumerate(lines, 1) if line.startswith("$ ")) <= 20


def test_pictures_and_links_of_the_readme_exist() -> None:
    targets = [target for target in re.findall(r"\]\(([^)#]+)\)", TEXT) if "://" not in target]

    assert targets
    assert [target for target in targets if not (TOP / Path(target)).exists()] == []


def test_no_sentence_calls_anything_certified_or_compliant() -> None:
    """The tool shows evidence; the words of a verdict on conformity are not its own."""
    boasting = re.compile(r"\b(compliant|complies|certified|approved by us|guarantee)", re.IGNORECASE)

    assert [code for code, text in SENTENCES.items() if boasting.search(text)] == []

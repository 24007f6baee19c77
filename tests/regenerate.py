"""Write again what is generated and committed: ``python -m tests.regenerate``, with the names of some to write only those.

Schemas and closed lists from the models, help blocks from the commands, codes and what there is to translate from the English
tables, pictures of the pages from the demonstration. Tests compare.
"""

import contextlib
import inspect
import json
import re
import sys
from enum import StrEnum
from pathlib import Path

import click
from click.testing import CliRunner

from evidence.cli import COMMANDS, cli
from evidence.model import names
from evidence.model.schemas import MODELS, schema
from evidence.phrases.en import HINTS, SENTENCES
from tests import catalogues, page_pictures

TOP = Path(__file__).resolve().parents[1]
SCHEMAS = TOP / "schemas"
README = TOP / "README.md"
DEVELOPERS = TOP / "DEVELOPERS.md"
CODES = TOP / "docs" / "codes.md"
WORDS_BLOCK = re.compile(r"(?P<head><!-- words -->).*?(?P<tail><!-- /words -->)", re.DOTALL)
HELP_BLOCK = re.compile(
    r"(?P<head><!-- help: (?P<args>.*?) -->\n```text\n)(?P<body>.*?)(?P<tail>```)", re.DOTALL
)
OUTPUT_BLOCK = re.compile(
    r"(?P<head><!-- output: (?P<lines>[0-9]+) lines -->\n```console\n\$ \.venv/bin/sillmark (?P<args>[^\n]*)\n)"
    r"(?P<body>.*?)(?P<tail>```)",
    re.DOTALL,
)
HELP_WIDTH = 100  # columns


def schema_text(kind: str) -> str:
    """A schema as committed: indented, sorted, with a final newline."""
    return json.dumps(schema(kind), ensure_ascii=False, indent=2, sort_keys=True) + "\n"


def help_text(arguments: list[str]) -> str:
    """What ``sillmark ARGUMENTS --help`` prints."""
    runner = CliRunner()
    outcome = runner.invoke(cli, [*arguments, "--help"], prog_name="sillmark", terminal_width=HELP_WIDTH)
    if outcome.exit_code != 0:
        raise click.ClickException(outcome.output)
    return outcome.output


def output_text(arguments: list[str], lines: int) -> str:
    """The first lines that a command prints when it is run at the top of the repository."""
    with contextlib.chdir(TOP):
        outcome = CliRunner().invoke(cli, arguments, prog_name="sillmark")
    printed = outcome.stdout.splitlines()
    cut = [*printed[:lines], "…"] if len(printed) > lines else printed
    return "".join(f"{line}\n" for line in cut)


def readme_with_outputs(text: str) -> str:
    """The README with every output block as the commands print it now."""
    return OUTPUT_BLOCK.sub(
        lambda block: block["head"] + output_text(block["args"].split(), int(block["lines"])) + block["tail"],
        text,
    )


def readme_with_help(text: str) -> str:
    """The README with every help block as the commands print it now."""
    return HELP_BLOCK.sub(
        lambda block: block["head"] + help_text(block["args"].split()) + block["tail"], text
    )


def write_schemas() -> None:
    """Write ``schemas/*.schema.json``, and nothing else there."""
    for stale in SCHEMAS.glob("*.schema.json"):
        stale.unlink()
    for kind in sorted(MODELS):
        (SCHEMAS / f"{kind}.schema.json").write_text(schema_text(kind), encoding="utf-8")


def write_help() -> None:
    """Write the help blocks of the README."""
    text = readme_with_outputs(readme_with_help(README.read_text(encoding="utf-8")))
    README.write_text(text, encoding="utf-8")


def words_block() -> str:
    """The closed lists of ``model/names.py`` as a table."""
    rows = [
        f"| {name} | {', '.join(f'`{word.value}`' for word in words)} |"
        for name, words in inspect.getmembers(names, inspect.isclass)
        if issubclass(words, StrEnum)
        and words is not StrEnum
        and words.__module__.startswith("evidence.model.")
    ]
    return "\n".join(["| list | words |", "|---|---|", *rows])


def developers_with_words(text: str) -> str:
    """DEVELOPERS.md with the closed lists as the models have them now."""
    return WORDS_BLOCK.sub(lambda block: f"{block['head']}\n{words_block()}\n{block['tail']}", text)


def codes_text() -> str:
    """``docs/codes.md``: every code with its sentence and what to do."""
    rows = [
        f"| `{code}` | {_cell(SENTENCES[code])} | {_cell(HINTS.get(code, ''))} |"
        for code in sorted(SENTENCES)
    ]
    head = "# Codes\n\nEvery code that the tool says, with its English sentence and what to do. Generated.\n"
    return "\n".join([head, "| code | sentence | what to do |", "|---|---|---|", *rows]) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def write_codes() -> None:
    """Write ``docs/codes.md``."""
    CODES.write_text(codes_text(), encoding="utf-8")


def write_words() -> None:
    """Write the closed lists of DEVELOPERS.md."""
    DEVELOPERS.write_text(developers_with_words(DEVELOPERS.read_text(encoding="utf-8")), encoding="utf-8")


def write_pages() -> None:
    """Write the small pictures of the demonstration's pages."""
    if not page_pictures.available():
        raise click.ClickException("pages are drawn with pdftoppm of poppler, which is not here")
    page_pictures.write()


WRITERS = {
    "catalogues": catalogues.write,
    "schemas": write_schemas,
    "help": write_help,
    "codes": write_codes,
    "words": write_words,
    "pages": write_pages,
}

if __name__ == "__main__":
    for wanted in sys.argv[1:] or sorted(WRITERS):
        WRITERS[wanted]()
    click.echo(f"written: {', '.join(sys.argv[1:] or sorted(WRITERS))}; commands: {len(COMMANDS)}")

"""Write again what is generated and committed: ``python -m tests.regenerate schemas help``.

``schemas`` from the models, ``help`` blocks of the README from the commands. Tests compare; this writes.
"""

import json
import re
import sys
from pathlib import Path

import click
from click.testing import CliRunner

from evidence.cli import COMMANDS, cli
from evidence.model.schemas import MODELS, schema

TOP = Path(__file__).resolve().parents[1]
SCHEMAS = TOP / "schemas"
README = TOP / "README.md"
HELP_BLOCK = re.compile(r"(?P<head><!-- help: (?P<args>.*?) -->\n```text\n)(?P<body>.*?)(?P<tail>```)", re.DOTALL)
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


def readme_with_help(text: str) -> str:
    """The README with every help block as the commands print it now."""
    return HELP_BLOCK.sub(lambda block: block["head"] + help_text(block["args"].split()) + block["tail"], text)


def write_schemas() -> None:
    """Write ``schemas/*.schema.json``, and nothing else there."""
    for stale in SCHEMAS.glob("*.schema.json"):
        stale.unlink()
    for kind in sorted(MODELS):
        (SCHEMAS / f"{kind}.schema.json").write_text(schema_text(kind), encoding="utf-8")


def write_help() -> None:
    """Write the help blocks of the README."""
    README.write_text(readme_with_help(README.read_text(encoding="utf-8")), encoding="utf-8")


WRITERS = {"schemas": write_schemas, "help": write_help}

if __name__ == "__main__":
    for wanted in sys.argv[1:] or sorted(WRITERS):
        WRITERS[wanted]()
    click.echo(f"written: {', '.join(sys.argv[1:] or sorted(WRITERS))}; commands: {len(COMMANDS)}")

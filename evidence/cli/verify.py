"""``sillmark verify``: check bundles step by step."""

import json
from collections.abc import Callable
from functools import partial
from pathlib import Path

import click

from evidence import keys, verifying
from evidence.cli import _clock
from evidence.cli._tell import Progress, tell_error
from evidence.errors import ExitCode, SillmarkError
from evidence.guard import Guard
from evidence.model.trust import Trust
from evidence.phrases import say
from evidence.seal.report import document, lines
from evidence.seal.verdicts import VerdictCode
from evidence.seal.verify import VerifyReport


@click.command(
    "verify",
    short_help="Check bundles step by step; one bottom line each.",
    epilog="Example: sillmark verify bundles/AMB-0417 --recompute",
)
@click.argument("bundles", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--trust", type=click.Path(path_type=Path), help="Trust file with pinned keys [default: your own]."
)
@click.option("--integrity-only", is_flag=True, help="Leave out whose key it is.")
@click.option("--recompute", is_flag=True, help="Judge again from the bundle alone and report what differs.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object per line and bundle, for machines.")
def command(
    bundles: tuple[Path, ...], trust: Path | None, *, integrity_only: bool, recompute: bool, as_json: bool
) -> None:
    """Check BUNDLES step by step, without changing, following or fetching anything."""
    question = verifying.question(_trust(trust), _clock.today(), integrity_only=integrity_only)
    progress, worst = Progress(), ExitCode.CLEAR
    environment = _clock.child_environment()
    light = Guard(environment=environment, without=verifying.NOT_FOR_ATTACHMENTS)
    with Guard(environment=environment) as guard, light:
        ask = partial(
            verifying.verify_bundle, question=question, recompute=recompute, guard=guard, light=light
        )
        for bundle in bundles:
            for path in _bags(bundle):
                progress("step-verify", bundle=str(path))
                worst = max(worst, _one(path, ask, as_json=as_json))
    raise click.exceptions.Exit(worst)


def _trust(path: Path | None) -> Trust | None:
    if path is not None:
        return keys.read_trust(path)
    own = keys.own_trust(_clock.home())
    return own if own.keys else None


def _bags(bundle: Path) -> list[Path]:
    try:
        return list(verifying.bags_of(bundle))
    except SillmarkError:
        return [bundle]  # verifying it will say why it cannot be looked at


def _one(path: Path, ask: Callable[[Path], VerifyReport], *, as_json: bool) -> ExitCode:
    try:
        report = ask(path)
    except SillmarkError as error:
        return tell_error(error)
    if as_json:
        answer = document(report, str(path)).document()
        click.echo(json.dumps(answer, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
    else:
        *steps, bottom_line = lines(report, str(path))
        click.echo("\n".join((*steps, *_told_inside(report), bottom_line)))
    return report.exit_code


def _told_inside(report: VerifyReport) -> list[str]:
    """How much was open when it was sealed, so that an intact bundle is not taken for a vehicle without open points."""
    whole = report.unchanged and report.signed and report.well_formed and report.dossier_agrees
    if not whole or VerdictCode.RECOMPUTE_DIFFERS in report.codes:
        return []
    code = {0: "verified-complete", 1: "verified-open-one"}.get(report.open_points or 0, "verified-open")
    return [say(code, {"count": str(report.open_points)})]

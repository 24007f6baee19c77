"""``sillmark print``: copies of a sealed dossier for the workshop, the vehicle's folder, the reader without a computer."""

from datetime import datetime
from pathlib import Path

import click

from evidence import copying, files, verifying
from evidence.cli import _clock
from evidence.cli._choosing import Word
from evidence.cli._tell import Progress, to_stderr
from evidence.cli.gauge import PAPERS
from evidence.errors import IntegrityError, UsageError, printable
from evidence.guard import Guard
from evidence.phrases import DEFAULT_LANGUAGE, LANGUAGES, say
from evidence.seal.report import lines
from evidence.seal.verdicts import BottomLine


@click.command(
    "print",
    short_help="Print copies of a sealed dossier, or two pages of it for the vehicle.",
    epilog="Example: sillmark print bundles/AMB-0417 --sheet -o AMB-0417-sheet.pdf",
)
@click.argument("bundle", type=click.Path(path_type=Path))
@click.option(
    "--sheet",
    is_flag=True,
    help="Two pages for the vehicle's folder: front sheet, open points, how to verify.",
)
@click.option(
    "--paper",
    metavar="PAPER",
    type=Word(list(PAPERS)),
    help="Paper in the printer: a4 or letter.  [default: that of the sealed dossier]",
)
@click.option(
    "--lang",
    "language",
    type=Word(list(LANGUAGES)),
    default=DEFAULT_LANGUAGE,
    show_default=True,
    metavar="LANGUAGE",
    help="Language of the copy.",
)
@click.option(
    "-o",
    "target",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Where the PDF goes; a file that is there is never written over.  [default: JOB-copy.pdf or JOB-sheet.pdf here]",
)
@_clock.at_option
def command(
    bundle: Path, target: Path | None, paper: str | None, language: str, at: datetime | None, *, sheet: bool
) -> None:
    """Print a copy of the dossier of one BUNDLE, from the bundle alone; every page says that it is a copy.

    The bundle is verified first, without asking whose key it is. One that is not whole prints nothing.
    """
    environment, progress = _clock.child_environment(), Progress()
    if target is not None:
        _free(target)  # said before anybody waits
    with Guard(environment=environment) as guard:
        path = _one_bag(bundle)
        progress("step-verify", bundle=str(path))
        _require_whole(path, guard)
        sealed = copying.open_sealed(path)
        wanted = target or Path(f"{sealed.manifest.job}-{'sheet' if sheet else 'copy'}.pdf")
        _free(wanted)
        progress("step-dossier", job=sealed.manifest.job)
        paper_wanted = PAPERS[paper] if paper is not None else None
        order = copying.CopyOrder(_clock.issued(at).at, sheet, paper_wanted, language, environment)
        pdf = copying.copy_of(sealed, order, guard.run)
    files.write_file(wanted, pdf)
    click.echo(say("copy-written", {"job": sealed.manifest.job, "path": printable(str(wanted))}))
    to_stderr(say("copy-signer-not-asked"))


def _one_bag(bundle: Path) -> Path:
    """The one bag that the argument names.

    Raises:
        UsageError: bundle-several.
    """
    found = list(verifying.bags_of(bundle))
    if len(found) > 1:
        raise UsageError.one("bundle-several", str(bundle), found=", ".join(each.name for each in found))
    return found[0]


def _free(target: Path) -> None:
    if files.is_there(target):
        raise UsageError.one("file-exists", str(target))


def _require_whole(path: Path, guard: Guard) -> None:
    """Verify, leaving out whose key it is.

    Raises:
        IntegrityError: copy-not-verified, after the steps that failed were told.
    """
    question = verifying.question(None, _clock.today(), integrity_only=True)
    report = verifying.verify_bundle(path, question, recompute=False, guard=guard)
    if report.bottom_line == BottomLine.INTACT:
        return
    for line in lines(report, str(path)):
        to_stderr(line)
    raise IntegrityError.one("copy-not-verified", str(path))

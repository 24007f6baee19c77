"""What it costs to set dossiers, beside the budgets: ``python -m tests.bench.setting``.

Each is set in a process of its own, because the compiler keeps memory from one to the next. Photos are replaced by tiny
ones, since scaling and embedding them is counted elsewhere.
"""

import io
import resource
import subprocess
import sys
from collections.abc import Mapping
from unittest.mock import patch

import click
from pypdf import PdfReader

from evidence.dossier import Data
from evidence.typeset import Typesetter
from tests import page_pictures
from tests.bench.__main__ import row
from tests.dossier import builders, hard
from tests.dossier.test_hook_position import speak

TINY = builders.photo_bytes(0, (8, 6))
BUDGETS = {"demonstration": 0.8, "findings": 2.5}  # CPU seconds
PEAK = 450  # MB


def demonstrations() -> list[tuple[Data, dict[str, bytes]]]:
    """Data and attachments of the demonstration dossiers: each whole, then redacted."""
    caught: list[tuple[Data, dict[str, bytes]]] = []

    def listen(_: Typesetter, data: Data, __: object, attachments: Mapping[str, bytes], ___: object) -> bytes:
        caught.append((data, dict(attachments)))
        return b"%PDF-"

    with patch.object(Typesetter, "typeset", listen):
        page_pictures.demo_dossiers()
    return caught


def of_demonstration() -> tuple[Data, dict[str, bytes]]:
    """The first demonstration dossier."""
    return demonstrations()[0]


def of_faults() -> tuple[Data, dict[str, bytes]]:
    """The demonstration dossier in which much is open."""
    return demonstrations()[2]


def of_hard() -> tuple[Data, dict[str, bytes]]:
    """A thousand findings of every outcome, with long reasons and serials."""
    data, _, attachments = hard.ready("findings", "a4", redacted=False)
    return data, attachments


def of_findings() -> tuple[Data, dict[str, bytes]]:
    """Data and attachments of a dossier of a thousand findings."""
    data, _, attachments = builders.ready(hard.usual_findings("a4", redacted=False), speak)
    return data, attachments


MAKERS = {"demonstration": of_demonstration, "findings": of_findings}
WORSE = {"faults": of_faults, "hard": of_hard}
MOST_A_PAGE = 1.5  # of what a page of the first demonstration dossier costs


def cost(made: tuple[Data, dict[str, bytes]]) -> tuple[float, bytes]:
    """CPU seconds of setting it in a worker of its own, start included, and the PDF."""
    data, attachments = made
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with Typesetter() as typesetter:
        pdf = typesetter.typeset(data, dict.fromkeys(data["pictures"], TINY), attachments, builders.ISSUED)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, pdf


def one(name: str) -> None:
    """Set one dossier and print its row; the peak is that of the largest child, which the worker is."""
    used, pdf = cost(MAKERS[name]())
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    told = f"{used:.2f} s CPU, worker's peak {peak:.0f} MB of {PEAK}, {len(pdf) / 1e6:.1f} MB"
    row(f"set {name} / {BUDGETS[name]} s", used / BUDGETS[name], "<= 1", told)


def worse(name: str) -> None:
    """What a page of a larger dossier costs against one of the first demonstration dossier, in the same run."""
    used, pdf = cost(of_demonstration())
    more, larger = cost(WORSE[name]())
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    pages, most = len(PdfReader(io.BytesIO(pdf)).pages), len(PdfReader(io.BytesIO(larger)).pages)
    told = f"{more:.2f} s CPU for {most} pages, worker's peak {peak:.0f} MB of {PEAK}"
    row(f"set {name} / demonstration, a page", more / most / (used / pages), f"<= {MOST_A_PAGE}", told)


if __name__ == "__main__":
    for wanted in sys.argv[1:]:
        (one if wanted in MAKERS else worse)(wanted)
    if not sys.argv[1:]:
        for each in (*MAKERS, *WORSE):
            subprocess.run([sys.executable, "-m", "tests.bench.setting", each], check=True)
        click.echo("CPU seconds are of this machine; compare them with those of the same run only")

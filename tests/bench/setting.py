"""What it costs to set dossiers, beside the budgets: ``python -m tests.bench.setting``.

Each is set in a process of its own, because the compiler keeps memory from one to the next. Photos are replaced by tiny
ones, since scaling and embedding them is counted elsewhere.
"""

import resource
import subprocess
import sys
from collections.abc import Mapping
from unittest.mock import patch

import click

from evidence.dossier import Data
from evidence.typeset import Typesetter
from tests import page_pictures
from tests.bench.__main__ import row
from tests.dossier import builders, hard
from tests.dossier.test_hook_position import speak

TINY = builders.photo_bytes(0, (8, 6))
BUDGETS = {"demonstration": 0.8, "findings": 2.5}  # CPU seconds
PEAK = 450  # MB


def of_demonstration() -> tuple[Data, dict[str, bytes]]:
    """Data and attachments of the first demonstration dossier."""
    caught: list[tuple[Data, dict[str, bytes]]] = []

    def listen(_: Typesetter, data: Data, __: object, attachments: Mapping[str, bytes], ___: object) -> bytes:
        caught.append((data, dict(attachments)))
        return b"%PDF-"

    with patch.object(Typesetter, "typeset", listen):
        page_pictures.demo_dossiers()
    return caught[0]


def of_findings() -> tuple[Data, dict[str, bytes]]:
    """Data and attachments of a dossier of a thousand findings."""
    data, _, attachments = builders.ready(hard.usual_findings("a4", redacted=False), speak)
    return data, attachments


MAKERS = {"demonstration": of_demonstration, "findings": of_findings}


def one(name: str) -> None:
    """Set one dossier and print its row; the peak is that of the largest child, which the worker is."""
    data, attachments = MAKERS[name]()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with Typesetter() as typesetter:
        pdf = typesetter.typeset(data, dict.fromkeys(data["pictures"], TINY), attachments, builders.ISSUED)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    told = (
        f"{used:.2f} s CPU, worker's peak {after.ru_maxrss / 1024:.0f} MB of {PEAK}, {len(pdf) / 1e6:.1f} MB"
    )
    row(f"set {name} / {BUDGETS[name]} s", used / BUDGETS[name], "<= 1", told)


if __name__ == "__main__":
    for wanted in sys.argv[1:]:
        one(wanted)
    if not sys.argv[1:]:
        for each in MAKERS:
            subprocess.run([sys.executable, "-m", "tests.bench.setting", each], check=True)
        click.echo("CPU seconds are of this machine; compare them with those of the same run only")

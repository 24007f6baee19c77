"""Measure what the budgets speak of, each beside its yardstick in the same run.

Machines are shared and noisy: compare ratios, never seconds of two runs. CPU seconds include child processes.
"""

import hashlib
import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
import tracemalloc
from array import array
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from statistics import median

import click
import numpy as np

from evidence import bundle, examining, exhibits, gauging, inbox, jobs, keys, picture, pipeline, printing
from evidence.exhibits import pull_log, table
from evidence.exhibits._base import Reading
from evidence.exhibits.channels import Channel
from evidence.guard import Guard
from evidence.measure import pull, pulse
from evidence.model.exhibit import Item, Table
from evidence.model.record import JobRecord
from evidence.quantity import Dimension
from evidence.record.reader import read_job
from evidence.starting import StartOrder, start
from tests import labcases
from tests.conftest import DEMO, ISSUED, TEST_KEY
from tests.phone import DAY, job_folder, snap, stamped, ticket, vin

PHOTOS = 30
FINDINGS = 300
HASHED = (
    24,
    8 * 1024 * 1024,
)  # files and bytes of each: a quarter of a second, so that noise decides nothing
DUMP = 300  # photos of one phone
STARTED = "2026-03-06T08:00+01:00"
BARE = "import click\n@click.group()\ndef cli():\n    pass\ncli(['--help'])"
OURS = "from evidence.cli import cli\ncli(['--help'])"
LIBRARIES = (
    "import click, pydantic\npydantic.BaseModel\nfrom cryptography.hazmat.primitives.asymmetric import ec"
)


def cpu() -> float:
    """CPU seconds of this process and of its ended children."""
    own, children = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + children.ru_utime + children.ru_stime


def cost(work: Callable[[], object]) -> float:
    """CPU seconds of one call."""
    before = cpu()
    work()
    return cpu() - before


def row(name: str, ratio: float, budget: str, detail: str) -> None:
    """Print one line of the answer."""
    click.echo(f"{name:34} {ratio:6.2f}   budget {budget:8} {detail}")


def start_up() -> None:
    """``--help`` against a bare click program."""

    def run(source: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, "-c", source], check=True, stdout=subprocess.DEVNULL)

    bare = median(cost(run(BARE)) for _ in range(9))
    ours = median(cost(run(OURS)) for _ in range(9))
    row("--help / bare click", ours / bare, "<= 2", f"{ours * 1000:.0f} ms CPU")


def thirty_photos(folder: Path) -> Path:
    """A job with thirty photos of 12 MP, each with bytes of its own."""
    job = Path(shutil.copytree(DEMO / "job", folder / "job"))
    large = (job / "photos" / "E003.jpg").read_bytes()
    lines = []
    for number in range(PHOTOS):
        name = f"F{number:03d}"
        (job / "photos" / f"{name}.jpg").write_bytes(large + bytes([number]))
        lines.append(f"  - {{id: {name}, role: other-photo, subject: p1, file: photos/{name}.jpg}}\n")
    with (job / "job.yaml").open("a", encoding="utf-8") as record:
        record.writelines(lines)
    return job


def one_vehicle(folder: Path) -> None:
    """A cold vehicle with thirty photos against what the budget names, and the same with one photo changed."""
    job_folder = thirty_photos(folder)
    order = pipeline.AssembleOrder(folder / "out", ISSUED, "option")
    cold = cost(lambda: pipeline.assemble_job(job_folder, order, TEST_KEY))
    parts = yardsticks(job_folder)
    row(
        "assemble / what it must do",
        cold / sum(parts.values()),
        "<= 1.3",
        f"{cold:.2f} s CPU against " + " + ".join(f"{used:.2f} {name}" for name, used in parts.items()),
    )
    with (job_folder / "photos" / "F000.jpg").open("ab") as photo:
        photo.write(b"!")
    again = replace(order, out=folder / "again")
    changed = cost(lambda: pipeline.assemble_job(job_folder, again, TEST_KEY))
    row("one photo changed / cold", changed / cold, "<= 0.35", f"{changed:.2f} s CPU")
    peak = max(
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss,
        resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss,
    )
    row(
        "peak memory / 450 MB",
        peak / 1024 / 450,
        "<= 1",
        f"{peak / 1024:.0f} MB, largest process of this run",
    )


def yardsticks(job_folder: Path) -> dict[str, float]:
    """CPU seconds of what no assembly can do without; reading every pixel of every photo is not among it."""
    job = jobs.load(job_folder)
    with Guard() as guard:
        examined = examining.examine(job, guard.run, "2026-03-06T16:00+01:00", twins=True)
    judged, demands = pipeline.judge_job(job, examined, pipeline.Days(date(2026, 3, 6)))
    made = pipeline.checked_manifest(judged)
    source = printing.Printed(job, examined, made, pipeline.manifest_bytes(made), demands, TEST_KEY.public.id)
    files = [job.folder / str(entry.file) for entry in job.filed()]
    photos = [path for path in files if path.suffix == ".jpg"]

    def fetch(exhibit: str) -> tuple[bytes, str]:
        return examined.sources[exhibit].read_bytes(), exhibit

    def measure() -> None:
        asked = (job.record, job.profile, examined.items, fetch, exhibits.call)
        gauging.of_job(*asked)
        gauging.of_windows(*asked)

    measure()  # in this process, with its libraries loaded
    return {
        "hashing": cost(lambda: [hashlib.sha256(path.read_bytes()).digest() for path in files]),
        "scaling": cost(lambda: [picture.scaled(path.read_bytes(), 1000) for path in photos]),
        "measuring": cost(measure),
        "PDFs": cost(lambda: printing.dossiers(source, ("en",), ISSUED)),
    }


def many_findings(folder: Path) -> Path:
    """A sealed job with about FINDINGS findings: the demonstration with its screw group under many ids."""
    job = Path(shutil.copytree(DEMO / "job", folder / "many"))
    record: JobRecord = read_job((job / "job.yaml").read_bytes()).record
    text = (job / "job.yaml").read_text(encoding="utf-8")
    made = json.loads((DEMO / "expected/AMB-0417/0000-build/data/manifest.json").read_bytes())["findings"]
    each = sum(finding["subject"] == "g1" for finding in made)
    begin, end = text.index("  - id: g1\n"), text.index("characteristics:")
    group = text[begin:end]
    copies = (FINDINGS - len(made)) // each
    groups = "".join(group.replace("id: g1\n", f"id: g{number}\n") for number in range(2, copies + 2))
    (job / "job.yaml").write_text(text[:end] + groups + text[end:], encoding="utf-8")
    order = pipeline.AssembleOrder(folder / f"sealed-{record.id}", ISSUED, "option")
    return pipeline.assemble_job(job, order, TEST_KEY).written.path


def verifying(folder: Path) -> None:
    """The hashing part against hashlib on two threads, and the fixed part in milliseconds."""
    large = folder / "large"
    large.mkdir()
    count, size = HASHED
    for number in range(count):
        (large / f"{number:02d}").write_bytes(bytes([number]) * size)
    files = sorted(large.iterdir())
    plain = median(timed(lambda: hash_on_two_threads(files)) for _ in range(7))
    view = bundle.open_view(large)
    ours = median(timed(lambda: view.digests(list(view.sizes))) for _ in range(7))
    row("verify: hashing / hashlib", ours / plain, "<= 1.5", f"{ours * 1000:.0f} ms wall")
    bag = many_findings(folder)
    trust = folder / "trust.json"
    trust.write_bytes(keys.trust_bytes([keys.entry_of(TEST_KEY.public)]))
    source = f"from evidence.cli import cli; cli(['verify', {str(bag)!r}, '--trust', {str(trust)!r}])"
    libraries, whole = (installed(each, folder / "compiled") for each in (LIBRARIES, source))
    sealed = bundle.open_view(bag)
    fixed = whole - cost(lambda: sealed.digests(list(sealed.sizes)))
    findings = len(json.loads((bag / "data/manifest.json").read_bytes())["findings"])
    row(
        "verify: fixed part / 500 ms",
        fixed / 0.5,
        "<= 1",
        f"{fixed * 1000:.0f} ms CPU at {findings} findings; loading the bare libraries takes {libraries * 1000:.0f}",
    )


def installed(source: str, compiled: Path) -> float:
    """CPU seconds of a program whose modules are compiled already, as those of an installed one are; the median."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)

    def run() -> None:
        command = [sys.executable, "-c", source]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)

    run()
    return median(cost(run) for _ in range(7))


def sorting(folder: Path) -> None:
    """A phone dump of six vehicles against decoding each of its photos once for its look and once for its codes."""
    base, shop, phone = folder / "start", folder / "jobs", folder / "phone"
    order = StartOrder(
        (DEMO / "job" / "profile.yaml",), ("en-1789-2020@1",), STARTED, vin=vin(0), build="B-1"
    )
    start(base, order)
    phone.mkdir()
    for number in range(1, 7):
        job_folder(base, shop, number)
        with_ticket = snap(folder / "a.jpg", number, [ticket(number)], large=True).read_bytes()
        without = snap(folder / "b.jpg", number + 50, large=True).read_bytes()
        for index in range(DUMP // 6):
            # every third one holds the ticket into the picture, and the last one does
            data = with_ticket if index % 3 == 0 or index == DUMP // 6 - 1 else without
            taken = DAY + timedelta(minutes=index, hours=number)
            (phone / f"{number}-{index:03d}.jpg").write_bytes(stamped(data, taken))
    paths = sorted(phone.iterdir())
    readers = ("photo", "codes")
    decoding = cost(
        lambda: [exhibits.call(name, each.read_bytes(), "x") for each in paths for name in readers]
    )
    tools = inbox.Tools(Guard, lambda *_, **__: None)
    whole = cost(lambda: inbox.sort_inbox(phone, shop, STARTED, tools))
    row("add --sort / decoding", whole / decoding, "<= 1.6", f"{whole:.1f} s CPU against {decoding:.1f}")


def pulses() -> None:
    """Eight channels of 100 000 samples: offset, class filter, usual figures and a corridor."""
    step = Fraction(1, 20_000)
    times = np.arange(100_000) * float(step) - 1
    noise = np.random.default_rng(0)
    made = [
        Channel(
            f"c{number}",
            "",
            "g",
            Dimension.ACCELERATION,
            Fraction(-1),
            step,
            array(
                "d", (20 * np.exp(-(((times - 0.05) / 0.02) ** 2)) + noise.normal(0, 0.5, 100_000)).tolist()
            ),
            "unfiltered",
        )
        for number in range(8)
    ]
    recipe = pulse.Recipe(60, offset=pulse.Span(Fraction(-1), Fraction(-1, 10)))
    bounds = [(Fraction(0), Fraction(25)), (Fraction(1, 10), Fraction(25))]

    def judged() -> None:
        for one in made:
            curve = pulse.processed(one, recipe)
            pulse.summary(curve).document()
            pulse.corridor(curve, bounds, (), "g")

    used = median(cost(judged) for _ in range(5))
    row("8 channels of 100 000 / 0.5 s", used / 0.5, "<= 1", f"{used * 1000:.0f} ms CPU")


def tests_of_a_job() -> None:
    """One file of eight channels of 100 000 samples, each held against a corridor and three limits: read, filtered, judged."""
    times = np.arange(100_000) / 20_000 - 1
    noise = np.random.default_rng(0)
    values = [tuple(f"{time:.5f}" for time in times.tolist())]
    for _ in range(8):
        curve = -20 * np.exp(-(((times - 0.05) / 0.02) ** 2)) + noise.normal(0, 0.5, 100_000)
        values.append(tuple(f"{value:.5f}" for value in curve.tolist()))
    columns = [{"name": f"c{number} unfiltered", "unit": "g"} for number in range(8)]
    part = {"columns": [{"name": "time", "unit": "s"}, *columns], "rows": 100_000}
    known = {
        "id": "E1",
        "kind": "table",
        "media_type": "text/csv",
        "sha256": "0" * 64,
        "bytes": 10,
        "table": part,
    }
    reading = Reading(Item.read(known), values=tuple(values))
    line = labcases.corridor([("0", "-25"), ("0.1", "-25")], [("0", "5"), ("0.1", "5")])
    sixty = {"cfc": "60"}
    asked = [
        line,
        labcases.within("velocity-change", low="1 mph", processing=sixty),
        labcases.within("peak-acceleration", high="25 g", processing=sixty),
        labcases.within("clip-3ms", high="25 g", processing={**sixty, "kind": "cumulative"}),
    ]
    tests = [
        labcases.lab_test(f"t{number}", channels=[labcases.channel(f"c{number} unfiltered")])
        for number in range(8)
    ]

    def judged() -> None:
        labcases.judged(labcases.case(asked, [reading], tests))

    used = median(cost(judged) for _ in range(5))
    tracemalloc.start()
    judged()
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    row(
        "a job's 8 x 100 000 / 0.5 s",
        used / 0.5,
        "<= 1",
        f"{used * 1000:.0f} ms CPU, {peak:.0f} MB beside the text",
    )


def pulls() -> None:
    """A log of 50 000 rows: its columns, peak, hold and what stayed; reading its text is told beside it."""
    times = np.arange(50_000) / 1000
    noise = np.random.default_rng(0).normal(0, 0.01, len(times))
    force = np.interp(times, [2, 15, 30, 40], [0, 10, 10, 0]) + noise
    travel = np.interp(times, [2, 15, 30, 40], [0, 20, 22, 3])
    rows = zip(times.tolist(), force.tolist(), travel.tolist(), strict=True)
    text = "time [s];force [kN];travel [mm]\n" + "\n".join(f"{t:.3f};{f:.4f};{d:.3f}" for t, f, d in rows)
    reading = cost(lambda: table.answer(text.encode(), "pull.csv"))
    answer = table.answer(text.encode(), "pull.csv")
    columns = tuple(tuple(blob.decode().split("\n")) for blob in answer.blobs)
    found = Table.read(answer.value["table"])

    def judged() -> None:
        log = pull_log.of_table(found, columns, "pull.csv")
        made = pull.of_columns(log.columns[0].values, log.times_s, log.columns[1].values)
        pull.peak_force(made)
        pull.hold_time(made, 9.5, "continuous")
        pull.residual_displacement(made)

    used = median(cost(judged) for _ in range(5))
    told = f"{used * 1000:.0f} ms CPU, reading the text {reading * 1000:.0f} ms"
    row("pull log of 50 000 rows / 0.5 s", used / 0.5, "<= 1", told)


def hash_on_two_threads(files: list[Path]) -> None:
    """The yardstick."""
    with ThreadPoolExecutor(2) as threads:
        list(threads.map(lambda path: hashlib.sha256(path.read_bytes()).digest(), files))


def timed(work: Callable[[], object]) -> float:
    """Wall seconds of one call."""
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        start_up()
        pulses()
        tests_of_a_job()
        pulls()
        one_vehicle(Path(scratch))
        verifying(Path(scratch))
        sorting(Path(scratch))

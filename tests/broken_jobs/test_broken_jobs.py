"""Each broken job is told with code, place and what to do, and stays as it was."""

import hashlib
import json
import re
import string
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from evidence.cli import cli
from evidence.phrases import en, hint, printable
from tests.broken_jobs.cases import CASES, FINDINGS
from tests.broken_jobs.patches import Case, apply, base

ASKED_FOR = 60


def spoilt(case: Case, folder: Path) -> tuple[Path, str]:
    """The broken job, and the place that must be told."""
    job = base(folder / "work")
    mark = apply(case.patch, job)
    names = {"job": job, "new": folder / "work" / "new", "mark": f"{job}/{mark}"}
    return job, case.where.format(**names)


def called(case: Case, job: Path) -> Result:
    """The command's answer."""
    line = [word.format(job=job, new=job.parent / "new") for word in case.command]
    return CliRunner().invoke(cli, line, prog_name="sillmark", input=case.typed or None)


def digests(folder: Path) -> dict[str, str]:
    """What lies below a folder, by its bytes; a lock is no content."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".lock"
    }


def sentence(code: str) -> re.Pattern[str]:
    """What the catalogue says for a code, with any parameters."""
    parts = [
        re.escape(printable(text)) + (".+" if name is not None else "")
        for text, name, _, _ in string.Formatter().parse(en.SENTENCES[code])
    ]
    return re.compile("".join(parts))


def told(case: Case, place: str, output: str) -> str:
    """The line that tells the case's problem at its place."""
    wanted = sentence(case.code)
    lines = [line for line in output.splitlines() if line.startswith(place) and wanted.search(line)]
    at = [line for line in lines if line[len(place)] in ": " and wanted.fullmatch(line.split(": ", 1)[1])]
    assert len(at) == 1, output
    return at[0]


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_told_with_place_and_hint(case: Case, tmp_path: Path) -> None:
    job, place = spoilt(case, tmp_path)
    before = digests(tmp_path / "work")

    outcome = called(case, job)

    assert outcome.exit_code == case.exit, outcome.output
    assert "Traceback" not in outcome.output
    line = told(case, place, outcome.output)
    assert [word for word in case.words if word not in line] == []
    assert hint(case.code)
    assert f"    {printable(hint(case.code))}" in outcome.output.splitlines()
    assert digests(tmp_path / "work") == before


def reasons(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """Reasons of what is open, with subject and place in one shape."""
    open_findings = [
        {**each["reason"], "about": each["subject"], "stands": each["requirement"]}
        for each in answer["findings"]
        if each["outcome"] not in ("met", "not applicable")
    ]
    against = [
        {**each["reason"], "about": each["id"].split(":")[1], "stands": each["id"].split(":")[0]}
        for each in answer["contradictions"]
    ]
    return open_findings + against


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize("case", FINDINGS, ids=lambda case: case.name)
def test_found_with_reason_and_subject(case: Case, tmp_path: Path) -> None:
    job, place = spoilt(case, tmp_path)
    before = digests(tmp_path / "work")

    outcome = called(case, job)

    assert outcome.exit_code == case.exit, outcome.output
    assert "Traceback" not in outcome.output
    found = reasons(json.loads(outcome.stdout))
    here = [each for each in found if each["code"] == case.code and each["about"] == place]
    assert here, [(each["code"], each["about"], each["text"]) for each in found]
    assert any(all(word in each["text"] for word in case.words) for each in here), here
    assert all(sentence(case.code).fullmatch(each["text"]) for each in here)
    assert digests(tmp_path / "work") == before


def test_there_are_enough_and_no_two_alike() -> None:
    every = [*CASES, *FINDINGS]

    assert len(every) >= ASKED_FOR
    assert len({case.name for case in every}) == len(every)
    assert len({(case.code, case.where, str(case.patch), case.command) for case in every}) == len(every)


@pytest.mark.parametrize("case", [*CASES, *FINDINGS], ids=lambda case: case.name)
def test_marks_stand_where_they_are_asked_for(case: Case) -> None:
    """A place that is computed from a mark has one, and a mark has a place."""
    marks = str(case.patch).count("¤")

    assert marks == ("{mark}" in case.where)

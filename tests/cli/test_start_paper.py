"""``start`` and paper: card and tickets lie in the folder, their numbers stand in the record, nothing lost is lost."""

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from evidence.card import plan
from evidence.jobs import load
from evidence.record.reader import read_profile
from evidence.starting import NONCE_LETTERS
from tests.conftest import AT, DEMO, Run

PROFILE = DEMO / "job" / "profile.yaml"
VALID = "valid_from: 2025-11-01"


def words(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(path.read_bytes())).pages)


def revision(folder: Path, name: str, span: str, **changes: str) -> Path:
    text = PROFILE.read_text(encoding="utf-8")
    assert VALID in text
    text = text.replace(VALID, span).replace("revision: C", f"revision: {name}")
    for old, new in changes.items():
        text = text.replace(f"{old}: ", f"{old}: {new}", 1)
    path = folder / f"heron-2-{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def begin(run: Run, folder: Path, *options: object, at: str = AT) -> Path:
    outcome = run("start", folder, "--build", "BW-1", "--at", at, *options)
    assert outcome.exit_code == 0, outcome.output
    assert "work-card.pdf" in outcome.stdout
    assert "tickets.pdf" in outcome.stdout
    return folder


def test_each_position_has_its_slots_its_ticket_and_its_pages(run: Run, tmp_path: Path) -> None:
    folder = begin(run, tmp_path / "AMB-2", "--profile", PROFILE, "--positions", "3")

    record = load(folder).record
    assert [position.id for position in record.positions] == ["p1", "p2", "p3"]
    assert [ticket.subject for ticket in record.tickets] == ["vehicle", "p1", "p2", "p3"]
    assert len({ticket.nonce for ticket in record.tickets}) == 4
    assert all(re.fullmatch(rf"[{NONCE_LETTERS}]{{10}}", ticket.nonce) for ticket in record.tickets)
    overview = [entry.subject for entry in record.exhibits if entry.role == "overview"]
    assert overview == ["p1", "p2", "p3"]
    assert [entry.subject for entry in record.exhibits if entry.role == "work-card"] == ["vehicle"]
    assert "Position p3" in words(folder / "work-card.pdf")
    tickets = words(folder / "tickets.pdf")
    for ticket in record.tickets:
        assert f"sillmark:AMB-2:{ticket.subject}:{ticket.nonce}" in tickets


def test_lines_to_copy_name_the_rows_of_the_printed_card(run: Run, tmp_path: Path) -> None:
    folder = begin(
        run, tmp_path / "AMB-3", "--profile", PROFILE, "--positions", "2", "--pack", "sae-j3027-2016@1"
    )

    text = (folder / "job.yaml").read_text(encoding="utf-8")
    # the American basis has other paper, so other pages
    laid = plan(read_profile(PROFILE.read_bytes()).profile, ("p1", "p2"), "us-letter")
    for position in ("p1", "p2"):
        page, row = laid.place("step", position, "locker-and-torque")
        line = next(each for each in text.splitlines() if f"locker-and-torque, subject: {position}" in each)
        assert f"page: {page}, row: {row}}}" in line
    box = PdfReader(io.BytesIO((folder / "work-card.pdf").read_bytes())).pages[0].mediabox
    # from memory of ANSI/ASME Y14.1: letter is 8.5 x 11 in
    assert (float(box.width), float(box.height)) == (612.0, 792.0)


@pytest.mark.parametrize("positions", ["0", "7", "two"])
def test_a_vehicle_has_one_to_six_positions(run: Run, tmp_path: Path, positions: str) -> None:
    outcome = run("start", tmp_path / "X", "--profile", PROFILE, "--build", "B", "--positions", positions)

    assert outcome.exit_code == 2
    assert not (tmp_path / "X").exists()


def test_lost_paper_is_printed_again_with_the_same_codes(run: Run, tmp_path: Path) -> None:
    folder = begin(run, tmp_path / "AMB-4", "--profile", PROFILE)
    before = {name: (folder / name).read_bytes() for name in ("work-card.pdf", "tickets.pdf", "job.yaml")}
    (folder / "tickets.pdf").unlink()
    (folder / "work-card.pdf").write_bytes(b"coffee")

    outcome = run("start", folder, "--reprint", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "work-card.pdf" in outcome.stdout
    assert {name: (folder / name).read_bytes() for name in before} == before


def test_a_job_from_before_there_were_tickets_gets_its_card_only(run: Run, job: Path) -> None:
    record = (job / "job.yaml").read_text(encoding="utf-8")
    record = re.sub(r"^tickets:\n(?:[ ]+.*\n)+", "", record, flags=re.MULTILINE)
    (job / "job.yaml").write_text(record, encoding="utf-8")

    outcome = run("start", job, "--reprint", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert (job / "work-card.pdf").read_bytes().startswith(b"%PDF-")
    assert not (job / "tickets.pdf").exists()
    assert "no tickets" in outcome.stderr


def test_a_reprint_changes_nothing_and_says_so(run: Run, job: Path, tmp_path: Path) -> None:
    refused = run("start", job, "--reprint", "--build", "BW-2", "--positions", "2")
    nowhere = run("start", tmp_path / "none", "--reprint")

    assert refused.exit_code == 2
    assert "--build, --positions" in refused.stderr
    assert nowhere.exit_code == 3
    assert not (tmp_path / "none").exists()


def test_of_several_revisions_the_one_in_force_is_taken(run: Run, tmp_path: Path) -> None:
    old = revision(tmp_path, "B", "valid_from: 2024-01-01, valid_until: 2025-10-31")
    new = revision(tmp_path, "C", VALID)

    late = begin(run, tmp_path / "L", "--profile", old, "--profile", new)
    early = begin(run, tmp_path / "E", "--profile", new, "--profile", old, at="2025-10-31T16:00+01:00")

    assert load(late).record.profile == "heron-2@C"
    assert load(early).record.profile == "heron-2@B"


def test_no_revision_in_force_or_more_than_one_is_refused(run: Run, tmp_path: Path) -> None:
    old = revision(tmp_path, "A", "valid_from: 2023-01-01, valid_until: 2023-12-31")
    older = revision(tmp_path, "B", "valid_from: 2024-01-01, valid_until: 2024-12-31")
    new = revision(tmp_path, "C", VALID)
    newer = revision(tmp_path, "D", "valid_from: 2026-01-01")

    none = run("start", tmp_path / "N", "--profile", old, "--profile", older, "--build", "B", "--at", AT)
    both = run("start", tmp_path / "N", "--profile", new, "--profile", newer, "--build", "B", "--at", AT)

    assert (none.exit_code, both.exit_code) == (2, 2)
    assert "None of these revisions is in force on 2026-03-06" in none.stderr
    assert "heron-2@A 2023-01-01 to 2023-12-31" in none.stderr
    assert "More than one of these revisions is in force" in both.stderr
    assert "heron-2@D 2026-01-01 to …" in both.stderr
    assert not (tmp_path / "N").exists()


def test_profiles_of_two_manuals_are_not_revisions(run: Run, tmp_path: Path) -> None:
    other = revision(tmp_path, "C", VALID, id="x-")

    outcome = run("start", tmp_path / "N", "--profile", PROFILE, "--profile", other, "--build", "B")

    assert outcome.exit_code == 2
    assert "not revisions of one manual" in outcome.stderr


def test_a_single_revision_that_is_not_in_force_is_told_and_taken(run: Run, tmp_path: Path) -> None:
    outcome = run(
        "start", tmp_path / "N", "--profile", PROFILE, "--build", "B", "--at", "2025-01-01T08:00+01:00"
    )

    assert outcome.exit_code == 0, outcome.output
    assert "heron-2@C is not in force on 2025-01-01" in outcome.stderr
    assert load(tmp_path / "N").record.profile == "heron-2@C"


def test_without_a_profile_there_is_nothing_to_start(run: Run, tmp_path: Path) -> None:
    outcome = run("start", tmp_path / "N", "--build", "B")

    assert outcome.exit_code == 2
    assert "--reprint" in outcome.stderr

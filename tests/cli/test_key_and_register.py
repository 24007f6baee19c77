"""``key`` and ``register``: keys made once and pinned; packs listed with their age and their sources."""

import json
from datetime import date
from pathlib import Path

import pytest

from evidence.cli import register
from evidence.errors import UsageError
from tests.conftest import Run


def test_a_key_is_made_once_and_pinned_where_it_was_made(run: Run, home: Path) -> None:
    first, second = run("key", "new"), run("key", "new")

    assert first.stdout == second.stdout
    assert first.stdout.strip() in run("key", "list").stdout
    assert "pinned" in run("key", "list").stdout
    private = home / "keys" / f"{first.stdout.strip()}.pem"
    assert private.stat().st_mode & 0o077 == 0


def test_a_public_key_travels_by_file(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pem = tmp_path / "builder.pem"
    pem.write_text(run("key", "export").stdout, encoding="ascii")
    identity = run("key", "new").stdout.strip()
    monkeypatch.setenv("SILLMARK_HOME", str(tmp_path / "agency"))

    pinned = run("key", "pin", pem)

    assert identity in pinned.stdout
    assert identity in run("key", "list").stdout
    assert run("key", "unpin", identity).exit_code == 0
    assert run("key", "list").stdout == ""


def test_a_file_that_is_no_key_is_refused(run: Run, tmp_path: Path) -> None:
    bad = tmp_path / "x.pem"
    bad.write_text("hello", encoding="ascii")

    outcome = run("key", "pin", bad)

    assert outcome.exit_code == 3
    assert "x.pem" in outcome.stderr


def test_an_unknown_signing_key_is_a_usage_error(run: Run, job: Path, tmp_path: Path) -> None:
    outcome = run("assemble", job, "-o", tmp_path / "out", "--key", "abcdef")

    assert outcome.exit_code == 2


def test_packs_are_listed_with_their_age(run: Run) -> None:
    lines = run("register", "list").stdout.splitlines()

    assert any(line.startswith("en-1789-2020@1") and "2026-11-01" in line for line in lines)


def test_a_pack_past_its_review_day_says_so(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1900000000")

    assert "REVIEW DUE" in run("register", "list").stdout


def test_every_criterion_of_a_pack_is_shown_with_mark_and_source(run: Run) -> None:
    text = run("register", "show", "sae-j3027-2016@1").stdout
    whole = json.loads(run("register", "show", "sae-j3027-2016@1", "--json").stdout)

    criteria = [each for clause in whole["clauses"] for each in clause["criteria"]]
    assert len(criteria) >= 6
    assert all(each["source"] in text and each["mark"] in text for each in criteria)


def test_an_unknown_pack_is_a_usage_error(run: Run) -> None:
    outcome = run("register", "show", "nothing@1")

    assert outcome.exit_code == 2
    assert "en-1789-2020@1" in outcome.stderr


def test_editions_are_shown_with_their_state_on_a_day(run: Run) -> None:
    """Source: published: catalogue of the Belgian standards body, which shows EN 1789:2020 withdrawn on 2023-12-14."""
    before = run("register", "show", "EN 1789", "--on", "2023-12-13", "--country", "be").stdout
    after = run("register", "show", "EN 1789", "--on", "2023-12-14", "--country", "BE").stdout

    assert "EN 1789:2020  in force" in before
    assert "EN 1789:2020  withdrawn" in after


def test_a_day_past_what_is_known_says_so(run: Run) -> None:
    assert (
        "later than what this register knows"
        in run("register", "show", "EN 1789", "--on", "2031-01-01").stdout
    )


def test_a_standard_that_is_not_held_names_those_that_are(run: Run) -> None:
    outcome = run("register", "show", "EN 9999")

    assert outcome.exit_code == 2
    assert "EN 1789" in outcome.stderr


def test_its_code_is_its_own() -> None:
    with pytest.raises(UsageError) as caught:
        register.show_editions("EN 9999", date(2026, 1, 1), None)

    assert [problem.code for problem in caught.value.problems] == ["edition-not-held"]

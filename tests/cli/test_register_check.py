"""``register check``: what has to be read where, which packs are old, and what cannot be read at all."""

import json
from datetime import date
from pathlib import Path

import pytest

from evidence.cli import _waiting
from evidence.errors import InputError, UsageError
from evidence.model.names import DECIDING_MARKS
from tests.conftest import Run
from tests.record import support

TODAY = date(2026, 11, 25)


@pytest.fixture
def pack(tmp_path: Path) -> Path:
    """A pack of the user's own with one number from a secondary source and one demand from memory."""
    path = tmp_path / "sample@1.yaml"
    path.write_text(support.base("pack.yaml"), encoding="utf-8")
    return path


@pytest.fixture
def confirmation(tmp_path: Path) -> Path:
    """The confirmation of that number."""
    path = tmp_path / "own@1.yaml"
    path.write_text(support.base("confirmation.yaml"), encoding="utf-8")
    return path


def _awaited(*names: object) -> list[str]:
    looked = list(_waiting.look([str(name) for name in names], TODAY))
    return [one.requirement for each in looked for one in each.awaited]


def test_a_job_in_which_all_is_confirmed_has_nothing_to_read(
    run: Run, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1773000000")  # 2026-03-08, before any review

    outcome = run("register", "check", job)

    assert (outcome.exit_code, outcome.stderr) == (0, "")
    assert outcome.stdout == f"{job}: nothing to be confirmed, no pack past its review\n"


def test_a_job_says_what_has_to_be_read_where(run: Run, faulty_job: Path) -> None:
    outcome = run("register", "check", faulty_job)

    assert outcome.exit_code == 1
    lines = outcome.stdout.splitlines()
    at = lines.index("  SAE J3027 (2016-11), rear: Velocity change of the rear pulse")
    assert lines[at + 1].strip() == "sae-j3027-2016@1/rear/rear-velocity-change"
    assert (
        lines[at + 2].strip().startswith("read there: low limit, high limit. Known so far only as secondary")
    )
    assert lines[-1].startswith("Type what your own copy says with: sillmark register confirm")
    assert "9.5" not in outcome.stdout
    assert lines[0].endswith(": 12 demands to be confirmed, 0 packs past their review")


def test_what_only_another_route_asks_waits_for_nobody(job: Path) -> None:
    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    assert _awaited(job) == []

    record.write_text(text.replace("route: report", "route: certificate"), encoding="utf-8")

    assert _awaited(job) == [
        "en-1789-2020@1/5.3/certificate-present",
        "en-1789-2020@1/5.3/certificate-complete",
    ]


def test_a_source_that_says_memory_says_it_once(run: Run) -> None:
    text = run("register", "check", "en-1789-2020@1").stdout

    assert "Known so far only from memory of EN 1789" in text
    assert "from memory: from memory" not in text


def test_a_demand_without_number_is_confirmed_by_hand(run: Run, pack: Path) -> None:
    text = run("register", "check", pack).stdout

    assert "nothing to type; confirm it by hand with edition and page. Known so far only from memory" in text


def test_a_confirmation_beside_its_pack_counts(pack: Path, confirmation: Path) -> None:
    assert _awaited(pack) == ["sample@1/5.3/test-deceleration", "sample@1/5.3/certificate-present"]
    assert _awaited(pack, confirmation) == ["sample@1/5.3/certificate-present"]


def test_a_confirmation_alone_is_asked_about_the_pack_that_ships(run: Run, job: Path) -> None:
    outcome = run("register", "check", job / "packs" / "demo-confirmed@1.yaml")

    assert outcome.exit_code == 1
    assert "en-1789-2020@1/5.3/certificate-complete" in outcome.stdout
    assert "en-1789-2020@1/5.3/test-deceleration" not in outcome.stdout


def test_every_pack_that_ships_is_looked_through_without_a_name(run: Run) -> None:
    whole = json.loads(run("register", "check", "--json").stdout)
    named = _awaited("sae-j2956-2011@1", "sae-j2917-2016@1")

    assert {*named} <= {one["requirement"] for one in whole["awaited"]}
    assert not any(one["requirement"].startswith("common-practice") for one in whole["awaited"])
    assert not any(one["mark"] in DECIDING_MARKS for one in whole["awaited"])
    assert named == [
        "sae-j2917-2016@1/pulse/velocity-change",
        "sae-j2917-2016@1/pulse/corridor",
        "sae-j2917-2016@1/pulse/velocity-change-recomputed",
        "sae-j2956-2011@1/pulse/velocity-change",
        "sae-j2956-2011@1/pulse/corridor",
        "sae-j2956-2011@1/pulse/velocity-change-recomputed",
    ]


def test_a_pack_past_its_review_is_told(run: Run, job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1830000000")  # 2027-12

    outcome = run("register", "check", job)
    document = json.loads(run("register", "check", "--json", job).stdout)

    assert outcome.exit_code == 1
    assert "demo-confirmed@1 should have been looked through by 2027-03-01" in outcome.stdout
    assert "Type what your own copy says" not in outcome.stdout
    assert [one["pack"] for one in document["overdue"]] == [
        "en-1789-2020@1",
        "demo-confirmed@1",
        "common-practice@1",
    ]


def test_the_review_day_itself_is_in_time(pack: Path) -> None:
    on, after = (next(_waiting.look([str(pack)], date(2027, 5, day))).overdue for day in (1, 2))

    assert (len(on), len(after)) == (0, 1)


def test_a_pack_that_no_basis_names_is_told(run: Run, job: Path) -> None:
    (job / "packs" / "sample@1.yaml").write_text(support.base("pack.yaml"), encoding="utf-8")

    outcome = run("register", "check", job)

    assert outcome.exit_code == 1
    assert "sample@1 lies in packs/, and no basis in job.yaml names it" in outcome.stdout


def test_what_is_neither_pack_nor_file_nor_job_is_a_usage_error() -> None:
    with pytest.raises(UsageError) as caught:
        list(_waiting.look(["en-1789-2020@7"], TODAY))

    assert [problem.code for problem in caught.value.problems] == ["pack-not-found"]


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("confirmation-unknown", "test-deceleration", "test-speed"),
        ("confirmation-does-not-fit", "{low: 10.4 g}", "{at_least: 3}"),
        ("quantity-unit", "{low: 10.4 g}", "{low: 10.4 mm}"),
        ("field-unknown", "page: 12", "side: 12"),
        ("pack-empty", "kind: confirmation", "kind: practice"),
    ],
)
def test_a_confirmation_that_cannot_hold_is_unreadable_input(
    run: Run, pack: Path, confirmation: Path, code: str, old: str, new: str
) -> None:
    text = confirmation.read_text(encoding="utf-8")
    assert old in text
    confirmation.write_text(text.replace(old, new), encoding="utf-8")

    with pytest.raises(InputError) as caught:
        _awaited(pack, confirmation)

    assert code in {problem.code for problem in caught.value.problems}
    outcome = run("register", "check", pack, confirmation)
    assert outcome.exit_code == 3
    assert str(confirmation) in outcome.stderr


def test_a_file_named_twice_is_refused(pack: Path) -> None:
    with pytest.raises(InputError) as caught:
        _awaited(pack, pack)

    assert [problem.code for problem in caught.value.problems] == ["pack-twice"]


def test_a_folder_that_is_no_job_is_told(run: Run, tmp_path: Path) -> None:
    assert run("register", "check", tmp_path).exit_code == 3

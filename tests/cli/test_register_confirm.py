"""``register confirm``: numbers typed twice without sight of the pack's, stored with edition, page and person."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from evidence import confirming, jobs
from evidence.cli import cli
from evidence.errors import InputError, SillmarkError, UsageError
from evidence.model.names import Mark
from evidence.model.pack import Replacement
from evidence.phrases.register_en import REGISTER
from evidence.record import edit
from evidence.register import asking
from evidence.register.asking import Question
from evidence.register.resolve import resolve
from tests.conftest import ISSUED, Run
from tests.record import support

Confirm = Callable[..., Result]
DECELERATION = "en-1789-2020@1/5.3/test-deceleration"
CORRIDOR = "sae-j3044-2014@1/pulse/corridor"
ISSUED_DAY = ISSUED.date()
ORDER = confirming.Order(DECELERATION, "EN 1789:2020", 23, "w3")


@pytest.fixture
def open_job(job: Path) -> Path:
    """A job whose packs confirm nothing: every number still waits for a reader."""
    (job / "packs" / "demo-confirmed@1.yaml").unlink()
    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8").replace("demo-confirmed@1, ", "")
    record.write_text(
        text.replace("packs: [en-1789-2020@1", "packs: [sae-j3044-2014@1, en-1789-2020@1"), encoding="utf-8"
    )
    return job


@pytest.fixture
def confirm(home: Path, open_job: Path) -> Confirm:  # noqa: ARG001 - the environment must stand before a command runs
    """Run the command on the open job with lines typed."""

    def invoke(
        criterion: str, lines: str | bytes, edition: str = "EN 1789:2020", page: str = "23", by: str = "w3"
    ) -> Result:
        arguments = ["register", "confirm", str(open_job), criterion]
        options = ["--edition", edition, "--page", page, "--by", by]
        return CliRunner().invoke(cli, [*arguments, *options], input=lines, prog_name="sillmark")

    return invoke


def _limits(job: Path, requirement: str = DECELERATION) -> tuple[str | None, str | None, Mark]:
    loaded = jobs.load(job)
    packs = {reference: pack.text.pack for reference, pack in loaded.packs.items()}
    demands = resolve(loaded.record, loaded.profile, packs).criteria
    criterion = next(demand.criterion for demand in demands if demand.requirement == requirement)
    document = criterion.document()
    return document.get("low"), document.get("high"), criterion.mark


def test_a_typed_limit_rules_from_then_on(confirm: Confirm, open_job: Path) -> None:
    assert _limits(open_job) == ("10 g", None, Mark.SECONDARY)

    outcome = confirm("5.3/test-deceleration", "9,5 g\n9.5 g\n20 g\n20.0 g\n")

    assert outcome.exit_code == 0, outcome.output
    assert _limits(open_job) == ("9,5 g", "20 g", Mark.CONFIRMED)
    entry = jobs.load(open_job).packs["confirmed@1"].text.pack.confirmations[0]
    assert (entry.confirms, entry.edition, entry.page, entry.by, entry.typed) == (
        DECELERATION,
        "EN 1789:2020",
        23,
        "w3",
        "blind-twice",
    )


def test_nothing_of_the_packs_own_is_shown_before_everything_is_typed(confirm: Confirm) -> None:
    outcome = confirm(DECELERATION, "11 g\n11 g\nnone\nnone\n")

    assert "10 g" not in outcome.stderr
    assert "secondary" not in outcome.stderr
    assert "low limit: you typed 11 g; the pack holds 10 g, which DIFFERS" in outcome.stdout
    assert "high limit: you typed none; the pack holds none, which agrees" in outcome.stdout


def test_a_limit_typed_in_another_unit_agrees_by_value(confirm: Confirm) -> None:
    """98.0665 m/s2 is 10 g: published: CGPM, 3rd meeting, 1901, Paris."""
    outcome = confirm(DECELERATION, "98.0665 m/s²\n10 g\nnone\nnone\n")

    assert "you typed 98.0665 m/s²; the pack holds 10 g, which agrees" in outcome.stdout


def test_a_limit_that_the_copy_does_not_give_no_longer_holds(confirm: Confirm, open_job: Path) -> None:
    confirm("test-velocity-change", "29 km/h\n29 km/h\nnone\nnone\n")

    assert _limits(open_job, "en-1789-2020@1/5.3/test-velocity-change") == ("29 km/h", None, Mark.CONFIRMED)


def test_the_record_keeps_its_comments_and_names_the_pack_once(confirm: Confirm, open_job: Path) -> None:
    before = (open_job / "job.yaml").read_text(encoding="utf-8")

    first = confirm(DECELERATION, "9 g\n9 g\nnone\nnone\n")
    second = confirm("test-displacement", "none\nnone\n140 mm\n140 mm\n")

    after = (open_job / "job.yaml").read_text(encoding="utf-8")
    assert "job.yaml now names confirmed@1" in first.stdout
    assert "job.yaml now names" not in second.stdout
    assert after.replace(", confirmed@1]", "]") == before
    assert len(jobs.load(open_job).packs["confirmed@1"].text.pack.confirmations) == 2


def test_packs_listed_line_by_line_get_a_line(confirm: Confirm, open_job: Path) -> None:
    record = open_job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    lines = "packs:  # why these\n      - sae-j3044-2014@1\n      - en-1789-2020@1  # ours\n      - common-practice@1"
    start, end = text.index("  - {standard:"), text.index("\npeople:")
    block = f'  - standard: "EN 1789:2020"\n    stated_by: w3\n    {lines}\n    routes: [{{clause: "5.3", route: report}}]'
    record.write_text(text[:start] + block + text[end:], encoding="utf-8")

    outcome = confirm(DECELERATION, "9 g\n9 g\nnone\nnone\n")

    assert outcome.exit_code == 0, outcome.output
    assert "      - common-practice@1\n      - confirmed@1\n" in record.read_text(encoding="utf-8")
    assert "# ours" in record.read_text(encoding="utf-8")


def test_a_corridor_is_typed_point_by_point(confirm: Confirm, open_job: Path) -> None:
    upper, lower = "0,01 0\n0.06 0\nend\n", "0 -3\n0.03 \u22124,5\n0.1 -3\nend\n"

    outcome = confirm(CORRIDOR, upper * 2 + lower * 2, edition="SAE J3044_201406")

    assert outcome.exit_code == 0, outcome.output
    given = jobs.load(open_job).packs["confirmed@1"].text.pack.confirmations[0].replaces.document()
    assert given["upper"] == [{"x": "0.01", "y": "0"}, {"x": "0.06", "y": "0"}]
    assert given["lower"] == [{"x": "0", "y": "-3"}, {"x": "0.03", "y": "-4.5"}, {"x": "0.1", "y": "-3"}]
    assert "which DIFFERS" in outcome.stdout
    assert "-11" not in outcome.stderr


def test_a_list_is_typed_item_by_item_in_any_order(confirm: Confirm, open_job: Path) -> None:
    outcome = confirm("5.3/report-complete", "result\n?\nsignature\nend\nsignature\nresult\nEND\n")

    assert outcome.exit_code == 0, outcome.output
    given = jobs.load(open_job).packs["confirmed@1"].text.pack.confirmations[0].replaces.document()
    assert given["fields"] == ["result", "signature"]
    assert "peak-deceleration" in outcome.stderr  # all words, not those of the pack


def test_directions_are_typed_as_the_copy_names_them(confirm: Confirm) -> None:
    words = "frontal\nREAR\nlateral\nend\n"

    assert "which agrees" in confirm("directions-tested", words * 2).stdout


def test_a_slip_is_told_and_asked_for_again(confirm: Confirm, open_job: Path) -> None:
    outcome = confirm(DECELERATION, "10 mm\n9 g\n\n9 g\nnone\nnone\n")

    assert outcome.exit_code == 0, outcome.output
    assert "'mm' is not a unit for this value" in outcome.stderr
    assert "Nothing was typed." in outcome.stderr
    assert "entry:" not in outcome.stderr
    assert _limits(open_job)[0] == "9 g"


def test_two_typings_that_differ_are_asked_for_again(confirm: Confirm, open_job: Path) -> None:
    outcome = confirm(DECELERATION, "9 g\n19 g\n9 g\n9 g\nnone\nnone\n")

    assert outcome.exit_code == 0, outcome.output
    assert REGISTER["typed-differs"][0] in outcome.stderr
    assert _limits(open_job)[0] == "9 g"


def test_bytes_that_are_no_text_are_told(confirm: Confirm) -> None:
    outcome = confirm(DECELERATION, b"\xff\xfe\n")

    assert outcome.exit_code == 3
    assert REGISTER["typed-not-text"][0] in outcome.stderr


@pytest.mark.parametrize(
    ("code", "lines"),
    [
        ("input-ended", ""),
        ("input-ended", "9 g\n9 g\nnone\n"),
        ("typed-too-often", "9 g\n8 g\n" * 3),
        ("typed-too-often", "9 mm\n" * 3),
        ("typed-nothing", "none\n" * 4),
    ],
)
def test_what_was_not_typed_whole_leaves_the_job_as_it_was(
    confirm: Confirm, open_job: Path, code: str, lines: str
) -> None:
    before = sorted((path, path.read_bytes()) for path in open_job.rglob("*") if path.is_file())

    outcome = confirm(DECELERATION, lines)

    assert outcome.exit_code == 3
    assert REGISTER[code][0] in outcome.stderr
    assert "Nothing was changed" in outcome.stderr
    after = [
        (path, path.read_bytes()) for path in open_job.rglob("*") if path.is_file() and path.name != ".lock"
    ]
    assert sorted(after) == [entry for entry in before if entry[0].name != ".lock"]


@pytest.mark.parametrize(
    ("code", "order"),
    [
        ("criterion-unknown", confirming.Order("5.3/test-speed", "EN 1789:2020", 1, "w3")),
        ("criterion-ambiguous", confirming.Order("edition-tested", "EN 1789:2020", 1, "w3")),
        ("confirm-practice", confirming.Order("torque-tool-in-date", "EN 1789:2020", 1, "w3")),
        ("confirm-nothing-to-type", confirming.Order("5.3/certificate-present", "EN 1789:2020", 1, "w3")),
        ("person-not-recorded", confirming.Order(DECELERATION, "EN 1789:2020", 1, "w9")),
        ("edition-unreadable", confirming.Order(DECELERATION, "EN\u200b1789", 1, "w3")),
        ("edition-unreadable", confirming.Order(DECELERATION, "x" * 91, 1, "w3")),
        ("edition-unreadable", confirming.Order(DECELERATION, "", 1, "w3")),
        ("edition-of-another", confirming.Order(DECELERATION, "en 1789:2007+a2:2014", 1, "w3")),
    ],
)
def test_what_cannot_be_confirmed_is_refused_before_anything_is_asked(
    open_job: Path, code: str, order: confirming.Order
) -> None:
    record = open_job / "job.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("packs: [sae", "packs: [en-1789-2020-a1@1, sae", 1), encoding="utf-8")

    with pytest.raises(UsageError) as caught:
        confirming.target(jobs.load(open_job), order)

    assert [problem.code for problem in caught.value.problems] == [code]
    assert REGISTER[code][0].format_map(dict(caught.value.problems[0].parameters))


@pytest.mark.parametrize("page", ["x", "0", "", "-3", "1.5", "1234567", "\u0663"])
def test_a_page_is_a_number(confirm: Confirm, page: str) -> None:
    outcome = confirm(DECELERATION, "", page=page)

    assert outcome.exit_code == 2
    assert REGISTER["page-not-a-number"][0].format(found=page or "(nothing)") in outcome.stderr


def test_what_is_confirmed_is_not_confirmed_again(confirm: Confirm) -> None:
    confirm(DECELERATION, "9 g\n9 g\nnone\nnone\n")

    again = confirm(DECELERATION, "8 g\n8 g\nnone\nnone\n")

    assert again.exit_code == 2
    assert REGISTER["confirmed-already"][0].split("'")[2].split(",")[0] in again.stderr


@pytest.mark.parametrize("change", ["invented: yes\n", "standard"])
def test_a_pack_of_that_name_and_another_sort_is_left_alone(open_job: Path, change: str) -> None:
    path = open_job / "packs" / "confirmed@1.yaml"
    text = support.base("confirmation.yaml" if change.startswith("invented") else "pack.yaml")
    text = text.replace("id: sample-confirmed\n", "id: confirmed\n").replace(
        "id: sample\n", "id: confirmed\n"
    )
    path.write_text(text, encoding="utf-8")

    with pytest.raises(UsageError) as caught:
        confirming.store(open_job, ORDER, Replacement(low="9 g"), ISSUED_DAY)

    assert [problem.code for problem in caught.value.problems] == ["confirm-pack-unfit"]
    assert path.read_text(encoding="utf-8") == text


def test_a_record_that_cannot_be_edited_is_told_what_to_add(
    open_job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (open_job / "job.yaml").read_text(encoding="utf-8")

    def refuse(*_: object) -> str:
        raise InputError.one("edit-not-possible", "job.yaml")

    monkeypatch.setattr(edit, "name_pack", refuse)
    stored = confirming.store(open_job, ORDER, Replacement(low="9 g"), ISSUED_DAY)

    assert (stored.basis, stored.by_hand) == (None, "EN 1789:2020")
    assert (open_job / "job.yaml").read_text(encoding="utf-8") == before
    assert stored.pack.is_file()


@pytest.mark.parametrize(
    ("code", "question", "text"),
    [
        ("typed-empty", Question("fields", "complete"), "  "),
        ("typed-too-long", Question("allowed", "document.directions"), "x" * 91),
        ("typed-no-claim", Question("fields", "complete"), "signatures"),
        ("typed-no-point", Question("upper", "y", units=("s", "g")), "1"),
        ("typed-no-point", Question("upper", "y", units=("s", "g")), "1 2 3"),
        ("typed-no-point", Question("upper", "y", units=("s", "g")), "1 g"),
        ("count-unreadable", Question("at_least", "charging"), "ten"),
        ("text-control-character", Question("allowed", "document.directions"), "a\u202eb"),
    ],
)
def test_an_entry_of_another_form_says_why(code: str, question: Question, text: str) -> None:
    with pytest.raises(SillmarkError) as caught:
        asking.read_entry(question, text)

    assert [problem.code for problem in caught.value.problems] == [code]


@pytest.mark.parametrize(
    ("code", "entries"),
    [
        ("typed-list-empty", []),
        ("typed-points-unordered", [{"x": "1", "y": "0"}, {"x": "0", "y": "0"}]),
        ("typed-points-unordered", [{"x": "1", "y": "0"}]),
    ],
)
def test_a_list_is_looked_at_as_a_whole(code: str, entries: list[dict[str, str]]) -> None:
    with pytest.raises(SillmarkError) as caught:
        asking.complete(Question("upper", "y", units=("s", "g")), entries)

    assert [problem.code for problem in caught.value.problems] == [code]


def test_a_list_without_end_is_cut_off(confirm: Confirm) -> None:
    outcome = confirm("5.3/report-complete", "result\n" * 400)

    assert outcome.exit_code == 3
    assert REGISTER["typed-too-many"][0].format(limit="60") in outcome.stderr


@pytest.mark.parametrize("code", sorted(REGISTER))
def test_every_code_of_the_register_is_named_by_a_test_and_says_what_to_do(code: str) -> None:
    tests = Path(__file__).parent
    text = "".join(path.read_text(encoding="utf-8") for path in tests.glob("test_register*.py"))

    assert f'"{code}"' in text
    assert REGISTER[code][1].endswith(".")


def test_a_confirmed_limit_is_no_longer_open(confirm: Confirm, run: Run, open_job: Path) -> None:
    confirm(DECELERATION, "9 g\n9 g\nnone\nnone\n")

    text = run("check", open_job).stdout

    assert "Peak deceleration of the test" not in text.partition("Common practice")[0]

"""Verify: whose key, recomputing, what is left out, and what a verifier never does."""

import os
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from evidence import bundle, keys
from evidence.errors import ExitCode, InputError, Problem
from evidence.model.seal import Seal
from evidence.model.trust import TRUST_FORMAT, Trust
from evidence.model.verdict import Verdict
from evidence.phrases import verdicts_en
from evidence.seal import bag, layout, steps_content, verify
from evidence.seal.report import ENGLISH, document, lines
from evidence.seal.verdicts import BottomLine, VerdictCode
from tests.seal import factory
from tests.seal.factory import SIGNER, STRANGER, TODAY, TRUST, Forge, ask


def trust_with(**changes: Any) -> Trust:
    return Trust(format=TRUST_FORMAT, keys=(TRUST.keys[0].model_copy(update=changes),))


def codes(report: verify.VerifyReport) -> set[str]:
    return {code.value for code in report.codes}


def test_good_bundle_is_valid(sealed: Path) -> None:
    report = ask(sealed)
    assert report.bottom_line == BottomLine.VALID
    assert report.exit_code == ExitCode.CLEAR
    assert report.key == SIGNER.public.id
    assert [step.state for step in report.steps] == ["passed"] * 10 + ["not asked"]


def test_facts_stand_apart(copied: Path) -> None:
    (copied / "data/files/E001.jpg").write_bytes(b"x")
    report = ask(copied)
    assert (report.unchanged, report.signed, report.trusted) == (False, True, True)
    assert (report.well_formed, report.dossier_agrees, report.recomputed) == (False, False, None)


@pytest.mark.parametrize("trust", [None, Trust(format=TRUST_FORMAT, keys=())], ids=["no file", "no keys"])
def test_without_pinned_keys_the_signer_is_unknown(sealed: Path, trust: Trust | None) -> None:
    report = ask(sealed, trust=trust)
    assert codes(report) == {"UNTRUSTED"}
    assert report.bottom_line == BottomLine.INTACT_SIGNER_UNKNOWN
    assert report.exit_code == ExitCode.NOT_VERIFIED
    assert f"{SIGNER.public.id[:12]}…" in ENGLISH.sentence(report.findings[0])


def test_key_that_is_not_pinned_is_unknown(sealed: Path) -> None:
    report = ask(sealed, trust=Trust(format=TRUST_FORMAT, keys=(keys.entry_of(STRANGER.public),)))
    assert codes(report) == {"UNKNOWN_KEY"}
    assert report.bottom_line == BottomLine.INTACT_SIGNER_UNKNOWN
    assert report.exit_code == ExitCode.NOT_VERIFIED


def test_entry_with_the_right_id_and_another_key_pins_nothing(sealed: Path) -> None:
    report = ask(sealed, trust=trust_with(pem=STRANGER.public.pem.decode()))
    assert codes(report) == {"UNKNOWN_KEY"}


def test_integrity_only_asks_for_no_key(sealed: Path) -> None:
    report = ask(sealed, trust=None, integrity_only=True)
    assert report.bottom_line == BottomLine.INTACT
    assert report.exit_code == ExitCode.CLEAR
    assert report.steps[7].state == "not asked"


@pytest.mark.parametrize(
    ("changes", "as_of", "code", "found"),
    [
        ({"revoked": "2026-03-25"}, TODAY, "REVOKED", "2026-03-25"),
        ({"revoked": "2030-01-01"}, TODAY, "REVOKED", "2030-01-01"),
        ({"valid_until": "2026-03-25"}, TODAY, "EXPIRED", "2026-04-01"),
        ({"valid_until": "2026-03-19"}, date(2026, 3, 18), "EXPIRED", "2026-03-20"),
        ({"valid_from": "2026-03-21"}, TODAY, "EXPIRED", "2026-03-20"),
    ],
)
def test_key_not_in_force_is_never_valid(
    sealed: Path, changes: Mapping[str, str], as_of: date, code: str, found: str
) -> None:
    report = ask(sealed, trust=trust_with(**changes), as_of=as_of)
    assert codes(report) == {code}
    assert report.bottom_line == BottomLine.INTACT_KEY_NOT_VALID
    assert report.exit_code == ExitCode.NOT_VERIFIED
    assert found in ENGLISH.sentence(report.findings[0])


def test_key_in_force_on_its_last_day(sealed: Path) -> None:
    term = trust_with(valid_from="2026-03-20", valid_until="2026-04-01")
    assert ask(sealed, trust=term).bottom_line == BottomLine.VALID


def test_the_stricter_of_two_entries_counts(sealed: Path) -> None:
    both = Trust(format=TRUST_FORMAT, keys=(*TRUST.keys, *trust_with(revoked="2026-01-01").keys))
    assert codes(ask(sealed, trust=both)) == {"REVOKED"}


def test_recomputed_difference_is_named(sealed: Path) -> None:
    differing = Problem(
        "outcome-differs",
        "data/manifest.json",
        "/findings/0",
        {"requirement": "en@1/1/a", "subject": "p1", "found": "not met", "expected": "met"},
    )
    report = ask(sealed, recompute=lambda _: (differing,))
    assert codes(report) == {"RECOMPUTE_DIFFERS"}
    assert report.bottom_line == BottomLine.NOT_VERIFIED
    said = "(field findings, entry 1; requirement: en@1/1/a; asked of: p1; sealed: not met; recomputed: met)"
    assert said in ENGLISH.sentence(report.findings[0])


def test_recompute_sees_the_bag_and_passes(sealed: Path) -> None:
    seen: list[str] = []

    def recompute(view: bag.BagView) -> Sequence[Problem]:
        seen.extend(view.sizes)
        return ()

    assert ask(sealed, recompute=recompute).steps[10].state == "passed"
    assert layout.MANIFEST_PATH in seen


def test_other_judging_rules_are_a_notice(tmp_path: Path) -> None:
    Forge(edit_seal=lambda seal: {**seal, "judge": 2}).write(tmp_path)
    differing = Problem("outcome-differs", "data/manifest.json")
    report = ask(tmp_path, recompute=lambda _: (differing,))
    assert report.exit_code == ExitCode.CLEAR
    assert [(each.code.value, each.notice) for each in report.findings] == [
        ("RECOMPUTE_DIFFERS", True),
        ("JUDGE_DIFFERS", True),
    ]


@pytest.mark.parametrize(
    ("code", "verdict", "exit_code"),
    [
        ("recompute-extra-missing", "ITEM_NOT_RECOMPUTED", ExitCode.TOOL_MISSING),
        ("recompute-sealed-unread", "ITEM_SEALED_UNREAD", ExitCode.CLEAR),
        ("recompute-people-withheld", "ITEM_PERSONAL_WITHHELD", ExitCode.CLEAR),
        ("recompute-codes-unread", "ITEM_CODES_UNREAD", ExitCode.CLEAR),
    ],
)
def test_an_item_that_could_not_be_recomputed_is_told(
    sealed: Path, code: str, verdict: str, exit_code: ExitCode
) -> None:
    """Neither agreement nor difference; where an extra would help, the exit code says so."""
    unread = Problem(code, "data/items/E001.json", "", {"found": "E001"})
    report = ask(sealed, recompute=lambda _: (unread,))

    assert [(each.code.value, each.notice) for each in report.findings] == [(verdict, True)]
    assert (report.bottom_line.value, report.exit_code) == ("VALID", exit_code)


def test_a_missing_extra_hides_no_difference(sealed: Path) -> None:
    """What differs beside it still counts."""
    found = (Problem("recompute-extra-missing", "a"), Problem("recompute-finding", "data/manifest.json"))

    assert ask(sealed, recompute=lambda _: found).exit_code == ExitCode.NOT_VERIFIED


def test_nothing_signed_is_parsed_before_the_signature_holds(copied: Path) -> None:
    """A bundle with unsigned content hands nothing to the readers of content."""

    def never(*_: object) -> Any:
        raise AssertionError("called")

    (copied / "data/manifest.json").write_bytes(b"{}")
    question = bag.Question(trust=TRUST, as_of=TODAY, judge=1)
    report = verify.verify(bundle.open_view(copied), question, bag.Helpers(never, never, never))
    assert [step.name for step in report.steps if step.state == "skipped"] == [
        "parse",
        "schema",
        "leaves",
        "chain",
        "dossier",
        "recompute",
    ]


def test_file_swapped_after_its_sum_was_taken(copied: Path) -> None:
    class Swapping(bundle.FolderView):
        def read(self, path: str, cap: int) -> bytes:
            content = super().read(path, cap)
            return content.replace(b"met", b"mat") if path == "data/manifest.json" else content

    question = bag.Question(trust=TRUST, as_of=TODAY, judge=1)
    with pytest.raises(InputError, match=r"data/manifest\.json: changed-while-read"):
        verify.verify(Swapping(copied), question, factory.helpers())


def test_verifying_changes_nothing(copied: Path) -> None:
    def state() -> dict[str, tuple[int, int, bytes]]:
        paths = [path for path in sorted(copied.rglob("*")) if path.is_file()]
        return {
            str(path): (path.stat().st_mtime_ns, path.stat().st_ctime_ns, path.read_bytes()) for path in paths
        }

    before = state()
    ask(copied)
    assert state() == before


def test_caps_are_those_of_the_kind_of_file() -> None:
    caps = bag.Caps(file=1, tag=2, signature=3, json=4, dossier=5)
    paths = (
        "data/files/x.json",
        "bagit.txt",
        layout.SIGNATURE_PATH,
        "data/people/w1.json",
        "data/dossier.en.pdf",
    )
    assert [caps.of(path) for path in paths] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("caps", "where"),
    [(bag.Caps(files=5), "."), (bag.Caps(bag=1000), "."), (bag.Caps(json=100), "data/manifest.json")],
)
def test_too_large_stops_before_anything_is_read(sealed: Path, caps: bag.Caps, where: str) -> None:
    question = bag.Question(trust=TRUST, as_of=TODAY, judge=1, caps=caps)
    report = verify.verify(bundle.open_view(sealed), question, factory.helpers())
    assert codes(report) == {"TOO_LARGE"}
    assert where in {each.where for each in report.findings}
    assert {step.state for step in report.steps[1:10]} == {"skipped"}


def test_every_verdict_has_its_words() -> None:
    assert set(ENGLISH.verdicts) == {code.value for code in VerdictCode}
    assert set(ENGLISH.bottom_lines) == {line.value for line in BottomLine}
    assert set(ENGLISH.steps) == {name for name, _, _ in verify.STEPS}
    for sentence, hint in ENGLISH.verdicts.values():
        assert sentence.endswith((".", ".}"))
        assert hint.endswith(".")


def test_document_is_its_own_format(copied: Path) -> None:
    (copied / "data/files/E001.jpg").unlink()
    answer = document(ask(copied), "somewhere").document()
    assert Verdict.read(answer).document() == answer
    assert (answer["format"], answer["exit"], answer["bottom_line"]) == (
        "sillmark-verdict/0",
        4,
        "NOT_VERIFIED",
    )
    assert [step["n"] for step in answer["steps"]] == list(range(1, 12))
    problem = answer["steps"][1]["problems"][0]
    assert (problem["code"], problem["where"]) == ("FILE_MISSING", "data/files/E001.jpg")
    assert "data/files/E001.jpg" in problem["text"]


def test_lines_end_with_the_bottom_line(sealed: Path) -> None:
    text = lines(ask(sealed), "AMB-0417/0000-build")
    assert text[0] == "AMB-0417/0000-build"
    assert text[1] == "  1  Size: ok"
    assert text[-2] == f"Key {SIGNER.public.id}"
    assert text[-1].startswith("Unchanged since sealing and signed by a key that you have pinned")


def test_names_from_the_bundle_cannot_command_a_terminal(copied: Path) -> None:
    (copied / "data" / "\x1b[2J.jpg").write_bytes(b"x")
    text = "\n".join(lines(ask(copied), "bundle"))
    assert "\x1b" not in text
    assert r"\x1b[2J.jpg" in text


def test_seal_of_the_program_is_that_of_the_format(sealed: Path) -> None:
    seal = Seal.model_validate_json((sealed / "seal/seal.json").read_bytes())
    assert (seal.evidence.count, seal.personal.count) == (len(factory.payload()) - 6, 6)


@pytest.mark.parametrize("step", [steps_content.chain, steps_content.recompute])
def test_a_step_without_its_ground_does_not_pass(
    step: Callable[[bag.Progress], object], sealed: Path
) -> None:
    question = bag.Question(trust=TRUST, as_of=TODAY, judge=1)
    with pytest.raises(ValueError, match="runs only"):
        step(bag.Progress(bundle.open_view(sealed), question, factory.helpers()))


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
def test_unreadable_file_is_an_input_error(copied: Path) -> None:
    (copied / "data/files/E001.jpg").chmod(0)
    with pytest.raises(InputError, match="file-unreadable"):
        ask(copied)


def test_every_problem_code_of_sealing_has_its_words() -> None:
    package = Path(bundle.__file__).parent
    sources = [
        *(package / "files").glob("*.py"),
        *(package / name for name in ("keys.py", "bundle.py", "verifying.py")),
        *(package / "seal").glob("*.py"),
    ]
    raised = {
        code
        for source in sources
        for code in re.findall(r'(?:one|Problem)\(\s*"([a-z0-9]+(?:-[a-z0-9]+)+)"', source.read_text())
    }
    elsewhere = {"bundle-exists", "schema-mismatch"}
    assert raised - elsewhere <= set(verdicts_en.PROBLEMS)
    assert {"key-permissions", "file-too-large", "path-collision"} <= raised
    for sentence, hint in verdicts_en.PROBLEMS.values():
        assert sentence.endswith(".")
        assert hint.endswith(".")

"""Every reason has a sentence whose fields are always there, is used by the judge and asserted by a test."""

import ast
import string
from pathlib import Path

import pytest

from evidence import judge
from evidence.judge.codes import CONTRADICTION_CODES, REASON_CODES, all_codes, because
from evidence.model.names import Role
from evidence.phrases.contradictions_en import CONTRADICTIONS
from evidence.phrases.reasons_en import REASONS
from tests.judge.builders import ask, asking, case

HERE = Path(__file__).parent
ROLE_CODES = {f"missing-{role.value}" for role in Role}


def literals(folder: Path, *, without: str) -> set[str]:
    return {
        node.value
        for path in sorted(folder.rglob("*.py"))
        if path.name != without
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_the_list_holds_every_code_once() -> None:
    assert all_codes() == tuple(sorted({*REASON_CODES, *CONTRADICTION_CODES}))
    assert len(all_codes()) == len(REASON_CODES) + len(CONTRADICTION_CODES)


@pytest.mark.parametrize(
    ("sentences", "codes"),
    [(REASONS, REASON_CODES), (CONTRADICTIONS, CONTRADICTION_CODES)],
    ids=["reasons", "rules"],
)
def test_every_code_has_a_sentence_that_names_only_what_is_promised(
    sentences: dict[str, str], codes: dict[str, tuple[str, ...]]
) -> None:
    assert set(sentences) == set(codes)
    for code, sentence in sentences.items():
        fields = {field for _, field, _, _ in string.Formatter().parse(sentence) if field}
        assert fields <= set(codes[code]), code
        assert sentence.endswith("."), code


def test_every_code_is_raised_in_the_judge_and_asserted_by_a_test() -> None:
    raised = literals(Path(judge.__file__).parent, without="codes.py")
    asserted = literals(HERE, without="test_codes.py")

    assert set(REASON_CODES) - ROLE_CODES - raised == set()
    assert set(REASON_CODES) - ROLE_CODES - asserted == set()


@pytest.mark.parametrize("role", Role)
def test_what_is_missing_says_what_to_do_for_each_role(role: Role) -> None:
    found = ask(asking("present", evidence_from=[role.value]), case())

    assert found.reason.code == f"missing-{role.value}"
    assert REASONS[found.reason.code].format_map(found.reason.parameters)


def test_no_sentence_calls_a_vehicle_compliant_or_certified() -> None:
    # the papers may be called certificates; what the tool says of a vehicle may not
    words = " ".join((*REASONS.values(), *CONTRADICTIONS.values())).lower()

    assert not [word for word in ("compliant", "complies", "certified", "approved by") if word in words]


def test_an_unknown_code_or_an_absent_parameter_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="no-such-code"):
        because("no-such-code")
    with pytest.raises(ValueError, match="evidence-there"):
        because("evidence-there")

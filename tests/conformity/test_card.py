"""Work cards and tickets against PDF/A-3b (ISO 19005-3) and PDF/UA-1 (ISO 14289-1)."""

from pathlib import Path

from evidence.card import card, tickets
from evidence.phrases import say
from evidence.typeset import Typesetter
from tests.card.builders import demo_profile, record, source, straining
from tests.card.test_print import ISSUED
from tests.conformity.validator import Validator

MANY_CHECKS = 500  # a validator that looked at the pages makes hundreds of checks


def test_card_and_tickets_pass_both_standards(validator: Validator, tmp_path: Path) -> None:
    # independent check: the veraPDF validation core, its own profiles for ISO 19005-3 and ISO 14289-1
    sheets = {
        "demo": card(source(demo_profile())),
        "long": card(source(straining(), 2, "us-letter")),
        "tickets": tickets(record(2), "a4", say),
    }
    paths = []
    with Typesetter() as typesetter:
        for name, data in sheets.items():
            paths.append(tmp_path / f"{name}.pdf")
            paths[-1].write_bytes(typesetter.sheets("card", data, ISSUED))
    reports = validator.check(*paths)

    assert len(reports) == 2 * len(paths)
    for key, report in reports.items():
        assert report.verdict == "PASS", (key, report.broken)
        assert report.checks > MANY_CHECKS, key

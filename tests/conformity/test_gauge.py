"""Gauge cards against PDF/A-3b (ISO 19005-3) and PDF/UA-1 (ISO 14289-1)."""

from pathlib import Path

from evidence.card.gauge import SOURCES, GaugeOrder, gauge_sheet
from evidence.phrases import say
from evidence.typeset import Typesetter
from tests.card.test_print import ISSUED
from tests.conformity.validator import Validator

MANY_CHECKS = 500  # a validator that looked at the pages makes hundreds of checks


def test_the_card_passes_both_standards(validator: Validator, tmp_path: Path) -> None:
    # independent check: the veraPDF validation core, its own profiles for ISO 19005-3 and ISO 14289-1
    orders = {"a4": GaugeOrder("GC-007", "a4", ISSUED), "letter": GaugeOrder(None, "us-letter", ISSUED)}
    paths = []
    with Typesetter() as typesetter:
        for name, order in orders.items():
            paths.append(tmp_path / f"{name}.pdf")
            paths[-1].write_bytes(typesetter.sheets(SOURCES, gauge_sheet(order, say), ISSUED))
    reports = validator.check(*paths)

    assert len(reports) == 2 * len(paths)
    for key, report in reports.items():
        assert report.verdict == "PASS", (key, report.broken)
        assert report.checks > MANY_CHECKS, key

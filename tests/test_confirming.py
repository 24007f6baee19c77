"""A confirmation that was killed between the pack and the record is finished by the same order."""

from pathlib import Path

import pytest

from evidence import confirming, files, jobs
from evidence.errors import InputError
from evidence.model.pack import Replacement
from tests.cli.test_sort_and_move import Killed, killing
from tests.conftest import ISSUED

ORDER = confirming.Order("en-1789-2020@1/5.3/test-deceleration", "EN 1789:2020", 23, "w3")
GIVEN = Replacement(low="9 g")


@pytest.fixture
def half_done(job: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A job whose confirmation pack was written and not named."""
    (job / "packs" / "demo-confirmed@1.yaml").unlink()
    record = job / "job.yaml"
    text = record.read_text(encoding="utf-8").replace("demo-confirmed@1, ", "")
    record.write_text(text, encoding="utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(files, "write_file", killing(1, files.write_file))
        with pytest.raises(Killed):
            confirming.store(job, ORDER, GIVEN, ISSUED.date())
    assert "confirmed@1" not in jobs.load(job).packs
    return job


def test_the_same_order_only_names_the_pack(half_done: Path) -> None:
    pack = half_done / "packs" / "confirmed@1.yaml"
    before = pack.read_bytes()

    stored = confirming.store(half_done, ORDER, GIVEN, ISSUED.date())

    assert stored.basis == "EN 1789:2020"
    assert pack.read_bytes() == before
    assert len(jobs.load(half_done).packs["confirmed@1"].text.pack.confirmations) == 1


def test_another_number_for_the_same_demand_is_refused(half_done: Path) -> None:
    with pytest.raises(InputError) as caught:
        confirming.store(half_done, ORDER, Replacement(low="8 g"), ISSUED.date())

    assert {problem.code for problem in caught.value.problems} == {"confirmation-twice"}

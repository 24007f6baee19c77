"""Sorting a dump: what is filed already is never told as left over, and an interrupt ends the readers at once."""

import time
from datetime import timedelta
from pathlib import Path

import pytest

from evidence import inbox, jsondoc
from evidence.errors import InputError
from evidence.exhibits import GUARDED
from evidence.guard import Guard
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, snap, ticket


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """A folder with one job, AMB-0001."""
    base = tmp_path / "base"
    given = ["--pack", "en-1789-2020@1", "--build", "BW-1", "--vin", "0BW2231TARN000001", "--at", AT]
    assert run("start", base, "--profile", DEMO / "job" / "profile.yaml", *given).exit_code == 0
    return job_folder(base, tmp_path / "jobs", 1).parent


def test_a_filed_file_that_cannot_be_read_again_is_not_told_as_left(
    run: Run, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = tmp_path / "phone"
    snap(phone / "1.jpg", 1, [ticket(1)], DAY)
    assert run("add", phone, "--sort", shop, "--at", AT).exit_code == 0
    snap(phone / "2.jpg", 2, [], DAY + timedelta(minutes=1))
    real = inbox._read_again

    def failing(dump: inbox._Dump, path: str) -> bytes:
        if path == "1.jpg":
            raise InputError.one("file-unreadable", path)
        return real(dump, path)

    monkeypatch.setattr(inbox, "_read_again", failing)
    outcome = run("add", phone, "--sort", shop, "--at", AT)

    left = outcome.stdout[outcome.stdout.index("Not placed") :]
    assert "2.jpg" in left
    assert "1.jpg" not in left
    assert "There before: 1. Not placed: 1." in left


def test_an_interrupt_does_not_wait_for_what_is_being_read(tmp_path: Path) -> None:
    data = snap(tmp_path / "1.jpg", 1).read_bytes()
    dump = inbox._Dump(tmp_path, {"1.jpg": jsondoc.digest(data)})
    readers = dict.fromkeys(GUARDED, "tests.exhibits.readers:hang")
    tools = inbox.Tools(lambda: Guard(readers=readers), lambda *_, **__: None)
    started = time.monotonic()

    with pytest.raises(KeyboardInterrupt), inbox._pool(tools) as pool:  # noqa: PT012 - it comes while a file is read
        reading = [pool._threads.submit(pool._one, dump, "1.jpg", "codes") for _ in range(5)]
        time.sleep(1)
        assert not any(each.done() for each in reading)
        raise KeyboardInterrupt

    assert time.monotonic() - started < 20  # the reader itself would be given a minute and a half

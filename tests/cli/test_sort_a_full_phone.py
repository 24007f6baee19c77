"""A whole phone: three hundred photos of six vehicles, and what of it stays behind."""

from datetime import timedelta
from pathlib import Path

from evidence import jobs
from tests.conftest import AT, DEMO, Run
from tests.phone import DAY, job_folder, serial, snap, ticket, vin

VEHICLES = range(1, 7)
EACH = 50
STRAY = 3  # photos of no vehicle here


def dump(phone: Path) -> None:
    """Fifty photos a minute apart of each vehicle, a ticket in every eighth; then three that belong nowhere."""
    for number in VEHICLES:
        for index in range(EACH):
            codes = [ticket(number)] if index % 8 == 0 else []
            codes = [f"HERON 2 SN {serial(number, 'p1')}"] if index == 1 else codes
            codes = [f"VIN {vin(number)}"] if index == EACH - 1 else codes
            taken = DAY + timedelta(minutes=number * 70 + index)
            snap(phone / f"IMG_{number * 100 + index:04d}.jpg", number * 100 + index, codes, taken)
    snap(phone / "IMG_9001.jpg", 9001, [ticket(77)], DAY + timedelta(minutes=125))
    snap(phone / "IMG_9002.jpg", 9002, [], DAY)
    snap(phone / "IMG_9003.jpg", 9003, [ticket(1), ticket(2)], DAY + timedelta(minutes=130))


def test_three_hundred_photos_of_six_vehicles(run: Run, tmp_path: Path) -> None:
    """Every photo goes to its own vehicle, and what belongs to none stays and says why."""
    base, shop, phone = tmp_path / "base", tmp_path / "jobs", tmp_path / "phone"
    given = ["--profile", DEMO / "job" / "profile.yaml", "--pack", "en-1789-2020@1", "--at", AT]
    assert run("start", base, *given, "--build", "BW-1", "--vin", vin(1)).exit_code == 0
    folders = {number: job_folder(base, shop, number) for number in VEHICLES}
    dump(phone)

    outcome = run("add", phone, "--sort", shop, "--at", AT)

    assert outcome.exit_code == 1, outcome.output
    assert f"Not placed: {STRAY}." in outcome.stdout
    for name in ("IMG_9001.jpg", "IMG_9002.jpg", "IMG_9003.jpg"):
        assert f"{name}: " in outcome.stdout
    for number, folder in folders.items():
        job = jobs.load(folder)
        assert job.people is not None
        names = {entry.id: entry.name for entry in job.people.file_names}
        shot = {int(Path(names[entry.id]).stem.removeprefix("IMG_")) // 100 for entry in job.filed()}
        assert len(job.filed()) == EACH
        assert shot == {number}  # nothing of another vehicle

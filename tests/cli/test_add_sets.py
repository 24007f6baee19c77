"""``add`` of measured channels: folder, zip or table; said at once, kept whole, and nothing lost when something is wrong."""

import json
import re
import shutil
import zipfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from evidence import jobs
from tests.conftest import AT, DEMO, Run
from tests.exhibits.mme_files import BELT, SLED, channel, listing, sine, sled_set, zipped
from tests.lab import demo, runs
from tests.lab.logs import pull_table

RUN = demo.SAE_RUNS["E023"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of a sled run as a laboratory hands it over, with a film and a paper."""
    return lay(tmp_path / "from-the-laboratory", runs.run_files(RUN)) / RUN.number


def lay(target: Path, members: list[tuple[str, bytes]]) -> Path:
    top = members[0][0].split("/")[0]
    for name, data in [*members, (f"{top}/Movie/a.avi", b"film"), (f"{top}/Report.pdf", b"%PDF-")]:
        (target / name).parent.mkdir(parents=True, exist_ok=True)
        (target / name).write_bytes(data)
    return target


def added(run: Run, job: Path, source: Path, *more: str) -> str:
    outcome = run("add", job, source, "--as", "test-channel", "--at", AT, *more)
    assert outcome.exit_code == 0, outcome.output
    return outcome.stdout


def last_file(job: Path) -> Path:
    return job / str(jobs.load(job).record.exhibits[-1].file)


def test_a_folder_is_filed_as_one_zip_of_its_channels(run: Run, job: Path, folder: Path) -> None:
    told = added(run, job, folder)

    assert f'5 channels of the test "{RUN.title}"' in told
    assert "2000 samples every 0.0001 s, from -0.05 s to 0.1499 s" in told
    assert re.search(
        r"1  S0SLED000000ACY0  from -22\.\d+ to 0\.\d+ g, farthest from zero at 0\.0\d+ s; recorded unfiltered",
        told,
    )
    assert "Left out, because they are no channels: Movie/a.avi, Report.pdf." in told
    assert "named as another sort" not in told
    assert last_file(job).suffix == ".zip"
    with zipfile.ZipFile(last_file(job)) as archive:
        names = archive.namelist()
    assert names == sorted(names)
    assert [name for name in names if name.endswith((".avi", ".pdf"))] == []
    log = [json.loads(line) for line in (job / "intake.jsonl").read_text(encoding="utf-8").splitlines()]
    assert log[-1]["event"] == "add"
    assert f"name: {RUN.number}" in (job / "people.yaml").read_text(encoding="utf-8").splitlines()[-1]


def test_a_zip_is_copied_as_it_is(run: Run, job: Path, tmp_path: Path) -> None:
    source = tmp_path / "from the laboratory.zip"
    source.write_bytes(zipped(runs.run_files(RUN)))

    told = added(run, job, source)

    assert f'5 channels of the test "{RUN.title}"' in told
    assert last_file(job).read_bytes() == source.read_bytes()


def test_the_header_names_its_folder_and_the_same_set_is_not_filed_twice(
    run: Run, job: Path, folder: Path
) -> None:
    added(run, job, folder / f"{RUN.number}.mme")

    outcome = run("add", job, folder, "--as", "test-channel", "--at", AT)

    assert outcome.exit_code == 2
    assert "is filed as" in outcome.stderr


def test_the_entry_that_is_offered_can_be_completed_and_is_read(run: Run, job: Path, folder: Path) -> None:
    record = (job / "job.yaml").read_text(encoding="utf-8")
    untested = re.sub(r"(?ms)^tests:\n.*?^(?=\w)", "", record)
    (job / "job.yaml").write_text(untested, encoding="utf-8")
    told = added(run, job, folder)
    entry = told[told.index("\ntests:") + 1 : told.index("\nIf a report")]
    assert "{use: pulse, name: S0SLED000000ACY0}" in entry
    assert (
        "{use: occupant, name: 11CHST0000H3ACY0}" in entry
    )  # of the three, the one in the sled's own direction
    assert "could stand there instead: 11CHST0000H3ACX0, 11CHST0000H3ACZ0" in entry
    entry = entry[: entry.index("\nEach use")]
    text = (job / "job.yaml").read_text(encoding="utf-8")
    assert "tests:" not in re.findall(r"(?m)^\w+:", text)  # nothing is written that nobody decided

    def written(whole: str) -> str:
        place = text.index("\nexhibits:") + 1
        (job / "job.yaml").write_text(f"{text[:place]}{whole}\n{text[place:]}", encoding="utf-8")
        outcome = run("check", job)
        return outcome.output if outcome.exit_code == 3 else ""

    incomplete = written(entry)
    assert "<frontal, rear, side, up or down>" in incomplete
    complete = entry.replace("<frontal, rear, side, up or down>", "side")
    complete = complete.replace("<excursion or displacement>", "excursion")
    assert written(complete) == ""
    (test,) = jobs.load(job).record.tests
    assert (test.direction, test.exhibit, len(test.channels)) == (
        "side",
        jobs.load(job).record.exhibits[-1].id,
        3,
    )
    other = added(
        run, job, lay(folder.parents[1] / "b", runs.run_files(demo.SAE_RUNS["E024"])) / "MTH-15-031-R"
    )
    assert "at the end of tests" in other
    assert f"- id: t{int(test.id[1:]) + 1}" in other


def test_a_set_with_faults_is_filed_and_told_with_file_and_line(run: Run, job: Path, tmp_path: Path) -> None:
    wrong = channel(sine(3000), code=BELT, unit="N", First_global_maximum_value="99")
    members = sled_set(channel(sine(-200)), wrong, codes=[SLED, BELT, "S0SLED000000ACY0"])
    source = lay(tmp_path / "lab", members) / "T1"

    outcome = run("add", job, source, "--as", "test-channel", "--at", AT)

    assert outcome.exit_code == 0
    assert f"{source}/Channel/T1.002:12: The header says 99; the samples say 3000" in outcome.stderr
    assert f"{source}/Channel/T1.chn:5: The list names channel 003" in outcome.stderr
    assert (
        f"It is filed all the same. Nothing is judged on a channel that contradicts itself: {BELT}."
        in outcome.stderr
    )
    assert "{use: force" not in outcome.stdout  # what contradicts itself is not offered
    assert last_file(job).name.endswith(".zip")


def test_a_table_with_times_is_told_as_channels(run: Run, job: Path, tmp_path: Path) -> None:
    source = tmp_path / "pull.csv"
    source.write_bytes(pull_table(replace(demo.PULL, seed=demo.PULL.seed + 1), comma=True))

    outcome = run("add", job, source, "--as", "pull-log", "--at", AT)

    assert outcome.exit_code == 0
    assert "2 channels over time" in outcome.stdout
    assert "kind: static-pull" in outcome.stdout
    assert "{use: displacement, name: displacement}" in outcome.stdout
    assert last_file(job).suffix == ".csv"


def test_a_table_without_times_is_filed_as_before(run: Run, job: Path, tmp_path: Path) -> None:
    source = tmp_path / "release.csv"
    source.write_bytes((DEMO / "job/tests/E014.csv").read_bytes() + b"50,5;700,0\n")

    told = added(run, job, source)

    assert "table of" in told
    assert "over time" not in told
    assert "tests:" not in told


def test_a_set_with_many_channels_is_told_in_few_lines(run: Run, job: Path, tmp_path: Path) -> None:
    codes = [f"11CHST{at:04d}H3ACX0" for at in range(30)]
    members = sled_set(*[channel(sine(-200), code=code) for code in codes], codes=codes)

    told = added(run, job, lay(tmp_path / "lab", members) / "T1")

    assert "and 18 more" in told
    assert told.count("recorded unfiltered") == 12
    assert told.count("{use: ") == 1
    assert told.count("11CHST0029H3ACX0") == 0


def test_channels_without_a_code_are_named_by_their_place(run: Run, job: Path, tmp_path: Path) -> None:
    plain = channel(sine(-200), code=None, Name_of_the_channel="Sled of Ada Fitter")
    members = sled_set(plain, codes=["none"])[2:]

    told = added(run, job, lay(tmp_path / "lab", members) / "T1")

    assert "1 channel; no header names the test" in told
    assert "{use: <pulse or occupant>, name: 1}" in told


@pytest.mark.parametrize(
    ("members", "code"),
    [
        ([("T1/photo.jpg", b"x")], "No set of channels"),
        ([*sled_set(channel(sine(-200))), ("T1/T2.mme", b"Title: another")], "More than one test"),
        ([("T1/T1.mme", b"Title: x"), ("T1/Channel/T1.chn", listing(SLED))], "its file is not there"),
        ([("T1/T1.mme", b"Title: x")], "The set has no channel file"),
        ([("T1/T1.001", b"")], "No set of channels"),
        ([("T1/T1.mme", b"Title: x"), ("T1/T1.001", b"Unit: N\n1\nx\n")], "found x"),
    ],
)
def test_what_is_no_set_is_refused_and_changes_nothing(
    run: Run, job: Path, tmp_path: Path, members: list[tuple[str, bytes]], code: str
) -> None:
    before = {path: path.read_bytes() for path in job.rglob("*") if path.is_file()}

    outcome = run("add", job, lay(tmp_path / "lab", members) / "T1", "--as", "test-channel", "--at", AT)

    assert outcome.exit_code == 3
    assert code in outcome.stderr
    after = {path: path.read_bytes() for path in job.rglob("*") if path.is_file() and path.name != ".lock"}
    assert after == {path: data for path, data in before.items() if path.name != ".lock"}


def test_a_good_file_beside_a_bad_one_is_filed(run: Run, job: Path, folder: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.zip"
    bad.write_bytes(zipped([*sled_set(channel(sine(-200))), ("../x.001", b"1")]))

    outcome = run("add", job, bad, folder, "--as", "test-channel", "--at", AT)

    assert outcome.exit_code == 3
    assert "names a file in a way" in outcome.stderr
    assert "1 of 2 filed" in outcome.stderr
    assert last_file(job).suffix == ".zip"


def test_a_folder_is_no_photo(run: Run, job: Path, folder: Path) -> None:
    outcome = run("add", job, folder, "--as", "overview", "--at", AT)

    assert outcome.exit_code == 3
    assert "no plain file" in outcome.stderr


def test_a_set_is_no_torque_log(run: Run, job: Path, tmp_path: Path) -> None:
    source = tmp_path / "set.zip"
    source.write_bytes(zipped(runs.run_files(RUN)))

    outcome = run("add", job, source, "--as", "torque-log", "--at", AT)

    assert outcome.exit_code == 3
    assert "takes a document, table; this is a channels" in outcome.stderr


def test_a_lost_set_comes_back_from_its_folder(run: Run, job: Path, folder: Path) -> None:
    added(run, job, folder)
    lost = last_file(job)
    data = lost.read_bytes()
    lost.unlink()

    told = added(run, job, folder)

    assert "was missing and is back" in told
    assert lost.read_bytes() == data


def test_a_set_moves_to_another_job(run: Run, job: Path, folder: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(DEMO / "job-with-faults", tmp_path / "jobs" / "AMB-0520"))
    added(run, job, folder)
    exhibit, data = jobs.load(job).record.exhibits[-1].id, last_file(job).read_bytes()

    outcome = run("move", job, exhibit, "--to", other, "--for", "p1", "--reason", "wrong-vehicle", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert exhibit not in {entry.id for entry in jobs.load(job).record.exhibits}
    assert last_file(other).read_bytes() == data


def test_two_runs_at_once_file_both(run: Run, job: Path, tmp_path: Path) -> None:
    sources = [lay(tmp_path / name, runs.run_files(demo.SAE_RUNS[name])) for name in ("E022", "E024")]
    folders = [next(source.iterdir()) for source in sources]
    before = len(jobs.load(job).record.exhibits)
    del run  # the command line itself is no matter of threads: two processes meet at the job's lock

    from evidence import filing  # noqa: PLC0415
    from evidence.guard import Guard  # noqa: PLC0415
    from evidence.model.names import Role  # noqa: PLC0415

    def file(source: Path) -> str:
        with Guard() as guard:
            return filing.add(job, source, Role.TEST_CHANNEL, None, AT, guard.run).entry.id

    with ThreadPoolExecutor(2) as threads:
        ids = set(threads.map(file, folders))

    record = jobs.load(job).record
    assert len(ids) == 2
    assert len(record.exhibits) == before + 2
    assert {entry.id for entry in record.exhibits} >= ids


def test_sorting_leaves_sets_where_they_are_and_says_why(run: Run, job: Path, tmp_path: Path) -> None:
    """Codes "sort-set" and "sort-set-loose"."""
    shop = tmp_path / "jobs"
    shop.mkdir()
    job.rename(shop / "AMB-0417")
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    (inbox / "set.zip").write_bytes(zipped(runs.run_files(RUN)))
    (inbox / "film.zip").write_bytes(zipped([("a.avi", b"x")]))
    for name, data in runs.run_files(demo.SAE_RUNS["E024"]):
        (inbox / name).parent.mkdir(parents=True, exist_ok=True)
        (inbox / name).write_bytes(data)
    named = inbox / "AMB-0417" / "test-channel"
    named.mkdir(parents=True)
    (named / "side.zip").write_bytes(zipped(runs.run_files(demo.SAE_RUNS["E022"])))

    outcome = run("add", inbox, "--sort", shop, "--at", AT)

    left = outcome.stdout[outcome.stdout.index("Not placed") :]
    assert f"{inbox}/set.zip: A set of measured channels, and no vehicle stands in it." in left
    assert f"{inbox}/film.zip: This is an archive" in left
    assert (
        f"{inbox}/MTH-15-031-R: The files of a set of measured channels lie here (7), and no vehicle" in left
    )
    assert left.count("MTH-15-031-R") == 1
    assert "sillmark add JOB FOLDER --as test-channel" in left
    assert last_file(shop / "AMB-0417").suffix == ".zip"
    assert "by folder" in outcome.stdout or "folder" in outcome.stdout


def test_a_sealed_set_is_read_again_and_told(run: Run, job: Path, folder: Path, tmp_path: Path) -> None:
    added(run, job, folder)
    exhibit = jobs.load(job).record.exhibits[-1].id

    outcome = run("assemble", job, "-o", tmp_path / "out", "--at", AT)

    assert outcome.exit_code in (0, 1), outcome.output
    (bag,) = (tmp_path / "out").glob("*/*")
    assert (bag / f"data/files/{exhibit}.zip").read_bytes() == last_file(job).read_bytes()
    assert not list((bag / "data/derived").glob(f"{exhibit}.*"))
    assert exhibit not in (bag / "seal/leaves-personal.sha256").read_text(encoding="ascii").replace(
        f"people/{exhibit}", ""
    )
    item = json.loads((bag / f"data/items/{exhibit}.json").read_bytes())
    assert len(item["channels"]["channels"]) == 5
    entry = next(
        each
        for each in json.loads((bag / "data/manifest.json").read_bytes())["exhibits"]
        if each["id"] == exhibit
    )
    assert (entry["kind"], entry["media_type"], "redacted" in entry and entry["redacted"]) == (
        "channels",
        "application/zip",
        None,
    )
    verified = run("verify", bag, "--recompute")
    assert verified.exit_code == 0, verified.output


@pytest.fixture
def new_job(run: Run, tmp_path: Path) -> Path:
    """A job as ``start`` makes it, whose manual asks for a table of the release force."""
    target = tmp_path / "AMB-0900"
    given = ["--pack", "en-1789-2020@1", "--build", "BW-900", "--at", AT]
    assert run("start", target, "--profile", DEMO / "job" / "profile.yaml", *given).exit_code == 0
    return target


def test_a_set_does_not_take_the_place_of_the_table_that_the_manual_asks_for(
    run: Run, new_job: Path, folder: Path
) -> None:
    (slot,) = [each for each in jobs.load(new_job).record.exhibits if each.role == "test-channel"]

    added(run, new_job, folder)

    entries = {each.id: each for each in jobs.load(new_job).record.exhibits}
    assert not isinstance(entries[slot.id].file, str)
    added(run, new_job, DEMO / "job/tests/E014.csv")
    assert jobs.load(new_job).record.exhibits[-1].file == f"tests/{max(entries)}.zip"
    assert str({each.id: each for each in jobs.load(new_job).record.exhibits}[slot.id].file).endswith(".csv")


def test_a_set_fills_the_place_that_a_test_of_the_record_names(run: Run, new_job: Path, folder: Path) -> None:
    path = new_job / "job.yaml"
    text = path.read_text(encoding="utf-8")
    (slot,) = [each for each in jobs.load(new_job).record.exhibits if each.role == "test-channel"]
    test = f"tests:\n  - {{id: t9, kind: dynamic, subject: p1, direction: side, exhibit: {slot.id}, channels: [{{use: pulse, name: S0SLED000000ACY0}}]}}\n"
    path.write_text(text.replace("\nexhibits:", f"\n{test}exhibits:"), encoding="utf-8")

    told = added(run, new_job, folder)

    assert f"{slot.id}: test-channel of p1" in told
    assert "what was tested" not in told  # the record says it already

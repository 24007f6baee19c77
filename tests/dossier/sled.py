"""A vehicle with sled runs: files of the stated generator, read and computed as the program does it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from evidence import labtests, library, pulsing
from evidence.dossier import Data, DossierInput
from evidence.exhibits import call
from evidence.exhibits._base import Reading
from evidence.exhibits.reading import read
from evidence.labtests import wanted
from evidence.model.criterion import Within
from evidence.model.names import Group
from evidence.register.demand import Demand, Demands
from evidence.register.packs import criteria_of
from tests.dossier import builders, judged, records
from tests.lab.demo import EN_RUNS, SAE_FAULTS, SAE_RUNS
from tests.lab.runs import Run, run_zip

DIRECTIONS = ("frontal", "side", "rear")
PACKS = ("sae-j2917-2016@1", "sae-j2956-2011@1", "sae-j3044-2014@1")
CLAIMS = [
    {"name": "velocity-change-frontal", "value": "31 mph", "page": "2"},
    {"name": "velocity-change-side", "value": "15.2 mph", "page": "2"},
    {"name": "velocity-change-rear", "value": "9.6 mph", "page": "2"},
]
FIRST = 51  # number of the first file of a run


@dataclass(frozen=True)
class Bench:
    """What one test of the page is made with.

    Attributes:
        runs: of each place, its runs in the order of ``DIRECTIONS``.
        demands: what is asked beside the packs.
        packs: shipped ones whose demands are asked.
        claims: of the paper.
        tests: of the record, by number of the run: fields that replace others.
        channels: fields that replace others in the pulse's channel.
    """

    runs: Mapping[str, Sequence[Run]]
    demands: tuple[Demand, ...] = ()
    packs: tuple[str, ...] = PACKS
    claims: Sequence[Data] = tuple(CLAIMS)
    tests: Mapping[int, Data] | None = None
    channels: Mapping[int, Data] | None = None


AMERICAN = Bench({"p1": tuple(SAE_RUNS.values())})
FAULTY = Bench({"p1": tuple(SAE_FAULTS.values())})
EUROPEAN = Bench({"p1": tuple(EN_RUNS.values())}, packs=(), claims=())


def demand(fields: Data, name: str, title: str = "Limit of the manual") -> Demand:
    """What the maker's manual asks of a run."""
    common = {"id": name, "type": "within", "subject": "position", "mark": "confirmed", "source": "fitting manual", "closes": "laboratory"}  # fmt: skip
    criterion = Within.read({**common, **fields})
    requirement = f"profile.heron-2@C/11.2/{name}"
    return Demand(requirement, "profile.heron-2@C", "11.2", criterion, Group.PROFILE, {}, {"en": title})


def shipped(references: Sequence[str]) -> tuple[Demand, ...]:
    """What shipped packs ask of runs."""
    packs = {one: pack.text.pack for one in references if (pack := library.shipped(one)) is not None}
    found = []
    for requirement, clause, criterion in criteria_of(packs):
        standard = packs[requirement.source].standard
        if wanted(criterion) is not None and standard is not None:
            where = (requirement.source, clause.no, criterion, Group.STANDARD)
            found.append(
                Demand(str(requirement), *where, {}, clause.title or {}, standard=standard.designation)
            )
    return tuple(found)


def source(bench: Bench, **options: Any) -> DossierInput:
    """A vehicle with one test of each run, its numbers and curves, and the findings that use them."""
    record, files = _record(bench)
    demands = (*shipped(bench.packs), *bench.demands)
    found = judged.finished_findings() + [one for each in demands for one in _findings(each, record)]
    manifest = builders.manifest_for(
        record, found, [], builders.AMERICAN_PACKS if bench.packs else builders.EUROPEAN_PACKS
    )
    plain = builders.source_from(record, manifest, **options)
    asked = Demands((*plain_demands(plain, demands), *demands), plain.demands.clauses)
    readings = {exhibit: reading(run_zip(run), exhibit) for exhibit, run in files.items()}
    results = labtests.of_job(plain.record, asked, readings)
    return replace(
        plain,
        manifest=plain.manifest.model_copy(
            update={"results": tuple(results[key] for key in sorted(results))}
        ),
        demands=asked,
        items={**plain.items, **{exhibit: one.item for exhibit, one in readings.items()}},
        pulses=pulsing.curves(plain.record, asked, readings, results),
    )


def plain_demands(plain: DossierInput, own: Sequence[Demand]) -> tuple[Demand, ...]:
    """Demands of the findings that no run answers."""
    taken = {one.requirement for one in own}
    return tuple(one for one in plain.demands.criteria if one.requirement not in taken)


def reading(data: bytes, exhibit: str) -> Reading:
    """A set as the program reads it."""
    return read(data, f"tests/{exhibit}.zip", exhibit, reader=call)


def _record(bench: Bench) -> tuple[Data, dict[str, Run]]:
    record = records.finished_record() if len(bench.runs) == 1 else records.open_record()
    record["documents"][0]["claims"] += bench.claims
    files: dict[str, Run] = {}
    record["tests"] = []
    for place, runs in bench.runs.items():
        for direction, run in zip(DIRECTIONS, runs, strict=False):
            number = FIRST + len(files)
            exhibit = f"E0{number}"
            files[exhibit] = run
            record["exhibits"].append(
                {"id": exhibit, "role": "test-channel", "subject": place, "file": f"tests/{exhibit}.zip"}
            )
            record["tests"].append(_test(bench, number, place, direction, run))
    return record, files


def _test(bench: Bench, number: int, place: str, direction: str, run: Run) -> Data:
    pulse = {"use": "pulse", "name": run.sled_code, **({"sign": "reversed"} if direction == "rear" else {})}
    pulse |= (bench.channels or {}).get(number, {})
    test = {
        "id": f"t{number}", "kind": "dynamic", "subject": place, "direction": direction, "exhibit": f"E0{number}",
        "document": "d1", "at": run.day, "axes": "SAE J1733", "mass": "255 kg",
        "channels": [
            pulse,
            {"use": "occupant", "name": f"11CHST0000H3AC{run.axis}0"},
            {"use": "excursion", "name": run.excursion_code, "uncertainty": "2 %"},
        ],
    }  # fmt: skip
    return {**test, **(bench.tests or {}).get(number, {})}


def _findings(demand: Demand, record: Data) -> list[Data]:
    asks = wanted(demand.criterion)
    facing = [one for one in record["tests"] if asks is not None and one["direction"] == asks.direction]
    return [
        judged.finding(
            demand.requirement,
            test["subject"],
            "undecided" if demand.criterion.mark == "secondary" else "met",
            ("evidence-there", {"found": "1"}),
            group=demand.group.value,
            type=demand.criterion.type,
            mark=demand.criterion.mark.value,
            records=[test["id"]],
            exhibits=[test["exhibit"]],
        )
        for test in facing
    ]

"""Judge a bundle again from nothing but what lies in it, and say what does not come out the same."""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from evidence import gauging, jsondoc, labtests, payload
from evidence.anchoring import is_sheet, read_sheets
from evidence.errors import Problem, SillmarkError
from evidence.examining import MAX_EXHIBIT, changed_since_filed, read_or_say_why
from evidence.exhibits import Reader
from evidence.exhibits._base import Reading
from evidence.exhibits.personal import (
    AXES_LEFT_OUT,
    CODE_LEFT_OUT,
    LEFT_OUT,
    anonymous,
    of_record,
    without_personal,
)
from evidence.exhibits.reading import CODES_UNREAD, read
from evidence.exhibits.sniff import HEIC, JPEG
from evidence.judging import Inputs, judged
from evidence.manifest import FiledExhibit, assemble, inner_problems
from evidence.model.exhibit import EXTRA_MISSING, Item
from evidence.model.finding import Contradiction, Finding
from evidence.model.intake import Intake
from evidence.model.manifest import Manifest
from evidence.model.pages import picture_name
from evidence.model.people import PEOPLE_FORMAT, People
from evidence.model.person import Person
from evidence.model.record import JobRecord
from evidence.model.times import parse_date
from evidence.pageplan import annexed, read_pages
from evidence.picture import PAGE_SIDE
from evidence.record.reader import read_pack, read_profile
from evidence.remade import measurement_problems, result_problems, window_problems
from evidence.seal.bag import BagView
from evidence.seal.leaves import DERIVED, PEOPLE

MAX_DOCUMENT = jsondoc.MAX_BYTES
MANIFEST = "data/manifest.json"
RECORD = "data/inputs/record.json"
MAX_PICTURE = 16 * 1024 * 1024  # bytes of a picture of a page; usual are 200 kB
_PAGE_PICTURE = re.compile(rf"{DERIVED}([^/]+[.](?:page|annex)-[^/]+)[.]jpg")
_PERSONAL = frozenset({LEFT_OUT, CODE_LEFT_OUT, AXES_LEFT_OUT})


def differences(view: BagView, reader: Reader) -> tuple[Problem, ...]:
    """Every stored statement that recomputing does not give, sorted.

    1. The manifest agrees with itself. 2. What each evidence file says of itself. 3. The manifest, made again from
    record, profile, packs, intake and files, field by field; findings one by one. An item that only one side could
    read, because an optional extra is missing on the other, is named and taken as stored; so is what was left out as
    personal where the people's files are withheld, and the codes of a photo in which one side gave up looking.
    A picture of a page is only held to be a picture of a page that somebody read or cited: what it shows is not made again.

    Args:
        view: a bundle whose signature and schemas hold.
        reader: runs readers of hostile formats.
    """
    try:
        manifest = Manifest.read(_json(view, MANIFEST))
        record = JobRecord.read(_json(view, RECORD))
        readings, problems = _examined(view, manifest, record, reader)
        inputs = _inputs(view, manifest, record, readings)
        made, demands = judged(inputs, *_days(manifest))
        again = assemble(made, manifest.tool)
        unread = {each.parameters["found"] for each in problems if each.code == "recompute-extra-missing"}
        anew = _measured(view, inputs, unread, reader)
        problems += [
            *measurement_problems(manifest, anew.measurements),
            *window_problems(manifest, anew.windows),
        ]
        computed = labtests.of_job(record, demands, readings)
        problems += result_problems(manifest, computed)
        problems += _other_outcomes(again, replace(anew, results=computed), manifest)
    except SillmarkError as error:
        return (Problem("recompute-impossible", MANIFEST, "", {"reason": error.problems[0].code}),)
    except (ValueError, LookupError, ArithmeticError):  # the bag is untrusted, whoever signed it
        return (Problem("recompute-impossible", MANIFEST, "", {"reason": "shape"}),)
    problems += _page_picture_problems(view, record, readings, reader)
    problems += _sheet_problems(view, record)
    problems += inner_problems(manifest)
    problems += _field_problems(manifest, again)
    problems += _finding_problems(manifest, again)
    problems += _contradiction_problems(manifest, again)
    return tuple(sorted(problems, key=Problem.order))


def _json(view: BagView, path: str) -> Any:
    return jsondoc.decode_canonical(view.read(path, MAX_DOCUMENT), path)


def _examined(
    view: BagView, manifest: Manifest, record: JobRecord, reader: Reader
) -> tuple[dict[str, Reading], list[Problem]]:
    people = _people(view)
    readings: dict[str, Reading] = {}
    problems: list[Problem] = []
    for exhibit in manifest.exhibits:
        stored = Item.read(_json(view, f"data/{exhibit.item}"))
        path = f"data/{exhibit.file}"
        known = (exhibit.id, exhibit.role)
        reading = read_or_say_why(view.read(path, MAX_EXHIBIT), exhibit.file, known, reader)
        reading = replace(reading, item=_cleared(reading.item, stored, record, people))
        told = (
            []
            if people is not None or _PERSONAL.isdisjoint(stored.warnings)
            else ["recompute-people-withheld"]
        )
        if unread := _read_on_one_side(stored, reading.item):
            # the stored word is judged with, and the reader is told that it is no more than that
            reading = Reading(stored.model_copy(update={"salt": None}))
            told.append(unread)
        elif _gave_up_on_one_side(stored, reading.item):
            reading = replace(reading, item=stored.model_copy(update={"salt": None}))
            told.append("recompute-codes-unread")
        problems += [Problem(code, f"data/{exhibit.item}", "", {"found": exhibit.id}) for code in told]
        readings[exhibit.id] = reading
        if _comparable(stored) != _comparable(reading.item):
            problems.append(Problem("recompute-item", f"data/{exhibit.item}", "", {"found": exhibit.id}))
    return readings, problems


def _people(view: BagView) -> People | None:
    """The personal values that lie in the bundle; None where all of them are withheld."""
    paths = sorted(path for path in view.sizes if path.startswith(PEOPLE))
    if not paths:
        return None
    found = [Person.read(_json(view, path)) for path in paths]
    plates = [one.plate for one in found if one.plate is not None]
    sites = [one.site for one in found if one.site is not None]
    named = [{"id": one.id, "name": one.name} for one in found if one.name is not None]
    said = {"plate": plates[0] if plates else None, "site": sites[0] if sites else None}
    return People.read({"format": PEOPLE_FORMAT, "people": named, **said})


def _cleared(found: Item, stored: Item, record: JobRecord, people: People | None) -> Item:
    """What was read, without what no item may hold; the stored word says what is personal where nothing else does."""
    known = of_record(found, record)
    return anonymous(known, stored.warnings) if people is None else without_personal(known, people)


def _gave_up_on_one_side(stored: Item, found: Item) -> bool:
    """Whether one of the two gave up looking for codes, which hangs on time, and all else is the same."""
    if (CODES_UNREAD in stored.warnings) == (CODES_UNREAD in found.warnings):
        return False
    return _without_codes(stored) == _without_codes(found)


def _without_codes(item: Item) -> Item:
    item = _comparable(item)
    noticed = tuple(code for code in item.warnings if code not in (CODES_UNREAD, CODE_LEFT_OUT))
    photo = (
        item.photo.model_copy(update={"codes": (), "codes_left_out": 0}) if item.photo is not None else None
    )
    return item.model_copy(update={"warnings": noticed, "photo": photo})


def _measured(view: BagView, inputs: Inputs, unread: Collection[str], reader: Reader) -> Inputs:
    """The inputs with what the photos give here and now; what rests on a photo that is unread here stays as stored."""
    paths = {exhibit: f"data/{filed.path}" for exhibit, filed in inputs.filed.items()}
    items = {exhibit: filed.item for exhibit, filed in inputs.filed.items()}
    asked = (
        inputs.record,
        inputs.profile,
        items,
        lambda exhibit: (view.read(paths[exhibit], MAX_EXHIBIT), paths[exhibit]),
        reader,
    )
    kept = {key: one for key, one in inputs.measurements.items() if not set(unread).isdisjoint(one.exhibits)}
    shown = {key: one for key, one in inputs.windows.items() if not set(unread).isdisjoint(one.exhibits)}
    return replace(
        inputs,
        measurements={**gauging.of_job(*asked)[0], **kept},
        windows={**gauging.of_windows(*asked), **shown},
    )


def _other_outcomes(again: Manifest, measured: Inputs, manifest: Manifest) -> list[Problem]:
    """Findings that the photos, as measured here, would decide otherwise."""
    anew = assemble(judged(measured, *_days(manifest))[0], manifest.tool)
    other = {finding.key: (finding.outcome, _code(finding)) for finding in anew.findings}
    return [
        Problem(
            "recompute-measured-outcome",
            MANIFEST,
            "/measurements",
            {"found": finding.outcome.value, "requirement": finding.requirement, "subject": finding.subject},
        )
        for finding in again.findings
        if other.get(finding.key) != (finding.outcome, _code(finding))
    ]


def _code(finding: Finding) -> str | None:
    return finding.corroboration.code if finding.corroboration else None


def _page_picture_problems(
    view: BagView, record: JobRecord, readings: Mapping[str, Reading], reader: Reader
) -> list[Problem]:
    """Pictures of pages that are no picture, or of no page that is there and that the record has read or cited."""
    found = {match[1]: path for path in sorted(view.sizes) if (match := _PAGE_PICTURE.fullmatch(path))}
    items = {exhibit: reading.item for exhibit, reading in readings.items()}
    real = {picture_name(one.exhibit, one.page) for one in read_pages(record, items)} | annexed(record, items)
    return [
        Problem("recompute-page-picture", path, "", {"found": name})
        for name, path in found.items()
        if name not in real or not _is_page_picture(view, path, reader)
    ]


def _sheet_problems(view: BagView, record: JobRecord) -> list[Problem]:
    """Anchorage sheets that cannot be computed again; what they come to is printed and stored nowhere else."""
    paths = [path for path in sorted(view.sizes) if path.startswith(payload.INPUTS)]
    names = {path.removeprefix(payload.INPUTS): path for path in paths}
    problems = []
    for name, path in names.items():
        try:
            if is_sheet(name):
                places = [one.id for one in record.positions]
                read_sheets({name: view.read(path, MAX_DOCUMENT)}, places, names.__getitem__)
        except SillmarkError as error:
            problems.append(Problem("recompute-anchorage", path, "", {"reason": error.problems[0].code}))
    return problems


def _is_page_picture(view: BagView, path: str, reader: Reader) -> bool:
    try:
        item = read(view.read(path, MAX_PICTURE), path, "E000", reader=reader).item
    except SillmarkError:
        return False
    sides = (item.photo.width, item.photo.height) if item.photo is not None else (0, 0)
    return item.media_type == JPEG and 0 < max(sides) <= PAGE_SIDE


def _read_on_one_side(stored: Item, found: Item) -> str:
    """Which side lacked the extra that reads an item, the program or the sealer; empty where both read alike."""
    if (stored.sha256, stored.bytes, stored.media_type) != (found.sha256, found.bytes, found.media_type):
        return ""
    if found.media_type != HEIC:  # a signer could else call any photo unread and so hide what it says
        return ""
    missing = [
        item.unreadable is not None and item.unreadable.code == EXTRA_MISSING for item in (stored, found)
    ]
    sides = {(False, True): "recompute-extra-missing", (True, False): "recompute-sealed-unread"}
    return sides.get((missing[0], missing[1]), "")


def _comparable(item: Item) -> Item:
    # the bundle names files by their content, so only the job folder could see a wrong ending
    noticed = tuple(code for code in item.warnings if code != "exhibit-extension")
    photo = item.photo
    if photo is not None:  # where a code stands depends on the processor's rounding, and nothing rests on it
        codes = tuple(code.model_copy(update={"corners": ()}) for code in photo.codes)
        photo = photo.model_copy(update={"codes": codes})
    return item.model_copy(update={"salt": None, "warnings": noticed, "photo": photo})


def _days(manifest: Manifest) -> tuple[date, date | None]:
    known_on = parse_date(manifest.known_on) if manifest.known_on else None
    return parse_date(manifest.as_of), known_on


def _inputs(view: BagView, manifest: Manifest, record: JobRecord, readings: Mapping[str, Reading]) -> Inputs:
    profile_data = view.read("data/inputs/profile.yaml", MAX_DOCUMENT)
    profile = read_profile(profile_data, "data/inputs/profile.yaml").profile
    references = dict.fromkeys(reference for basis in record.bases for reference in basis.packs)
    stored = {reference: view.read(payload.pack_path(reference), MAX_DOCUMENT) for reference in references}
    packs = {
        reference: read_pack(data, payload.pack_path(reference)).pack for reference, data in stored.items()
    }
    intake = Intake.read(_json(view, "data/inputs/intake.json"))
    items = {exhibit: reading.item for exhibit, reading in readings.items()}
    digests = {reference: jsondoc.digest(data) for reference, data in stored.items()}
    return Inputs(
        record=record,
        profile=profile,
        packs=packs,
        digests={**digests, profile.reference: jsondoc.digest(profile_data)},
        filed=_filed(view, manifest, readings),
        tables={exhibit: reading.values for exhibit, reading in readings.items() if reading.values},
        intake=intake,
        changed=changed_since_filed(items, intake),
        # the stored values are judged again exactly; that they can be had from the photos is another question
        measurements={(each.quantity, each.subject): each.measurement for each in manifest.measurements},
        windows={each.reading.exhibits[0]: each.reading for each in manifest.windows},
        results={(each.asked, each.test): each for each in manifest.results},
        texts={exhibit: reading.page_texts for exhibit, reading in readings.items() if reading.page_texts},
    )


def _filed(view: BagView, manifest: Manifest, readings: Mapping[str, Reading]) -> dict[str, FiledExhibit]:
    twins = {exhibit.id: exhibit.redacted for exhibit in manifest.exhibits if exhibit.redacted}
    digests = view.digests([f"data/{path}" for path in sorted(twins.values())])
    paths = {exhibit.id: exhibit.file for exhibit in manifest.exhibits}
    return {
        exhibit: FiledExhibit(
            reading.item,
            paths[exhibit],
            (twins[exhibit], digests[f"data/{twins[exhibit]}"]) if exhibit in twins else None,
        )
        for exhibit, reading in readings.items()
    }


def _field_problems(manifest: Manifest, again: Manifest) -> list[Problem]:
    """Everything beside findings and contradictions, which are compared one by one."""
    stored, made = manifest.document(nulls=True), again.document(nulls=True)
    return [
        Problem("recompute-manifest", MANIFEST, f"/{name}", {"found": name})
        for name in sorted(stored)
        if name not in ("findings", "contradictions") and stored[name] != made[name]
    ]


def _finding_problems(manifest: Manifest, remade: Manifest) -> list[Problem]:
    stored = {finding.key: finding for finding in manifest.findings}
    again = {finding.key: finding for finding in remade.findings}
    problems = []
    for key in sorted(stored.keys() | again.keys()):
        old, new = stored.get(key), again.get(key)
        if old != new:
            parameters = {
                "requirement": key[0],
                "subject": key[1],
                "found": old.outcome.value if old else "absent",
                "expected": new.outcome.value if new else "absent",
            }
            problems.append(Problem("recompute-finding", MANIFEST, _pointer(manifest, old), parameters))
    return problems


def _pointer(manifest: Manifest, finding: Finding | None) -> str:
    return f"/findings/{manifest.findings.index(finding)}" if finding else "/findings"


def _contradiction_problems(manifest: Manifest, remade: Manifest) -> list[Problem]:
    stored = _answers(manifest.contradictions)
    again = _answers(remade.contradictions)
    return [
        Problem("recompute-contradiction", MANIFEST, "/contradictions", {"found": identity})
        for identity in sorted(stored.keys() | again.keys())
        if stored.get(identity) != again.get(identity)
    ]


def _answers(contradictions: Iterable[Contradiction]) -> dict[str, Contradiction]:
    return {each.id: each for each in contradictions}

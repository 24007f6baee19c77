"""Everything below ``data/`` of a bundle but the dossiers, from a judged job."""

from collections.abc import Mapping
from typing import Any

from evidence import jobs, jsondoc
from evidence.examining import Examined
from evidence.exhibits import sniff
from evidence.manifest import FiledExhibit, record_bytes
from evidence.model.exhibit import Item
from evidence.model.intake import Intake
from evidence.model.people import People
from evidence.model.person import PERSON_FORMAT
from evidence.seal.salt import salted

INPUTS = "data/inputs/"
"""What was judged, as the job folder held it."""


def filed(examined: Examined) -> dict[str, FiledExhibit]:
    """Exhibit id to the file as the bundle will hold it."""
    return {
        exhibit: FiledExhibit(item, f"files/{_stored_name(examined, exhibit)}", _redacted(examined, exhibit))
        for exhibit, item in sorted(examined.items.items())
    }


def originals(examined: Examined) -> dict[str, str]:
    """``data/files/`` path to exhibit id."""
    return {f"data/files/{_stored_name(examined, exhibit)}": exhibit for exhibit in sorted(examined.items)}


def documents(job: jobs.Job, examined: Examined, intake: Intake, seed: bytes) -> dict[str, bytes]:
    """Inputs, people, items and twins by ``data/`` path."""
    return {
        f"{INPUTS}record.json": record_bytes(job.record),
        f"{INPUTS}profile.yaml": job.profile_data,
        f"{INPUTS}intake.json": jsondoc.canonical(intake.document()),
        **{f"{INPUTS}{sheet.name}": sheet.data for sheet in job.anchorages},
        **{pack_path(reference): pack.data for reference, pack in job.packs.items()},
        **_people(job.people, seed),
        **{path: _salted_item(path, item, seed) for path, item in _items(examined)},
        **{f"data/derived/{name}": data for name, data in examined.twins.values()},
    }


def page_pictures(pictures: Mapping[str, bytes]) -> dict[str, bytes]:
    """Pictures of pages that a person read or cited, by ``data/`` path; personal, as the originals that they show."""
    return {f"data/derived/{name}.jpg": picture for name, picture in sorted(pictures.items())}


def pack_path(reference: str) -> str:
    """Where a pack lies: ``en-1789-2020@1`` in ``data/inputs/packs/en-1789-2020.1.yaml``."""
    return f"{INPUTS}packs/{reference.replace('@', '.')}.yaml"


def _stored_name(examined: Examined, exhibit: str) -> str:
    # by content: what calls itself something else in the job folder must not carry that name into the bundle
    return f"{exhibit}{sniff.extension(examined.items[exhibit].media_type)}"


def _redacted(examined: Examined, exhibit: str) -> tuple[str, str] | None:
    if exhibit not in examined.twins:
        return None
    name, data = examined.twins[exhibit]
    return f"derived/{name}", jsondoc.digest(data)


def _items(examined: Examined) -> list[tuple[str, Item]]:
    return [(f"data/items/{exhibit}.json", item) for exhibit, item in sorted(examined.items.items())]


def _salted_item(path: str, item: Item, seed: bytes) -> bytes:
    return jsondoc.canonical(salted(path, item.document(), seed))


def _people(people: People, seed: bytes) -> dict[str, bytes]:
    said: dict[str, Mapping[str, Any]] = {
        **{person.id: _given(name=person.name, badge=person.badge) for person in people.people},
        **({"plate": {"plate": people.plate}} if people.plate else {}),
        **({"site": {"site": people.site}} if people.site else {}),
        **{
            note.id: {"about": note.about, "language": note.language, "text": note.text}
            for note in people.notes
        },
        **{each.id: {"about": each.id, "file_name": each.name} for each in people.file_names},
    }
    paths = {
        f"data/people/{key}.json": {"format": PERSON_FORMAT, "id": key, **fields}
        for key, fields in said.items()
    }
    return {path: jsondoc.canonical(salted(path, document, seed)) for path, document in sorted(paths.items())}


def _given(**fields: str | None) -> dict[str, str]:
    return {name: value for name, value in fields.items() if value is not None}

"""Print copies of a sealed dossier, or two pages of it, from nothing but what lies in its bundle.

What is judged is not judged again: a copy says what the sealed manifest says. Photos that were measured are measured
once more, only because the places of their lines are drawn and not stored.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from evidence import bundle, dossier, gauging, jsondoc, library, payload, pulling, pulsing
from evidence.anchoring import Sheet, is_sheet, read_sheets
from evidence.errors import InputError, IntegrityError
from evidence.examining import MAX_EXHIBIT, read_or_say_why
from evidence.exhibits import Reader
from evidence.exhibits._base import Reading
from evidence.model.exhibit import Item
from evidence.model.manifest import Manifest, ManifestExhibit
from evidence.model.people import PEOPLE_FORMAT, People
from evidence.model.person import Person
from evidence.model.record import JobRecord
from evidence.pageplan import left_out
from evidence.payload import INPUTS
from evidence.phrases import say
from evidence.record.reader import read_pack, read_profile
from evidence.register.demand import Demands
from evidence.register.resolve import resolve
from evidence.seal import layout
from evidence.seal.bag import BagView
from evidence.seal.leaves import DERIVED, PEOPLE
from evidence.seal.public_key import read_public_key
from evidence.seal.tag import read_sums
from evidence.typeset import Typesetter

RECORD, PROFILE = "data/inputs/record.json", "data/inputs/profile.yaml"
_PAGES = (".page-", ".annex-")  # in the name of a picture of a page that a person read, or cited


@dataclass(frozen=True)
class CopyOrder:
    """What is wanted of a copy.

    Attributes:
        printed: time with its offset, printed in the head of every page.
        sheet: the two pages for the vehicle's folder instead of the whole dossier.
        paper: size of the page; None for that of the sealed dossier.
        language: two letters.
        child_environment: environment of the child that typesets.
    """

    printed: datetime
    sheet: bool = False
    paper: dossier.Paper | None = None
    language: str = "en"
    child_environment: Mapping[str, str] = field(default_factory=dict)


class Sealed:
    """A verified bundle, of which every file is still held against its sum when it is read."""

    def __init__(self, view: BagView) -> None:
        """Take a view of a bundle that was verified."""
        self._view = view
        listed, problems = read_sums(view.read(layout.SUMS_PATH, layout.MAX_TAG_BYTES), layout.SUMS_PATH)
        if problems:
            raise InputError(problems)
        self._sums = listed
        self.manifest = Manifest.read(self.document(layout.MANIFEST_PATH))
        self.record = JobRecord.read(self.document(RECORD))

    @property
    def paths(self) -> tuple[str, ...]:
        """Every file below ``data/``, sorted."""
        return tuple(sorted(self._sums))

    @property
    def key_id(self) -> str:
        """SHA-256 of the public key's DER."""
        return read_public_key(self._view.read(layout.KEY_PATH, layout.MAX_TAG_BYTES), layout.KEY_PATH).id

    def read(self, path: str, cap: int = MAX_EXHIBIT) -> bytes:
        """Bytes of one file.

        Raises:
            IntegrityError: changed-while-read.
            InputError: the file cannot be read.
        """
        data = self._view.read(path, cap)
        if jsondoc.digest(data) != self._sums.get(path):
            raise IntegrityError.one("changed-while-read", path)
        return data

    def document(self, path: str) -> Any:
        """One JSON file, decoded."""
        return jsondoc.decode_canonical(self.read(path, jsondoc.MAX_BYTES), path)


def open_sealed(path: Path) -> Sealed:
    """Look at a bundle that was verified."""
    return Sealed(bundle.open_view(path))


def copy_of(sealed: Sealed, order: CopyOrder, reader: Reader) -> bytes:
    """A copy as PDF, marked as one in the head of every page.

    1. The manifest and what it stands on. 2. Pictures as they were printed, documents as they were attached.
    3. Typeset.

    Args:
        sealed: a bundle that was verified.
        order: what is wanted.
        reader: runs readers of hostile formats.

    Raises:
        InputError: something in the bundle cannot be read or printed; copy-impossible where its parts do not fit.
        IntegrityError: a file changed since it was verified.
        SillmarkError: the typesetter refused its own sources.
    """
    try:
        source = source_of(sealed, order, reader)
        make = dossier.sheet if order.sheet else dossier.build
        data = make(source, partial(_say, order.language))
        pictures, attached = _pictures(sealed, data), _attached(sealed, data)
    except (ValueError, LookupError, ArithmeticError) as error:
        # whoever signed it, its parts may not fit together
        raise InputError.one("copy-impossible", layout.MANIFEST_PATH, found=type(error).__name__) from error
    with Typesetter(environment=order.child_environment) as typesetter:
        return typesetter.typeset(data, pictures, attached, order.printed)


def source_of(sealed: Sealed, order: CopyOrder, reader: Reader) -> dossier.DossierInput:
    """Everything that the sealed dossier was made from, as the bundle has it."""
    manifest, record = sealed.manifest, sealed.record
    profile = read_profile(sealed.read(PROFILE), PROFILE).profile
    items = {one.id: Item.read(sealed.document(f"data/{one.item}")) for one in manifest.exhibits}
    files = {one.id: f"data/{one.file}" for one in manifest.exhibits}
    # the sheet draws neither photos nor curves, so none is read for it
    marks = (
        {}
        if order.sheet
        else gauging.of_job(
            record, profile, items, lambda one: (sealed.read(files[one]), files[one]), reader
        )[1]
    )
    demands = _demands(sealed, profile)
    readings = {} if order.sheet else _recorded(sealed, reader)
    results = {(one.asked, one.test): one for one in manifest.results}
    return dossier.DossierInput(
        manifest=manifest,
        manifest_digest=jsondoc.digest(sealed.read(layout.MANIFEST_PATH)),
        key_id=sealed.key_id,
        record=record,
        profile=profile,
        people=people_of(sealed),
        items=items,
        demands=demands,
        language=order.language,
        paper=order.paper or dossier.paper_for(manifest),
        shown_pages=frozenset(_page_pictures(sealed)),
        left_out_pages=left_out(record, items),
        marks=marks,
        pulls=pulling.courses(record, readings),
        pulses=pulsing.curves(record, demands, readings, results),
        editions=library.editions(),
        anchorages=() if order.sheet else _anchorages(sealed),
        copied=order.printed.strftime("%Y-%m-%d %H:%M"),
    )


def _anchorages(sealed: Sealed) -> tuple[Sheet, ...]:
    named = {path.removeprefix(INPUTS): path for path in sealed.paths if path.startswith(INPUTS)}
    found = {name: sealed.read(path) for name, path in named.items() if is_sheet(name)}
    return read_sheets(found, [one.id for one in sealed.record.positions], lambda name: named[name])


def people_of(sealed: Sealed) -> People | None:
    """The personal values and notes that lie in the bundle; None where there are none."""
    found = [Person.read(sealed.document(path)) for path in sealed.paths if path.startswith(PEOPLE)]
    if not found:
        return None
    plates = [one.plate for one in found if one.plate is not None]
    sites = [one.site for one in found if one.site is not None]
    return People.read(
        {
            "format": PEOPLE_FORMAT,
            "people": [
                _given(id=one.id, name=one.name, badge=one.badge) for one in found if one.name is not None
            ],
            "notes": [
                _given(id=one.id, about=one.about, language=one.language, text=one.text)
                for one in found
                if one.text is not None
            ],
            "file_names": [
                {"id": one.id, "name": one.file_name} for one in found if one.file_name is not None
            ],
            **({"plate": plates[0]} if plates else {}),
            **({"site": sites[0]} if sites else {}),
        }
    )


def _given(**fields: str | None) -> dict[str, str]:
    return {name: value for name, value in fields.items() if value is not None}


def _say(language: str, code: str, parameters: Any = None) -> str:
    return say(code, parameters, language)


def _demands(sealed: Sealed, profile: Any) -> Demands:
    references = dict.fromkeys(reference for basis in sealed.record.bases for reference in basis.packs)
    paths = {reference: payload.pack_path(reference) for reference in references}
    packs = {reference: read_pack(sealed.read(path), path).pack for reference, path in paths.items()}
    return resolve(sealed.record, profile, packs)


def _recorded(sealed: Sealed, reader: Reader) -> dict[str, Reading]:
    """The files in which the tests have their channels, read again."""
    wanted = {test.exhibit for test in sealed.record.tests}
    return {
        one.id: read_or_say_why(sealed.read(f"data/{one.file}"), one.file, (one.id, one.role), reader)
        for one in sealed.manifest.exhibits
        if one.id in wanted
    }


def _page_pictures(sealed: Sealed) -> dict[str, str]:
    """Pictures of pages that a person read or cited: name to path."""
    return {
        path.removeprefix(DERIVED).removesuffix(".jpg"): path
        for path in sealed.paths
        if path.startswith(DERIVED) and path.endswith(".jpg") and any(part in path for part in _PAGES)
    }


def _pictures(sealed: Sealed, data: dossier.Data) -> dict[str, bytes]:
    """Every picture that the data names: photos as they were scaled and redacted for printing."""
    twins = {one.id: f"data/{one.redacted}" for one in sealed.manifest.exhibits if one.redacted}
    paths = {**twins, **_page_pictures(sealed)}
    return {name: sealed.read(paths[name]) for name in data["pictures"]}


def _attached(sealed: Sealed, data: dossier.Data) -> dict[str, bytes]:
    """The manifest, and documents as they came."""
    documents: dict[str, ManifestExhibit] = {f"{one.id}.pdf": one for one in sealed.manifest.exhibits}
    names = [entry["name"] for entry in data["attachments"]]
    return {
        name: sealed.read(f"data/{documents[name].file}" if name in documents else layout.MANIFEST_PATH)
        for name in names
    }

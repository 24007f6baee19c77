"""Print the dossiers of one vehicle: data from the core, pictures as they will lie in the bundle, typeset."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any

from evidence import dossier, examining, jobs, jsondoc, library
from evidence.errors import InputError
from evidence.model.manifest import Manifest
from evidence.pagepictures import PagePictures, original
from evidence.phrases import say
from evidence.register.demand import Demands
from evidence.typeset import Typesetter

MAX_ATTACHED = 160 * 1024 * 1024  # bytes of all attachments of one dossier; a verifier opens no larger ones


@dataclass(frozen=True)
class Printed:
    """What the dossiers of one bundle are made from.

    Attributes:
        manifest: as checked; its bytes are ``manifest_data``.
        key_id: SHA-256 of the signing key's DER.
        pages: pictures of pages that a person read or cited.
    """

    job: jobs.Job
    examined: examining.Examined
    manifest: Manifest
    manifest_data: bytes
    demands: Demands
    key_id: str
    pages: PagePictures = field(default_factory=PagePictures)


def dossiers(
    source: Printed,
    languages: tuple[str, ...],
    issued: datetime,
    environment: Mapping[str, str] | None = None,
) -> dict[str, bytes]:
    """Each dossier, whole and redacted, by ``data/`` path.

    Raises:
        InputError: a signatory's name cannot be printed, or an original changed meanwhile.
        SillmarkError: the typesetter refused its own sources.
    """
    made: dict[str, bytes] = {}
    with Typesetter(environment=environment) as typesetter:
        for language in languages:
            for redacted in (False, True):
                data = dossier.build(
                    _dossier_input(source, language, redacted=redacted), partial(_say, language)
                )
                name = f"data/dossier.{language}.redacted.pdf" if redacted else f"data/dossier.{language}.pdf"
                attached = _attachments(source, redacted=redacted)
                made[name] = typesetter.typeset(data, _pictures(source, redacted=redacted), attached, issued)
    return made


def _say(language: str, code: str, parameters: Any = None) -> str:
    return say(code, parameters, language)


def _dossier_input(source: Printed, language: str, *, redacted: bool) -> dossier.DossierInput:
    return dossier.DossierInput(
        manifest=source.manifest,
        manifest_digest=jsondoc.digest(source.manifest_data),
        key_id=source.key_id,
        record=source.job.record,
        profile=source.job.profile,
        people=None if redacted else source.job.people,
        items=source.examined.items,
        demands=source.demands,
        language=language,
        redacted=redacted,
        paper=dossier.paper_for(source.manifest),
        shown_pages=frozenset(_pages(source, redacted=redacted)),
        left_out_pages=source.pages.left_out,
        marks=source.examined.marks,
        pulls=source.examined.pulls,
        pulses=source.examined.pulses,
        editions=library.editions(),
        anchorages=source.job.anchorages,
    )


def _pages(source: Printed, *, redacted: bool) -> Mapping[str, bytes]:
    # a redacted dossier is never given a page of an original, so that none can be printed by mistake
    return source.pages.redacted if redacted else source.pages.pictures


def _pictures(source: Printed, *, redacted: bool) -> dict[str, bytes]:
    items, twins = source.examined.items, source.examined.twins
    photos = {exhibit: twins[exhibit][1] for exhibit in sorted(twins) if items[exhibit].kind == "photo"}
    return {**photos, **_pages(source, redacted=redacted)}  # the data names those that this copy prints


def _attachments(source: Printed, *, redacted: bool) -> dict[str, bytes]:
    attached = {"manifest.json": source.manifest_data}
    for exhibit, item in sorted(source.examined.items.items()):
        if item.kind != "document":
            continue
        if redacted:
            name, data = source.examined.twins[exhibit]
            attached[name] = data
        else:
            attached[f"{exhibit}.pdf"] = original(source.job, source.examined, exhibit)
    size = sum(map(len, attached.values()))
    if size > MAX_ATTACHED:
        where = str(source.job.folder / "documents")
        raise InputError.one("documents-too-large", where, found=str(size), limit=str(MAX_ATTACHED))
    return attached

"""Verify bundles: the strict verifier with the readers, formats and judging that it needs from elsewhere.

What only ``--recompute`` needs is imported when it is asked for: a verifier that starts quickly gets used.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from functools import partial
from pathlib import Path

from pydantic import ValidationError

from evidence import bundle, files, jsondoc
from evidence.errors import NoBundleError, Problem, SillmarkError
from evidence.exhibits.reading import attachments
from evidence.guard import Guard
from evidence.model._base import Model
from evidence.model.exhibit import Item
from evidence.model.intake import Intake
from evidence.model.manifest import JUDGE, Manifest
from evidence.model.person import Person
from evidence.model.record import RECORD_FORMAT, JobRecord
from evidence.model.seal import Seal
from evidence.model.stub import Stub
from evidence.model.trust import Trust
from evidence.seal.bag import BagView, Helpers, Question
from evidence.seal.verify import VerifyReport, verify

# The models and not the schemas made from them: at 300 findings 5 ms against 700. A test holds that both agree.
_MODELS: Mapping[str, type[Model]] = {
    "intake": Intake,
    "item": Item,
    "manifest": Manifest,
    "person": Person,
    "record": JobRecord,
    "seal": Seal,
    "stub": Stub,
}


MAX_TOLD = 5  # bundles named in one line
NOT_FOR_ATTACHMENTS = ("cryptography", "fontTools", "PIL")
"""What the PDF library can do without where only attachments are read: half of what its import costs."""


def verify_bundle(
    path: Path, question: Question, *, recompute: bool, guard: Guard, light: Guard | None = None
) -> VerifyReport:
    """Verify one bag; nothing in it is changed, followed or fetched.

    Args:
        path: the bag's folder.
        question: what the reader wants to know.
        recompute: judge the bag again as well.
        guard: runs readers of hostile formats.
        light: a guard without ``NOT_FOR_ATTACHMENTS``, for the attachments alone; else ``guard`` reads them too.

    Raises:
        InputError: no folder, or a file that cannot be read.
        NoBundleError: bundle-none, or bundle-below with the bundles that lie below it.
    """
    helpers = Helpers(
        attached=lambda data: attachments(data, "dossier", reader=(light or guard).run),
        check=problems_of,
        recompute=_judge_again(guard) if recompute else None,
    )
    if files.is_folder(path) and not bundle.was_bag(path):
        raise _no_bundle(path)
    return verify(bundle.open_view(path), question, helpers)


def _no_bundle(path: Path) -> SillmarkError:
    below = bundle.bags_below(path)
    if not below:
        return NoBundleError.one("bundle-none", str(path))
    told = [str(each) for each in below[:MAX_TOLD]]
    more = [f"… ({len(below)})"] if len(below) > MAX_TOLD else []
    return NoBundleError.one("bundle-below", str(path), found=", ".join((*told, *more)))


def question(trust: Trust | None, today: date, *, integrity_only: bool) -> Question:
    """What ``verify`` asks of a bag."""
    return Question(trust=trust, as_of=today, judge=JUDGE, integrity_only=integrity_only)


def bags_of(path: Path) -> Iterator[Path]:
    """The bags that a path names: a bag itself, or every folder of a vehicle's, in order.

    A folder beside a bag is verified as well: one that lost its first file is a broken bag, not nothing.

    Raises:
        InputError: a folder cannot be read.
    """
    if not files.is_folder(path) or bundle.is_bag(path):
        yield path
        return
    below = [path / name for name in files.names_in(path)]
    yield from below if any(bundle.is_bag(each) for each in below) else [path]


def problems_of(kind: str, document: jsondoc.Json) -> tuple[Problem, ...]:
    """Where a document departs from the format of its kind; kinds that no format describes have no problems."""
    if kind == "other":
        return ()
    if kind == "record" and document.get("format") != RECORD_FORMAT:
        return (
            Problem(
                "schema-mismatch", kind, "/format", {"rule": "const", "found": str(document.get("format"))}
            ),
        )
    try:
        _MODELS[kind].read(document)
    except ValidationError as error:
        return tuple(
            sorted((_problem(kind, each) for each in error.errors(include_url=False)), key=Problem.order)
        )
    return ()


def _problem(kind: str, error: Mapping[str, object]) -> Problem:
    place = error["loc"]
    parts = place if isinstance(place, tuple) else ()
    path = tuple(part for part in parts if not str(part).startswith("<") and part != "[key]")
    stands = error.get("input")
    found = str(stands)[:60] if isinstance(stands, str | int) else ""  # a whole document says nothing
    context = error.get("ctx")
    if error["type"] == "sillmark" and isinstance(context, Mapping):
        path = (*path, *context.get("at", ()))
        return Problem(context["code"], kind, jsondoc.pointer(path), dict(context["parameters"]))
    return Problem(
        "schema-mismatch", kind, jsondoc.pointer(path), {"rule": str(error["type"]), "found": found}
    )


def _judge_again(guard: Guard) -> Callable[[BagView], Iterable[Problem]]:
    from evidence.recompute import differences  # noqa: PLC0415 - brings the whole judge along

    return partial(differences, reader=guard.run)

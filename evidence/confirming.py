"""Store what a person typed from their own copy of a standard: the job's confirmation pack, and the basis that names it.

1. The job is read again under its lock; 2. the entry is added to the pack and the whole is checked as a job's pack is;
3. the pack is written; 4. the basis names it. When the run ends between 3 and 4, a pack lies there that binds nothing;
the same order, run again, finds its entry there and does step 4.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from pydantic import ValidationError

from evidence import files, jobs, library
from evidence.errors import InputError, Problem, UsageError
from evidence.jobs import Job
from evidence.model.criterion import Criterion
from evidence.model.names import Mark
from evidence.model.pack import Confirmation, Pack, Replacement
from evidence.record import edit
from evidence.record.pack_meaning import check_pack
from evidence.record.reader import PackText, read_pack
from evidence.register.asking import questions
from evidence.register.awaiting import awaited
from evidence.register.confirm import check_confirmations
from evidence.register.packs import criteria_of

REFERENCE = "confirmed@1"
REVIEW_AFTER = timedelta(days=365)  # a copy on the shelf is looked at once a year
TYPED = "blind-twice"
_HEAD = """# Typed twice by a named person from the company's own copy, without sight of what the program's packs hold.
format: sillmark-pack/0
id: confirmed
version: 1
kind: confirmation
known_as_of: {known_as_of}
review_by: {review_by}
confirmations:
"""


@dataclass(frozen=True)
class Order:
    """What is to be confirmed, and where it was read.

    Attributes:
        criterion: requirement id, or an ending of it that only one has.
        edition: the copy that was read.
        page: page in it.
        by: person id.
    """

    criterion: str
    edition: str
    page: int
    by: str


@dataclass(frozen=True)
class Target:
    """The demand that an order means.

    Attributes:
        requirement: ``pack@version/clause/criterion``.
        criterion: as its pack has it.
        title: what it asks, in English.
        pack: its pack.
        basis: place of the basis that names the pack, from 0.
    """

    requirement: str
    criterion: Criterion
    title: str
    pack: Pack
    basis: int


@dataclass(frozen=True)
class Stored:
    """Where the confirmation went.

    Attributes:
        pack: the confirmation pack.
        basis: standard of the basis that names it now; None where it was named before.
        by_hand: standard of the basis that has to name it, where job.yaml could not be edited.
    """

    pack: Path
    basis: str | None = None
    by_hand: str | None = None


def target(job: Job, order: Order) -> Target:
    """The demand that is meant, or every reason why it cannot be confirmed.

    Raises:
        UsageError: criterion-unknown, criterion-ambiguous, confirm-practice, confirm-nothing-to-type,
            confirmed-already, person-not-recorded, edition-of-another, edition-unreadable.
    """
    packs = {reference: loaded.text.pack for reference, loaded in job.packs.items()}
    found = {str(name): (name.source, clause, one) for name, clause, one in criteria_of(packs)}
    requirement = _named(order.criterion, packs, found)
    reference, clause, criterion = found[requirement]
    pack = packs[reference]
    title = (criterion.title or clause.title)["en"]
    basis = next(index for index, one in enumerate(job.record.bases) if reference in one.packs)
    _refuse_criterion(requirement, criterion, packs, title)
    _refuse_reader(job, order, pack)
    return Target(requirement, criterion, title, pack, basis)


def _named(text: str, packs: Mapping[str, Pack], found: Mapping[str, object]) -> str:
    ends = [name for name in found if name == text or name.endswith(f"/{text}")]
    if len(ends) == 1:
        return ends[0]
    if ends:
        raise UsageError.one("criterion-ambiguous", text, found=text, expected=", ".join(ends))
    waiting = ", ".join(each.requirement for each in awaited(packs)) or "-"
    raise UsageError.one("criterion-unknown", text, found=text, expected=waiting)


def _refuse_criterion(requirement: str, criterion: Criterion, packs: Mapping[str, Pack], title: str) -> None:
    if criterion.mark == Mark.PRACTICE:
        raise UsageError.one("confirm-practice", requirement, title=title)
    if not questions(criterion):
        raise UsageError.one("confirm-nothing-to-type", requirement, title=title)
    for reference, pack in packs.items():
        if any(each.confirms == requirement for each in pack.confirmations):
            raise UsageError.one("confirmed-already", requirement, title=title, pack=reference)


def _refuse_reader(job: Job, order: Order, pack: Pack) -> None:
    people = sorted(person.id for person in job.record.people)
    if order.by not in people:
        raise UsageError.one("person-not-recorded", order.by, found=order.by, expected=", ".join(people))
    try:
        _entry("a@1/b/c", order, Replacement())
    except ValidationError as error:
        raise UsageError.one("edition-unreadable", "--edition", found=order.edition[:60]) from error
    read, wanted = (library.editions().named(text) for text in (order.edition, _designation(pack)))
    if read is not None and wanted is not None and read.id != wanted.id:
        raise UsageError.one("edition-of-another", "--edition", found=read.edition, expected=wanted.edition)


def _designation(pack: Pack) -> str:
    return pack.standard.designation if pack.standard else ""


def _entry(requirement: str, order: Order, given: Replacement) -> Confirmation:
    return Confirmation.read(
        {
            "confirms": requirement,
            "edition": order.edition,
            "page": str(order.page),
            "by": order.by,
            "typed": TYPED,
            "replaces": given.document(),
        }
    )


def store(folder: Path, order: Order, given: Replacement, today: date) -> Stored:
    """Add a confirmation to the job.

    Args:
        folder: the job.
        order: what was confirmed.
        given: what was typed.
        today: the day on which it was read.

    Raises:
        UsageError: as ``target``, or confirm-pack-unfit.
        InputError: with every problem of the job, or of the pack as it would be.
    """
    with jobs.locked(folder):
        job = jobs.load(folder)
        wanted = target(job, order)
        path, text = _pack_text(folder, today)
        entry = _entry(wanted.requirement, order, given)
        new = text if _holds(folder, entry) else edit.insert_confirmation(text, entry, str(path))
        _check(read_pack(new.encode(), str(path)), job)
        record = _record_text(job, wanted)
        files.make_folder(path.parent)
        files.write_file(path, new.encode(), overwrite=True)
        standard = job.record.bases[wanted.basis].standard
        if record is None:
            return Stored(path, by_hand=standard)
        if record == job.text.source.text:
            return Stored(path)
        files.write_file(folder / jobs.JOB, record.encode(), overwrite=True)
        return Stored(path, basis=standard)


def _holds(folder: Path, entry: Confirmation) -> bool:
    """Whether a run that was killed got as far as the pack: it has this entry, and no basis names it yet."""
    there = library.own(folder / jobs.PACKS).get(REFERENCE)
    return there is not None and entry in there.text.pack.confirmations


def _pack_text(folder: Path, today: date) -> tuple[Path, str]:
    """The confirmation pack as it is, or a new one without entries."""
    there = library.own(folder / jobs.PACKS).get(REFERENCE)
    if there is None:
        path = folder / jobs.PACKS / f"{REFERENCE}.yaml"
        days = {"known_as_of": today.isoformat(), "review_by": (today + REVIEW_AFTER).isoformat()}
        return path, _HEAD.format_map(days)
    path, pack = Path(there.text.source.name), there.text.pack
    if pack.kind != "confirmation" or pack.invented is not None:
        raise UsageError.one("confirm-pack-unfit", str(path), found=REFERENCE)
    return path, there.text.source.text


def _check(entry: PackText, job: Job) -> None:
    packs = {reference: loaded.text.pack for reference, loaded in job.packs.items()}
    # entries that the file held before may confirm packs that this job no longer uses
    problems = (*check_pack(entry), *check_confirmations(entry, packs, complete=False))
    if problems:
        raise InputError(sorted(problems, key=Problem.order))


def _record_text(job: Job, wanted: Target) -> str | None:
    """job.yaml with the pack among those of the basis; None where it is laid out so that this cannot be done safely."""
    text, source = job.text.source.text, job.text.source
    if any(REFERENCE in basis.packs for basis in job.record.bases):
        return text
    try:
        return edit.name_pack(text, wanted.basis, REFERENCE, source.name)
    except InputError:
        return None

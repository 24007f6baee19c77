"""What ``register check`` looks at, and what it says: demands that wait for a reader, and packs past their review."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from evidence import files, jobs, library
from evidence.errors import InputError, Problem, UsageError
from evidence.library import LoadedPack
from evidence.model.pack import Pack
from evidence.phrases import say
from evidence.record.pack_meaning import check_pack
from evidence.register.asking import questions
from evidence.register.awaiting import Awaited, awaited, overdue
from evidence.register.confirm import check_confirmations
from evidence.register.packs import by_reference


@dataclass(frozen=True)
class Looked:
    """One job, or the packs given by name and file, looked through.

    Attributes:
        where: what it is called.
        awaited: demands to be confirmed.
        overdue: packs past their review.
        unnamed: packs that lie in the job and bind nothing.
    """

    where: str
    awaited: tuple[Awaited, ...]
    overdue: tuple[Pack, ...]
    unnamed: tuple[str, ...] = ()

    @property
    def open(self) -> bool:
        """Whether somebody has something to do."""
        return bool(self.awaited or self.overdue or self.unnamed)


def look(names: Iterable[str], today: date) -> Iterator[Looked]:
    """Look through job folders one by one, and through packs and files together.

    Raises:
        UsageError: pack-not-found.
        InputError: with every problem of what was named.
    """
    given = tuple(names) or library.shipped_references()
    folders = [name for name in given if files.is_folder(Path(name))]
    packs = [name for name in given if name not in folders]
    if packs:
        yield _packs(packs, today)
    for name in folders:
        yield _job(Path(name), today)


def _job(folder: Path, today: date) -> Looked:
    job = jobs.load(folder)
    packs = {reference: loaded.text.pack for reference, loaded in job.packs.items()}
    lying = library.own(folder / jobs.PACKS)
    unnamed = tuple(sorted(lying.keys() - packs.keys()))
    routes = {
        (reference, choice.clause): choice.route
        for basis in job.record.bases
        for reference in basis.packs
        for choice in basis.routes
    }
    return Looked(str(folder), awaited(packs, routes), overdue(packs, today), unnamed)


def _packs(names: list[str], today: date) -> Looked:
    given = by_reference([_loaded(name).text for name in names])
    shipped = {
        reference: loaded.text
        for reference in library.shipped_references()
        if (loaded := library.shipped(reference)) is not None
    }
    every = {reference: entry.pack for reference, entry in {**shipped, **given}.items()}
    problems = [problem for entry in given.values() for problem in check_pack(entry)]
    for entry in given.values():
        problems += check_confirmations(entry, every)
    if problems:
        raise InputError(sorted(problems, key=Problem.order))
    # a file of confirmations is asked about the packs that it confirms
    confirmed = {
        each.confirms.partition("/")[0] for entry in given.values() for each in entry.pack.confirmations
    }
    packs = {reference: every[reference] for reference in sorted({*given, *confirmed})}
    return Looked(", ".join(names), awaited(packs), overdue(packs, today))


def _loaded(name: str) -> LoadedPack:
    path = Path(name)
    if files.is_there(path):
        return library.load(path, name)
    loaded = library.shipped(name)
    if loaded is None:
        raise UsageError.one("pack-not-found", name, found=name)
    return loaded


def lines(looked: Looked) -> Iterator[str]:
    """What people read of it."""
    if not looked.open:
        yield say("waiting-clear", {"where": looked.where})
        return
    counts = {
        "demands": _counted("waiting-demands", len(looked.awaited)),
        "packs": _counted("waiting-packs", len(looked.overdue)),
    }
    yield say("waiting-head", {"where": looked.where, **counts})
    for pack in looked.overdue:
        review = {"pack": pack.reference, "review_by": pack.review_by.isoformat()}
        yield say("waiting-overdue", review)
    for reference in looked.unnamed:
        yield say("waiting-unnamed", {"pack": reference})
    for one in looked.awaited:
        yield from _lines(one)


def _counted(code: str, number: int) -> str:
    return say(f"{code}-one" if number == 1 else code, {"count": str(number)})


def _lines(one: Awaited) -> Iterator[str]:
    yield say("waiting-line", {"standard": one.standard, "clause": one.clause, "title": one.title})
    yield say("waiting-name", {"requirement": one.requirement})
    asks = [say(f"field-{each.replace('_', '-')}") for each in _asks(one)]
    source = one.criterion.source
    # a source that says it comes from memory needs no mark that says so again
    known = {"known": source if source.startswith("from memory") else _marked(one)}
    yield say("waiting-type" if asks else "waiting-hand", {"asks": ", ".join(asks), **known})


def _marked(one: Awaited) -> str:
    return say("waiting-known", {"mark": one.criterion.mark.value, "source": one.criterion.source})


def _asks(one: Awaited) -> tuple[str, ...]:
    return tuple(question.field for question in questions(one.criterion))


def document(looked: Looked) -> dict[str, Any]:
    """The same for machines."""
    return {
        "awaited": [
            {
                "asks": list(_asks(one)),
                "clause": one.clause,
                "mark": one.criterion.mark.value,
                "requirement": one.requirement,
                "source": one.criterion.source,
                "standard": one.standard,
                "title": one.title,
            }
            for one in looked.awaited
        ],
        "overdue": [
            {"pack": pack.reference, "review_by": pack.review_by.isoformat()} for pack in looked.overdue
        ],
        "unnamed": list(looked.unnamed),
        "where": looked.where,
    }

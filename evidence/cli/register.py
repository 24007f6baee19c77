"""``sillmark register``: standards, editions and packs."""

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from evidence import confirming, jobs, library
from evidence.cli import _clock, _waiting
from evidence.cli._tell import to_stderr
from evidence.cli._typing import asked_twice
from evidence.errors import ExitCode, UsageError, printable
from evidence.model.pack import Pack, Replacement
from evidence.phrases import say
from evidence.register import asking
from evidence.register.editions import in_force


@click.group(
    "register",
    short_help="Show standards, editions and the packs that hold their clauses.",
    epilog="Example: sillmark register show en-1789-2020@1",
)
def command() -> None:
    """Show standards, editions and the packs that hold their clauses."""


@command.command("list")
@click.option("--json", "as_json", is_flag=True, help="One JSON object per line, for machines.")
def list_(*, as_json: bool) -> None:
    """List the packs that ship, with what they say of their own age."""
    today = _clock.today()
    for reference in library.shipped_references():
        pack = _shipped(reference)
        if as_json:
            click.echo(json.dumps(_summary(pack), ensure_ascii=False, sort_keys=True))
        else:
            click.echo(_line(pack, today))


@command.command("show")
@click.argument("name")
@click.option("--on", "day", type=_clock.DayText(), help="Day for which editions are asked [default: today].")
@click.option(
    "--country", help="Two letters, where an edition may be withdrawn in one country only, e.g. be."
)
@click.option("--json", "as_json", is_flag=True, help="The whole pack as JSON, for machines.")
def show(name: str, day: date | None, country: str | None, *, as_json: bool) -> None:
    """Show NAME: a pack such as en-1789-2020@1 with its clauses, or the editions of a standard such as "EN 1789"."""
    if "@" not in name:
        show_editions(name, day or _clock.today(), country)
        return
    found = _shipped(name)
    if as_json:
        click.echo(json.dumps(found.document(), ensure_ascii=False, sort_keys=True))
        return
    click.echo(_line(found, _clock.today()))
    for clause in found.clauses:
        click.echo(f"\n{clause.no}  {clause.title['en']}")
        for criterion in clause.criteria:
            title = (criterion.title or clause.title)["en"]
            click.echo(f"  {criterion.id} ({criterion.type}): {title}")
            click.echo(
                f"      {criterion.mark.value}; {criterion.source}; {say(f'closes-{criterion.closes.value}')}"
            )


@command.command("check", short_help="List what has to be read where before it counts.")
@click.argument("what", nargs=-1, metavar="[JOB|PACK|FILE]...")
@click.option("--json", "as_json", is_flag=True, help="One JSON object per line, for machines.")
def check(what: tuple[str, ...], *, as_json: bool) -> None:
    """Check packs and confirmations; list what has to be read where before anything can rest on it.

    Looks at jobs, packs that ship and files of packs; without a name at every pack that ships.
    """
    still_open = to_type = False
    for looked in _waiting.look(what, _clock.today()):
        still_open, to_type = still_open or looked.open, to_type or bool(looked.awaited)
        if as_json:
            click.echo(json.dumps(_waiting.document(looked), ensure_ascii=False, sort_keys=True))
        else:
            click.echo("\n".join(map(printable, _waiting.lines(looked))))
    if to_type and not as_json:
        click.echo(say("waiting-how"))
    raise click.exceptions.Exit(ExitCode.OPEN if still_open else ExitCode.CLEAR)


@command.command(
    "confirm",
    short_help="Type, twice, what your own copy says.",
    epilog='Example: sillmark register confirm jobs/AMB-0417 5.3/test-deceleration --edition "EN 1789:2020" --page 23 --by w3',
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("criterion")
@click.option("--edition", required=True, help="The copy that is read, as its cover says.")
@click.option("--page", required=True, metavar="N", help="Page on which it stands.")
@click.option("--by", required=True, metavar="PERSON", help="Id of the person who reads it.")
def confirm(job: Path, criterion: str, edition: str, page: str, by: str) -> None:
    """Confirm CRITERION of JOB by typing, twice, what your own copy says.

    Asks for each number and list without showing what the pack holds; compares afterwards.
    """
    order = confirming.Order(criterion, edition.strip(), _page(page), by)
    target = confirming.target(jobs.load(job), order)
    to_stderr(say("ask-head", {"title": target.title, "edition": order.edition, "page": page}))
    answers = [(question, asked_twice(question)) for question in asking.questions(target.criterion)]
    given = asking.replacement(answers)
    stored = confirming.store(job, order, given, _clock.today())
    for line in _told(target, order, given, stored):
        click.echo(printable(line))


def _page(text: str) -> int:
    if re.fullmatch(r"[1-9][0-9]{0,5}", text.strip(), re.ASCII) is None:
        raise UsageError.one("page-not-a-number", "--page", found=text[:40])
    return int(text)


def _told(
    target: confirming.Target, order: confirming.Order, given: Replacement, stored: confirming.Stored
) -> Iterator[str]:
    where = {"edition": order.edition, "page": str(order.page), "by": order.by, "path": str(stored.pack)}
    yield say("confirm-stored", {"requirement": target.requirement, **where})
    for one in asking.compared(target.criterion, given):
        code = "compared-agrees" if one.agrees else "compared-differs"
        if target.criterion.limit == "not-held":
            code = "compared-not-held"
        words = say(f"field-{one.field.replace('_', '-')}")
        yield say(code, {"field": words, "typed": one.typed, "held": one.held})
    pack = {"pack": confirming.REFERENCE}
    if stored.basis is not None:
        yield say("confirm-basis", {**pack, "standard": stored.basis})
    if stored.by_hand is not None:
        yield say("confirm-by-hand", {**pack, "standard": stored.by_hand})


def show_editions(designation: str, day: date, country: str | None) -> None:
    """Print every known edition of a standard with what it was on a day.

    Raises:
        UsageError: edition-not-held.
    """
    where = country.lower() if country else None
    answer = in_force(library.editions(), designation, day, where, _clock.today())
    days = {"on": day.isoformat(), "known_as_of": answer.known_as_of.isoformat()}
    head = {**days, "designation": designation, "review_by": answer.review_by.isoformat()}
    click.echo(say("edition-head", head))
    for entry in answer.states:
        edition = entry.edition
        fields = {"edition": edition.edition, "state": entry.state.value, "title": edition.title}
        click.echo("  " + say("edition-line", {**fields, "mark": entry.mark.value, "source": edition.source}))
    for note in answer.notes:
        click.echo(say(f"note-{note}"))
    if not answer.states:
        known = sorted({edition.designation for edition in library.editions().editions})
        raise UsageError.one("edition-not-held", designation, found=designation, expected=", ".join(known))


def _shipped(reference: str) -> Pack:
    loaded = library.shipped(reference)
    if loaded is None:
        known = ", ".join(library.shipped_references())
        raise UsageError.one("pack-not-shipped", reference, found=reference, expected=known)
    return loaded.text.pack


def _summary(pack: Pack) -> dict[str, str]:
    return {
        "pack": pack.reference,
        "kind": pack.kind,
        "region": pack.region.value,
        "standard": pack.standard.designation if pack.standard else "",
        "known_as_of": pack.known_as_of.isoformat(),
        "review_by": pack.review_by.isoformat(),
    }


def _line(pack: Pack, today: date) -> str:
    fields = _summary(pack)
    text = say("pack-line", {**fields, "title": pack.standard.title["en"] if pack.standard else ""})
    return text + (" " + say("pack-review-due", fields) if today > pack.review_by else "")

"""``sillmark register``: standards, editions and packs."""

import json
from datetime import date

import click

from evidence import library
from evidence.cli import _clock
from evidence.errors import UsageError
from evidence.model.pack import Pack
from evidence.phrases import say
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

"""``sillmark key``: signing keys and pinned keys."""

from pathlib import Path

import click

from evidence import files, keys
from evidence.cli import _clock
from evidence.phrases import say
from evidence.seal.public_key import MAX_PEM


@click.group(
    "key",
    short_help="Make, list, pin and export signing keys.",
    epilog="Example: sillmark key export > builder.pem",
)
def command() -> None:
    """Make, list, pin and export signing keys.

    A signing key is made on first use and pinned where it was made. Others trust it only after they pinned it.
    """


@command.command("new")
def new() -> None:
    """Make the signing key if there is none yet, and print its id."""
    click.echo(keys.load_or_create(_clock.home()).public.id)


@command.command("list")
def list_() -> None:
    """List keys that can sign here and keys that are pinned."""
    listed = keys.list_keys(_clock.home())
    if not listed:
        click.echo(say("no-keys"), err=True)
    for info in listed:
        words = [say("key-can-sign")] if info.private else []
        words += [say("key-pinned")] if info.pinned else []
        if info.pinned and info.pinned.revoked:
            words.append(say("key-revoked", {"day": info.pinned.revoked}))
        click.echo(f"{info.id}  {', '.join(words)}")


@command.command("export")
@click.argument("key", required=False)
def export(key: str | None) -> None:
    """Print a public key as PEM: KEY, or the only one that signs here."""
    home = _clock.home()
    if key is None:
        click.echo(keys.load_or_create(home).public.pem.decode("ascii"), nl=False)
        return
    known = [info.id for info in keys.list_keys(home) if info.id.startswith(key)]
    click.echo(keys.export_public(home, known[0] if len(known) == 1 else key).decode("ascii"), nl=False)


@command.command("pin")
@click.argument("pem", type=click.Path(path_type=Path))
def pin(pem: Path) -> None:
    """Pin the public key in the file PEM, after you compared its id with the signer by another way."""
    entry = keys.pin(_clock.home(), files.read_capped(pem, MAX_PEM), str(pem))
    click.echo(say("pinned", {"key": entry.key}))


@command.command("unpin")
@click.argument("key")
def unpin(key: str) -> None:
    """Take the pinned KEY, named by its id or the first digits of it, out of your trust file."""
    click.echo(say("unpinned", {"key": keys.unpin(_clock.home(), key)}))

"""Cautions of the maker's manual and those that every dossier carries."""

from evidence.dossier._blocks import Block, bullets, heading, muted, paragraph, plain, section
from evidence.dossier._index import SCHEDULE
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, capital, text

STANDING = ("caution-manual", "caution-local", "caution-licensed", "caution-later", "caution-scope")


def build(source: DossierInput, say: Say) -> Data:
    """The standing cautions first, then those of the manual with their pages."""
    tell = Teller(source, say)
    blocks: list[Block] = [bullets([text(tell(code)) for code in STANDING])]
    profile = source.profile
    if profile.cautions:
        blocks.append(heading(tell("cautions-manual", manual=profile.manual.id, revision=profile.revision)))
        blocks.append(
            bullets(
                [
                    [plain(tell.title(entry.text)), muted(" " + tell("page", n=str(entry.page)))]
                    for entry in profile.cautions
                ]
            )
        )
    if profile.intervals:
        blocks.append(heading(tell("cautions-intervals"), anchor=SCHEDULE))
        blocks.append(
            bullets(
                [
                    [
                        plain(
                            f"{capital(tell.slug(entry.what))}: {tell.count('every-months', entry.months)}"
                        ),
                        muted(" " + tell("page", n=str(entry.page))),
                    ]
                    for entry in profile.intervals
                ]
            )
        )
    if source.invented:
        blocks.append(paragraph(text(tell("invented")), "caution"))
    return section("cautions", tell("title-cautions"), blocks, flows=True)

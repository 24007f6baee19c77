"""The lock window of each place: both photos, which shares of it show which colour, and what follows from that."""

from collections.abc import Iterator

from evidence.dossier._blocks import (
    Block,
    Inline,
    facts,
    heading,
    link,
    muted,
    new_line,
    paragraph,
    plain,
    section,
    strong,
    swatch,
)
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._titles import requirement_title
from evidence.dossier._windows import WindowPhoto, WindowPlace, colour_window, window_anchor, window_places
from evidence.dossier._words import Teller, capital, text
from evidence.drawing.framed import PER_MILLE, framed
from evidence.drawing.shares import key_svgs, shares_svg
from evidence.model.criterion import Present
from evidence.model.finding import Finding
from evidence.model.measurement import Fractions, WindowReading
from evidence.model.names import WINDOW_ROLES
from evidence.model.profile import Window

AROUND = 0.35  # of the frame's extent, shown on each side of it
SHAPE = 1.5  # width by height of the part that is shown
_SAID_ABOVE = frozenset({"window-shows-locked", "window-shows-open"})
"""Reasons of findings that say what stands beside the photo anyway."""

_FOR_PEOPLE = frozenset({"window-why-pin", "window-why-lever", "window-why-lamp", "window-why-several"})
"""Why no photo will ever be read, so that a person must look."""


def build(source: DossierInput, say: Say) -> Data:
    """For each place both states side by side with their shares, and what was decided how."""
    tell, index = Teller(source, say), Index.of(source)
    found = window_places(source, index)
    blocks: list[Block] = [paragraph(text(tell("window-lead")), "muted")] if found else []
    for place in found:
        blocks.append(heading(tell("window-of", subject=tell.subject(place.subject))))
        blocks += _Page(source, index, tell, place).blocks()
    return section("lock_window", tell("title-lock_window"), blocks)


class _Page:
    """The blocks of one place."""

    def __init__(self, source: DossierInput, index: Index, tell: Teller, place: WindowPlace) -> None:
        self._source = source
        self._index = index
        self._tell = tell
        self._place = place
        self._window = colour_window(source)

    def blocks(self) -> Iterator[Block]:
        """The photos first, then what they mean."""
        for number, pair in enumerate(self._place.pairs):
            sides = zip(("locked", "open"), pair, strict=True)
            yield {
                "kind": "window",
                "anchors": [] if number else [window_anchor(self._place.subject)],
                "panels": [self._panel(state, photo, alone=pair[0] is None) for state, photo in sides],
            }
        yield facts([*self._readers(), *self._decisions(), *self._manual()])

    def _panel(self, state: str, photo: WindowPhoto | None, *, alone: bool) -> Data:
        title: Inline = [strong(self._tell(f"window-panel-{state}"))]
        if photo is None:
            # beside a second photo of the open state nothing is missing
            missing = not alone or not self._place.locked
            said = self._missing(state) if missing else []
            return {"title": title if missing else [], "picture": None, "said": said, "shares": None}
        title += [plain("  "), *self._index.links((photo.entry.id,))]
        return {"title": title, **self._crop(photo), "said": self._said(photo), "shares": self._shares(photo)}

    def _missing(self, state: str) -> Inline:
        """That there is no photo of a state; where one was promised, which."""
        slots = self._source.manifest.open_exhibits
        coming = [slot.id for slot in slots if self._place.expects(slot, WINDOW_ROLES[state], self._source)]
        if coming:
            return [plain(self._tell("window-to-come") + " "), *self._index.links(coming), plain(".")]
        return text(self._tell(f"window-missing-{state}"))

    def _crop(self, photo: WindowPhoto) -> Data:
        """The frame with what surrounds it, or the whole photo where no frame is marked."""
        item, identifier = self._source.items.get(photo.entry.id), photo.entry.id
        if item is None or item.photo is None:
            return {"picture": None}
        size, whole = (item.photo.width, item.photo.height), photo.entry.frame is None
        if photo.entry.frame is None:
            corners = [0.0, 0.0, PER_MILLE, 0.0, PER_MILLE, PER_MILLE, 0.0, PER_MILLE]
            part = framed(corners, size, margin=0, shape=size[0] / size[1], outlined=False)
        else:
            part = framed(
                [float(each) for each in photo.entry.frame.split(",")], size, margin=AROUND, shape=SHAPE
            )
        ending = "-whole" if whole else ""
        return {
            "picture": identifier,
            "svg": part.svg,
            "alt": self._tell("window-frame-alt", id=identifier),
            "photo_alt": self._tell(f"window-photo{ending}-alt", id=identifier),
            "box": list(part.box),
            "width": part.width,
            "height": part.height,
            "caption": text(self._tell(f"window-caption{ending}", id=identifier)),
        }

    def _said(self, photo: WindowPhoto) -> Inline:
        """What the photo shows at its moment, or why it decides nothing and what to do."""
        tell, reading = self._tell, photo.reading
        if reading is None:
            code = self._why_not(photo)
            look = code in _FOR_PEOPLE and photo.entry.reads is None
            return [plain(tell(code)), *([muted(" " + tell("window-look"))] if look else [])]
        told: Inline = [strong(_kept(tell.notice(f"window-{reading.state}", _percents(reading.fractions))))]
        if reading.reason is not None:
            why = _kept(capital(tell.notice(reading.reason.code, reading.reason.parameters)))
            told += [plain(f" {why} "), muted(tell.advice(reading.reason.code))]
        if reading.open_exhibit is not None:
            told += [
                plain(" " + tell("window-held") + " "),
                *self._index.links((reading.open_exhibit,)),
                plain("."),
            ]
        return told

    def _why_not(self, photo: WindowPhoto) -> str:
        windows = self._source.profile.windows
        if len(windows) != 1:
            return "window-why-several" if windows else "window-why-not-in-profile"
        if windows[0].shows != "colour":
            return f"window-why-{windows[0].shows}"
        return "window-why-frame" if photo.entry.frame is None else "window-why-unread"

    def _shares(self, photo: WindowPhoto) -> Data | None:
        reading, window = photo.reading, self._window
        if reading is None or reading.fractions is None or window is None:
            return None
        colours, parts = _colours(window), reading.fractions
        percents = _percents(parts)
        names = ("locked", "open", "unknown")
        return {
            "svg": shares_svg(parts.locked, parts.open, parts.unknown, colours),
            "alt": self._tell("window-bar-alt", id=photo.entry.id, **percents),
            "keys": [
                {
                    "svg": drawn,
                    "alt": (words := self._tell(f"window-share-{name}")),
                    "label": words,
                    "value": self._tell("window-percent", share=percents[name]),
                }
                for name, drawn in zip(names, key_svgs(colours), strict=True)
            ],
        }

    def _readers(self) -> Iterator[tuple[str, Inline]]:
        """People who looked, and where a photo says otherwise."""
        tell = self._tell
        for photo in self._place.photos:
            if photo.entry.reads is not None and photo.entry.by is not None:
                saw = tell(f"photo-read-{photo.entry.reads}", by=tell.person(photo.entry.by))
                yield tell("photo-read"), [*self._index.links((photo.entry.id,)), plain(": " + saw)]
        for number, entry in self._place.contradicted:
            lead = link(contradiction_anchor(number), tell.word(entry.rule, "contradiction"), page=True)
            yield tell("window-contradicted"), [lead, new_line(), plain(tell.reason(entry.reason))]

    def _decisions(self) -> Iterator[tuple[str, Inline]]:
        tell = self._tell
        for number, finding in self._place.judged:
            words = f"{finding_label(number)} {requirement_title(finding, self._index, tell)}"
            told = [
                link(finding_anchor(number), words, page=True),
                plain(" "),
                *tell.outcome(finding.outcome),
            ]
            if self._asks_colour(finding) and finding.reason.code not in _SAID_ABOVE:
                told += [new_line(), plain(tell.reason(finding.reason))]
            yield tell("window-requirement"), told
        if not self._place.judged:
            yield tell("window-requirement"), text(tell("window-uncompared"))

    def _asks_colour(self, finding: Finding) -> bool:
        demand = self._index.demands.get(finding.requirement)
        criterion = None if demand is None else demand.criterion
        return isinstance(criterion, Present) and criterion.shows is not None

    def _manual(self) -> Iterator[tuple[str, Inline]]:
        """What the manual declares, and by which rule the program read it."""
        tell = self._tell
        for window in self._source.profile.windows:
            page = {"page": str(window.page)}
            if window.shows == "colour":
                locked, opened = _colours(window)
                yield (
                    tell("window-colours"),
                    [
                        swatch(locked),
                        plain(f"\u00a0{tell('window-share-locked')} {locked}  "),
                        swatch(opened),
                        plain(f"\u00a0{tell('window-share-open')} {opened} "),
                        muted(tell("window-colours-of", **page)),
                    ],
                )
            else:
                shows = tell.word(window.shows, "window-shows")
                yield (
                    tell("window-indicator"),
                    text(capital(tell("window-indicator-of", shows=shows, **page))),
                )
        readings: list[WindowReading] = [one.reading for one in self._place.photos if one.reading is not None]
        for method in sorted({reading.method for reading in readings}):
            yield tell("window-method"), text(tell("window-method-of", method=method))


def _kept(sentence: str) -> str:
    """A sentence whose percents stay on one line."""
    return sentence.replace(" %", "\u00a0%")


def _colours(window: Window) -> tuple[str, str]:
    return window.locked or "", window.open or ""


def _percents(shares: Fractions | None) -> dict[str, str]:
    """Whole percents by colour; nothing where the frame was not looked at."""
    if shares is None:
        return {}
    return {name: f"{float(share) * 100:.0f}" for name, share in shares.document().items()}

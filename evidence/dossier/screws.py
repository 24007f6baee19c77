"""Screws: the torques of each group within their limits, tool, thread-locker, cure, marks, audits and preload."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from evidence.dossier._blocks import (
    Block,
    Inline,
    heading,
    joined,
    link,
    muted,
    new_line,
    paragraph,
    plain,
    section,
    strong,
)
from evidence.dossier._disputed import nothing_against
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor, finding_label
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._titles import requirement_title
from evidence.dossier._torques import (
    clamped,
    contradicted,
    cure_findings,
    cured,
    known_torques,
    torque_limits,
)
from evidence.dossier._typed import typed_from
from evidence.dossier._words import Teller, capital, text
from evidence.drawing.limits import Reading
from evidence.drawing.torques import TorqueStrip, torque_strip_svg
from evidence.judge._uncertainty import in_range, instrument_of, of_torque
from evidence.model.finding import Finding
from evidence.model.names import Group, Outcome, Role
from evidence.model.record import Audit, Screws
from evidence.quantity import Quantity

_HUNDRED = 100  # N; a preload is known no better


def build(source: DossierInput, say: Say) -> Data:
    """Each screw group with its strip of torques and what stands beside it."""
    tell, index = Teller(source, say), Index.of(source)
    blocks: list[Block] = [paragraph(text(tell("screws-lead")), "muted")] if source.record.screws else []
    for group in source.record.screws:
        name = tell(
            "screws-of", group=capital(tell.slug(group.group)), id=group.id, place=tell.subject(group.subject)
        )
        blocks.append(heading(name))
        blocks.append(_Group(group, source, index, tell).block())
    return section("screws", tell("title-screws"), blocks)


class _Group:
    """The block of one screw group."""

    def __init__(self, group: Screws, source: DossierInput, index: Index, tell: Teller) -> None:
        self._group = group
        self._source = source
        self._index = index
        self._tell = tell
        audits = (audit for audit in source.record.audits if audit.screws == group.id)
        self._audits = tuple(sorted(audits, key=lambda audit: audit.id))

    def block(self) -> Block:
        """Drawing, its note, and labels with their values."""
        rows = [
            ("screws-fitted", self._fitted()),
            ("screws-torques", self._torques()),
            ("screws-tool", self._tool(self._group.instrument)),
            ("screws-done", self._done()),
            ("screws-locker", self._locker()),
            *(("screws-cure", told) for told in self._cures()),
            ("screws-marks", self._marks()),
            *(("screws-audit", self._audit(audit)) for audit in self._audits),
            *(("screws-log", told) for told in self._logs()),
            ("screws-preload", self._preload()),
            ("screws-findings", joined(list(self._decisions()), "\n")),
            *(("screws-contradicted", told) for told in self._contradicted()),
        ]
        return {
            "kind": "torques",
            "anchors": [f"record-{name}" for name in (self._group.id, *(one.id for one in self._audits))],
            **self._drawing(),
            "rows": [{"label": self._tell(label), "value": value} for label, value in rows if value],
        }

    def _drawing(self) -> Data:
        group, record, tell = self._group, self._source.record, self._tell
        if not known_torques(group):
            return {}  # no drawing at all
        readings = []
        for torque in group.torques:
            measured = of_torque(torque, group, record) if isinstance(torque, Quantity) else None
            spread = None if measured is None or measured.expanded is None else measured.expanded.base
            readings.append(None if measured is None else Reading(measured.value.base, spread))
        missing = max(group.count - len(readings), 0)
        low, high = torque_limits(group, self._index)
        strip = TorqueStrip(
            (*readings, *([None] * missing)),
            tuple(
                tuple(found.base if isinstance(found, Quantity) else None for found in audit.torques)
                for audit in self._audits
            ),
            None if low is None else (low.base, str(low)),
            None if high is None else (high.base, str(high)),
        )
        alt = tell(
            "screws-alt",
            id=group.id,
            values=", ".join(map(tell.stated, group.torques)),
            low=str(low or tell("no-limit")),
            high=str(high or tell("no-limit")),
        )
        audited = any(known for audit in strip.audits for known in audit if known is not None)
        notes = [tell("screws-note-audit")] if audited else []
        notes += [tell("screws-note-missing")] if missing or None in readings else []
        return {"svg": torque_strip_svg(strip), "alt": alt, "note": text(" ".join(notes)) if notes else []}

    def _fitted(self) -> Inline:
        group, tell = self._group, self._tell
        words = [
            tell(
                "screw-kind", count=str(group.count), thread=group.thread, property_class=group.property_class
            ),
            *([tell("screw-length", length=str(group.length))] if group.length else []),
            *([tell.slug(group.head)] if group.head else []),
            *([tell("lot", lot=tell.stated(group.lot))] if group.lot is not None else []),
        ]
        return [
            plain(", ".join(words)),
            *typed_from(group.id, group.card_row, self._source, self._index, tell),
        ]

    def _torques(self) -> Inline:
        return text(_values(self._group.torques, self._tell) or self._tell("none"))

    def _tool(self, identity: str) -> Inline:
        tell, tool = self._tell, instrument_of(identity, self._source.record)
        if tool is None:
            return self._index.links((identity,), page=False)
        ends = [str(tool.quantity(text)) for text in (tool.range_low, tool.range_high) if text is not None]
        words = [
            *([tell("screws-tool-range", range=" \u2013 ".join(ends))] if ends else []),
            tell("screws-tool-deviation", deviation=str(tool.deviation))
            if tool.deviation is not None
            else tell("screws-tool-no-deviation"),
            tell("screws-tool-calibrated", day=tell.stated(tool.calibrated)),
        ]
        if tool.indicating is not None:
            words.append(tell("screws-tool-indicating" if tool.indicating else "screws-tool-clicking"))
        name = f"{tell.word(tool.kind)} {tell.stated(tool.serial)} "
        return [plain(name), *self._index.links((tool.id,), page=False), muted("; " + "; ".join(words))]

    def _done(self) -> Inline:
        return [
            plain(self._tell.stated(self._group.at)),
            muted(", " + self._tell.person(self._group.by)),
        ]

    def _locker(self) -> Inline:
        locker, tell = self._group.locker, self._tell
        if locker is None:
            return text(tell("none"))
        words = [tell("lot", lot=tell.stated(locker.lot))]
        words += [tell("use-by", day=tell.stated(locker.use_by))] if locker.use_by is not None else []
        words += [tell("applied", at=tell.stated(locker.applied))]
        return [plain(locker.product), muted(", " + ", ".join(words))]

    def _cures(self) -> Iterator[Inline]:
        tell, record = self._tell, self._source.record
        for number, finding, asked in cure_findings(self._group, self._index, record):
            told: Inline = []
            for one in cured(self._group, asked, record):
                words = tell(
                    "screws-cured" if one.least > timedelta(0) else "screws-cured-unsure",
                    least=_hours(one.least),
                    begun=tell.stated(one.begun),
                    at=tell.stated(one.step.at),
                )
                told += [plain(words + " "), *self._index.links((one.step.id,), page=False), new_line()]
            yield [*told, *self._decision(number, finding)]

    def _marks(self) -> Inline:
        group, record = self._group, self._source.record
        photos = [
            entry.id
            for entry in record.exhibits
            if entry.role == Role.WITNESS_MARKS and entry.subject == group.id and isinstance(entry.file, str)
        ]
        if group.witness_marked is None and not photos:
            return []
        said = self._tell.stated(group.witness_marked)
        return [plain(capital(said)), *([plain(", "), *self._index.links(photos)] if photos else [])]

    def _audit(self, audit: Audit) -> Inline:
        tell = self._tell
        known = [torque for torque in audit.torques if isinstance(torque, Quantity)]
        moved = tell("screws-moved-unsaid")
        if audit.moved is not None:
            moved = tell("screws-moved" if audit.moved else "screws-not-moved")
        tool = instrument_of(audit.instrument, self._source.record)
        beyond = tool is not None and any(not in_range(torque, tool) for torque in known)
        told = [
            strong(audit.id),
            plain(" " + tell.stated(audit.at)),
            muted(", " + tell.person(audit.by)),
            new_line(),
            plain(tell("screws-audited", n=str(len(known)), count=str(self._group.count)) + " "),
            plain(_values(audit.torques, tell)),
            plain(f"; {moved}"),
            *typed_from(audit.id, audit.card_row, self._source, self._index, tell),
            *self._tool_of(audit),
        ]
        return [*told, muted("; " + tell("screws-beyond-range"))] if beyond else told

    def _tool_of(self, audit: Audit) -> Inline:
        """The tool of an audit; where it is the one that tightened, its own line stands above already."""
        if audit.instrument != self._group.instrument:
            return [new_line(), *self._tool(audit.instrument)]
        return [
            plain("; " + self._tell("screws-same-tool") + " "),
            *self._index.links((audit.instrument,), page=False),
        ]

    def _logs(self) -> Iterator[Inline]:
        logs = [
            entry.id
            for entry in self._source.record.exhibits
            if entry.role == Role.TORQUE_LOG
            and entry.subject in (self._group.id, self._group.subject)
            and isinstance(entry.file, str)
        ]
        if logs:
            yield [*self._index.links(logs), *nothing_against(logs, self._index, self._tell)]

    def _preload(self) -> Inline:
        tell, found = self._tell, clamped(self._group, self._source)
        if found is None:
            return []
        factor = found.factor
        low, high = (round(each / _HUNDRED) * _HUNDRED for each in (found.band.low_n, found.band.high_n))
        words = tell(
            "screws-preload-of",
            low=f"{low:,}".replace(",", "\u202f"),
            high=f"{high:,}".replace(",", "\u202f"),
        )
        why = [
            tell("screws-factor", low=factor.low.text, high=factor.high.text, page=str(factor.page)),
            tell("screws-preload-deviation" if found.deviation else "screws-preload-no-deviation"),
            tell("screws-preload-told"),
        ]
        if found.proof is None:
            return [plain(words + ". "), muted(" ".join(why))]
        least, most = (round(share * 100) for share in found.band.shares(found.proof))
        share = tell(
            "screws-share",
            low=str(least),
            high=str(most),
            proof=f"{round(found.proof):,}".replace(",", "\u202f"),
        )
        table = tell("screws-proof-countersunk" if found.countersunk else "screws-proof")
        return [plain(f"{words}, {share}. "), muted(" ".join([*why, table]))]

    def _decisions(self) -> Iterator[Inline]:
        """Findings that use the group, but those on its cure, which stand above, and common practice."""
        cures = {number for number, _, _ in cure_findings(self._group, self._index, self._source.record)}
        for number in self._index.supported.get(f"record-{self._group.id}", ()):
            finding = self._index.findings[number]
            if number not in cures and finding.group != Group.PRACTICE:
                yield self._decision(number, finding)

    def _decision(self, number: int, finding: Finding) -> Inline:
        tell = self._tell
        words = f"{finding_label(number)} {requirement_title(finding, self._index, tell)}"
        told = [link(finding_anchor(number), words), plain(" "), *tell.outcome(finding.outcome)]
        settled = (Outcome.MET, Outcome.NOT_APPLICABLE)
        return told if finding.outcome in settled else [*told, plain(" " + tell.reason(finding.reason))]

    def _contradicted(self) -> Iterator[Inline]:
        tell = self._tell
        for number, entry in contradicted(self._group, self._index, self._source.record):
            lead = link(contradiction_anchor(number), tell.word(entry.rule, "contradiction"), page=True)
            yield [lead, new_line(), plain(tell.reason(entry.reason))]


def _values(torques: Sequence[object], tell: Teller) -> str:
    """Values in the order of the screws, each with its unit on one line."""
    return ", ".join(tell.stated(torque).replace(" ", "\u00a0") for torque in torques)


def _hours(span: timedelta) -> str:
    minutes = max(int(span.total_seconds() // 60), 0)
    return f"{minutes // 60}\u00a0h\u00a0{minutes % 60:02d}\u00a0min"

"""Verify a bag: eleven numbered steps, in an order in which nothing is read before it is known to be safe.

1 size, 2 listing, 3 sums, 4 signature over the raw list, 5 parse, 6 schema, 7 leaves, 8 trust, 9 chain, 10 the manifest
inside the dossier, 11 recompute. A step whose ground a failure took away is not run; all others are, so that one
answer names everything that can be known.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from evidence.errors import ExitCode
from evidence.seal import layout, steps_bytes, steps_content, steps_trust
from evidence.seal.bag import BagView, Findings, Helpers, Progress, Question
from evidence.seal.verdicts import SIGNER_ONLY, BottomLine, VerdictCode, VerdictFinding

State = Literal["passed", "failed", "skipped", "not asked"]


@dataclass(frozen=True)
class Step:
    """One step with what it found, sorted by place."""

    number: int
    name: str
    state: State
    findings: tuple[VerdictFinding, ...] = ()


@dataclass(frozen=True)
class VerifyReport:
    """What is known about a bag; the bottom line follows from the steps and is stored nowhere.

    Attributes:
        steps: all eleven, in order.
        key: id of the key that the bag carries, where it could be read.
        open_points: how many the manifest gives, where every document has the fields of its format.
    """

    steps: tuple[Step, ...]
    key: str | None
    open_points: int | None = None

    @property
    def findings(self) -> tuple[VerdictFinding, ...]:
        """Everything that was found, step by step."""
        return tuple(finding for step in self.steps for finding in step.findings)

    @property
    def codes(self) -> frozenset[VerdictCode]:
        """The verdicts that count, notices left out."""
        return frozenset(finding.code for finding in self.findings if not finding.notice)

    @property
    def unchanged(self) -> bool:
        """Exactly the listed files are there, with their sums."""
        return self._all("size", "listing", "sums")

    @property
    def signed(self) -> bool:
        """The list of files carries a signature of the key that the bag carries."""
        return self._all("signature")

    @property
    def well_formed(self) -> bool:
        """Everything that was signed is readable, complete, and listed where it belongs."""
        return self._all("parse", "schema", "leaves", "chain")

    @property
    def dossier_agrees(self) -> bool:
        """The dossiers carry the manifest of this bag."""
        return self._all("dossier")

    @property
    def trusted(self) -> bool | None:
        """The key is pinned and in force; None where it was not asked."""
        return self._asked("trust")

    @property
    def recomputed(self) -> bool | None:
        """Judging again gave the same; None where it was not asked."""
        return self._asked("recompute")

    @property
    def bottom_line(self) -> BottomLine:
        """The one line that follows from all facts."""
        facts = (self.unchanged, self.signed, self.well_formed, self.dossier_agrees)
        if not all(facts) or self.recomputed is False:
            return BottomLine.NOT_VERIFIED
        if self.trusted is None:
            return BottomLine.INTACT
        if self.trusted:
            return BottomLine.VALID
        known = self.codes & SIGNER_ONLY <= {VerdictCode.REVOKED, VerdictCode.EXPIRED}
        return BottomLine.INTACT_KEY_NOT_VALID if known else BottomLine.INTACT_SIGNER_UNKNOWN

    @property
    def exit_code(self) -> ExitCode:
        """0 for a valid bag, or an intact one where only that was asked; 5 where an extra was needed; else 4."""
        if self.bottom_line not in (BottomLine.VALID, BottomLine.INTACT):
            return ExitCode.NOT_VERIFIED
        unread = any(finding.code == VerdictCode.ITEM_NOT_RECOMPUTED for finding in self.findings)
        return ExitCode.TOOL_MISSING if unread else ExitCode.CLEAR

    def _all(self, *names: str) -> bool:
        states = [step.state for step in self.steps if step.name in names]
        return len(states) == len(names) and set(states) == {"passed"}

    def _asked(self, name: str) -> bool | None:
        states = [step.state for step in self.steps if step.name == name]
        return None if states == ["not asked"] else states == ["passed"]


_Run = Callable[[Progress], Findings]
_Ask = Callable[[Progress], bool]


def _has_lists(progress: Progress) -> bool:
    return "size" in progress.passed and progress.sums is not None


def _has_signed_bytes(progress: Progress) -> bool:
    return "size" in progress.passed and {layout.TAG_SUMS_PATH, layout.KEY_PATH} <= set(progress.view.sizes)


def _after(*names: str) -> _Ask:
    return lambda progress: progress.passed.issuperset(names)


_SIGNED = ("size", "listing", "sums", "signature")

# name, the step itself, and whether it still means something
STEPS: tuple[tuple[str, _Run, _Ask], ...] = (
    ("size", steps_bytes.size, _after()),
    ("listing", steps_bytes.listing, _after("size")),
    ("sums", steps_bytes.sums, _has_lists),
    ("signature", steps_bytes.signature, _has_signed_bytes),
    ("parse", steps_content.parse, _after(*_SIGNED)),
    ("schema", steps_content.schema, _after(*_SIGNED, "parse")),
    ("leaves", steps_content.leaf_lists, _after(*_SIGNED, "parse", "schema")),
    ("trust", steps_trust.trust, _after("signature")),
    ("chain", steps_content.chain, _after(*_SIGNED, "parse", "schema")),
    ("dossier", steps_content.dossier, _after(*_SIGNED)),
    ("recompute", steps_content.recompute, _after(*_SIGNED, "parse", "schema", "leaves")),
)


def verify(view: BagView, question: Question, helpers: Helpers) -> VerifyReport:
    """Verify one bag.

    Args:
        view: the bag; only read.
        question: what the reader wants to know.
        helpers: PDF attachments, schemas, recomputing.

    Raises:
        InputError: a file cannot be read, or changed while it was.
    """
    progress = Progress(view, question, helpers)
    steps = tuple(_run(number, step, progress) for number, step in enumerate(STEPS, start=1))
    return VerifyReport(steps, progress.key.id if progress.key else None, _open_points(progress))


def _open_points(progress: Progress) -> int | None:
    """From what was checked and not from the file, which would have to be read and held against its digest again."""
    if "schema" not in progress.passed:
        return None
    manifest = progress.documents.get(layout.MANIFEST_PATH)
    return manifest.get("open") if isinstance(manifest, dict) else None


def _run(number: int, step: tuple[str, _Run, _Ask], progress: Progress) -> Step:
    name, run, meaningful = step
    if (name == "trust" and progress.question.integrity_only) or (
        name == "recompute" and progress.helpers.recompute is None
    ):
        return Step(number, name, "not asked")
    if not meaningful(progress):
        return Step(number, name, "skipped")
    findings = tuple(sorted(run(progress), key=VerdictFinding.order))
    if any(not finding.notice for finding in findings):
        return Step(number, name, "failed", findings)
    progress.passed.add(name)
    return Step(number, name, "passed", findings)

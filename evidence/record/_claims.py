"""What a claim that a person read must say: on which page, and where on it."""

from collections.abc import Iterator

from evidence.errors import Problem
from evidence.record.reader import JobText
from evidence.record.yamltext import Path


def claim_problems(job: JobText) -> Iterator[Problem]:
    """Claims without a page that can be shown: nobody can look at what somebody read if it stands nowhere."""
    for place, document in enumerate(job.record.documents):
        for index, claim in enumerate(document.claims):
            path: Path = ("documents", place, "claims", index)
            if claim.page == 0:
                yield job.source.problem("claim-page-zero", (*path, "page"))
            if claim.read_by is not None and claim.page is None:
                yield job.source.problem("claim-read-without-page", (*path, "read_by"), found=claim.read_by)
            if claim.crop is not None and claim.read_by is None:
                yield job.source.problem("claim-crop-without-reader", (*path, "crop"), found=claim.crop)

"""All broken jobs, by theme."""

from tests.broken_jobs.of_commands import COMMANDS
from tests.broken_jobs.of_files import FILES
from tests.broken_jobs.of_findings import FINDINGS
from tests.broken_jobs.of_papers import PAPERS
from tests.broken_jobs.of_records import RECORDS
from tests.broken_jobs.patches import Case

CASES: tuple[Case, ...] = (*RECORDS, *PAPERS, *FILES, *COMMANDS)
"""Jobs that cannot be read, or commands that are refused."""
__all__ = ["CASES", "FINDINGS"]

"""Tonight's machine: from what is known about it to a plan to hold, and a record to sign.

`read_job` (or `job_of`) takes what is known, `plan` works everything out, `page.html` and `paper.pdf` put it on
paper. What is not known stays unknown: a range for it widens the result.
"""

from coldcab.job.description import Job, JobError, as_toml, job_of, read_job, with_changes
from coldcab.job.plan import Plan, plan
from coldcab.job.questions import QUESTIONS, Question

__all__ = ["QUESTIONS", "Job", "JobError", "Plan", "Question", "as_toml", "job_of", "plan", "read_job", "with_changes"]

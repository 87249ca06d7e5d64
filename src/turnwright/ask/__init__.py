"""Half-known jobs from people: requests in words, guided intake, the job file that is written."""

from turnwright.ask.from_request import RequestJob, job_from_request
from turnwright.ask.job_text import Line, job_text

__all__ = ["Line", "RequestJob", "job_from_request", "job_text"]

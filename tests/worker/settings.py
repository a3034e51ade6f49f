"""The shop's settings for workers under test: everything happens sooner, and there is a tally."""

from __future__ import annotations

from datetime import timedelta

from stockist.settings import *  # noqa: F403, TID251 - these are settings too

INSTALLED_APPS += ["tests.worker"]  # noqa: F405
JOB_LEASE = timedelta(seconds=2)
JOB_RESEND_AFTER = timedelta(seconds=1)
JOB_SWEEP_EVERY = timedelta(seconds=1)
JOB_PAUSE = timedelta(seconds=1)

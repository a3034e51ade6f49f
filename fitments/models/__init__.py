"""Every model of the app, so that Django finds it. Code imports each from its own module."""

from fitments.models import approval, car, evidence, fitment, mark, organiser, test_report

__all__ = ["approval", "car", "evidence", "fitment", "mark", "organiser", "test_report"]

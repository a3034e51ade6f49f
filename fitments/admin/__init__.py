"""The back office for cars and approvals: Django finds the pages through this package."""

from fitments.admin import approvals, cars, fittings, marks, organisers

__all__ = ["approvals", "cars", "fittings", "marks", "organisers"]

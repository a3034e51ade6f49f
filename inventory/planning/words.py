"""Numbers and days as they are said in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def said(day: date) -> str:
    """1 Mar 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def percent(share: float) -> str:
    """85 %; never 0 % or 100 % of what is not certain."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{share:.0%}".replace("%", " %")


def pieces(number: float) -> str:
    """12, 1 240 or 0.6: whole from ten on, or where it is whole."""
    shown = round(number, 1)
    if shown == int(shown) or abs(shown) >= 10:
        return f"{shown:,.0f}".replace(",", " ")
    return f"{shown:.1f}"


def days(number: int) -> str:
    """1 day, 3 days."""
    return f"{number} day" if abs(number) == 1 else f"{number} days"


def listed(parts: Sequence[str]) -> str:
    """a, b and c."""
    return " and ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else "".join(parts)

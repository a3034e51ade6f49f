"""Some things want another person's eyes; in a small team the same person's, shown as such."""

from __future__ import annotations

from collections.abc import Collection

from django.conf import settings
from django.contrib.auth.models import User

from inventory.ground.refusal import Refusal

SMALL_TEAM = 2
"""So many people, or fewer, who may do it: then one may stand for two."""
_BACKEND = "django.contrib.auth.backends.ModelBackend"


class AnotherPersonIsWanted(Refusal):
    """Whoever did the work does not pass it."""

    def __init__(self, others: int, alone: bool) -> None:
        words = (
            f"There are {others} others who may do it" if others else "Nobody else may do it yet"
        )
        if alone:
            words += f": only where there is no more than {SMALL_TEAM - 1} is it self-checked"
        super().__init__(
            f"You did this yourself, and it is more than one person decides: let another look at "
            f"it. {words}. Nothing was changed."
        )


def alone_up_to() -> int:
    """So many tyres too many or too few one person decides about in this house, today."""
    return int(settings.ALONE_UP_TO_TYRES)


def self_checked(*, by: User, doers: Collection[int], permission: str, alone: bool) -> bool:
    """Whether ``by`` passes their own work: False where somebody else did it.

    ``doers`` are the keys of whoever did it; ``alone``: ``by`` says so openly. Raises
    AnotherPersonIsWanted, also where the team is large enough for another person.
    """
    if by.pk not in doers:
        return False
    may = User.objects.with_perm(permission, backend=_BACKEND, include_superusers=False)
    others = may.filter(is_active=True).exclude(pk=by.pk).count()
    if not alone or others >= SMALL_TEAM:
        raise AnotherPersonIsWanted(others, alone)
    return True

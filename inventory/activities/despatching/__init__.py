"""Despatch: may it leave, the owner's word where advice is against it, and the leaving itself."""

from inventory.activities.despatching.asking import Leaving, about, is_covered, leaving
from inventory.activities.despatching.sending import despatch
from inventory.activities.despatching.wording import give_word

__all__ = ["Leaving", "about", "despatch", "give_word", "is_covered", "leaving"]

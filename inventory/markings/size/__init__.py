"""Size designations: one file a family, and a registry that tries them all."""

from inventory.markings.size.model import Size

__all__ = ["Size"]

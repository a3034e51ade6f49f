"""Size designations: one file a family, and a registry that tries them all."""

from inventory.markings.size.model import Size
from inventory.markings.size.reading import read_size

__all__ = ["Size", "read_size"]

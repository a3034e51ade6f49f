"""The back office for stock: Django finds the pages of every table through this package."""

from inventory.admin import catalogue, house, people, places, skus, stock

__all__ = ["catalogue", "house", "people", "places", "skus", "stock"]

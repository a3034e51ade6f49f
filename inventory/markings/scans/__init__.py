"""What a scanner sent, read: a GS1 symbol, an article number, or a label of the house."""

from inventory.markings.scans.reading import read_scan
from inventory.markings.scans.values import SEPARATOR, Form, Scan, UnreadableScan

__all__ = ["SEPARATOR", "Form", "Scan", "UnreadableScan", "read_scan"]

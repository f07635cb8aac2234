"""Words marked as kept, struck or inserted: what a redline is made of."""

from __future__ import annotations

KEPT, STRUCK, INSERTED = "kept", "struck", "inserted"
Part = tuple[str, str]
"""KEPT, STRUCK or INSERTED, and the words."""

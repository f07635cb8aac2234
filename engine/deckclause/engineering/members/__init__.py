"""Sawn members: sizes, design values, beams, columns and footings."""

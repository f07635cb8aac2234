"""Sections, elevations and their parts, drawn as SVG."""

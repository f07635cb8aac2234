"""The columnar back end: a million designs at once, in numpy."""

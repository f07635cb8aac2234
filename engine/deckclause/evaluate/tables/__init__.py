"""Where a table comes from, its families and its keys."""

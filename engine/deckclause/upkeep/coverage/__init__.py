"""Which clauses, exceptions and cells designs exercise, and designs on both sides of each boundary."""

"""The commands that write starting files."""

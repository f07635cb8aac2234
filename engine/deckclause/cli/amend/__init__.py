"""The commands that write amendments."""

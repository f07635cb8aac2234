"""The commands about sources."""

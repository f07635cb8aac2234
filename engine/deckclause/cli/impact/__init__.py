"""The commands of placement."""

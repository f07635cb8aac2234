"""The commands about rule sets."""

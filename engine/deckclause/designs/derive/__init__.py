"""Facts that follow from others."""

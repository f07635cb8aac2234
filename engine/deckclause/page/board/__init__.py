"""The drawing board of the page."""

"""Checks of rule sets: what is wrong with them, or likely to be, each check documented on a page."""

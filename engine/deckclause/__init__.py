"""Compare what each code edition and each town asks of one wood deck."""

__version__ = "0.1.0"

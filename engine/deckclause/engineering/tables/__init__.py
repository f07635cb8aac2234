"""The calculations behind the span, footing and ledger tables."""

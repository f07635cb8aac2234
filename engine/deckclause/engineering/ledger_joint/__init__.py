"""The calculation sheet of one ledger connection: load, fastener, boards, splitting, step by step."""

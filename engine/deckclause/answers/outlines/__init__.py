"""Plan, ledger elevation and stairs as outlines in inches, from what a design states."""

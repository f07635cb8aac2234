"""What rule writers use: lint, coverage, boundary designs, amendments."""

"""Evaluation of one design under one rule set."""

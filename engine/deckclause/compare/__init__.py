"""Comparison of rule sets on one design: alignment and drivers."""

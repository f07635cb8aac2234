"""What is printed of rule sets: tables, standing, sources, lint, coverage, regions, calculations."""

"""What impact prints and writes."""

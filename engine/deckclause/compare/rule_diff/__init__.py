"""What one rule set changes of another, clause by clause and table by table."""

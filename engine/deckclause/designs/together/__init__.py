"""What must be worked out across the parts of a deck before it can be asked whether they hold."""

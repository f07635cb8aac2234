"""What is printed of an amendment for those who enact it, decide on it and build by it."""

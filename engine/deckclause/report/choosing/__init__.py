"""What choose prints."""

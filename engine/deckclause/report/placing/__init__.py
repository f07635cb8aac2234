"""What place prints."""

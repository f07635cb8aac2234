"""What relief prints."""

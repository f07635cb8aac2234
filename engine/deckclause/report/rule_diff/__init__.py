"""What diff prints, in every format."""

"""What compare prints, in every format."""

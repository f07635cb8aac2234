"""What a published method gives where print was not seen, with the figures seen that it meets."""

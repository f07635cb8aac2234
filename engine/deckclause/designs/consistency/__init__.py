"""Whether a design contradicts itself."""

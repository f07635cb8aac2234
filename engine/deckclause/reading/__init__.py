"""What a clause means, once: the lowered form, the one reader of it, and its trace."""

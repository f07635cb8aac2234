"""The commands about requests for relief."""

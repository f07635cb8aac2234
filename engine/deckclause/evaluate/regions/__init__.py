"""Exact regions of the input space: cut where a clause asks a question, never by sampling."""

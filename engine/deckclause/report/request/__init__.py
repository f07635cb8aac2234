"""The papers of a request."""

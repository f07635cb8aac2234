"""Designs: the deck as its builder describes it, and the facts derived from it."""

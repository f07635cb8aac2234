"""Invented designs and archives."""

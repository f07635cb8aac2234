"""Calculations behind the tables: dowels, members, columns, footings."""

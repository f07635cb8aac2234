"""Dowel-type fasteners: bolts and lag screws by the yield-limit equations."""

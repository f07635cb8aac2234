"""Placement of fasteners on two overlapping boards, solved exactly."""
